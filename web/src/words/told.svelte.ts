// What the engines say, in the language of the page. The book comes only when the page is not English; until it is
// here, and where it does not know a sentence, the English stands and is marked so.
import { tongue, type Language } from '../tongue.svelte';
import { Book, type Bit, type Pairs } from './book';

// A language without a book shows the engines' sentences in English.
const books: Partial<Record<Language, () => Promise<{ default: Pairs }>>> = {
  de: () => import('../../../catalog/words/de.po'),
};

const LATE_MS = 1500;

class Shelf {
  private open = $state.raw<{ language: Language; locale: string; book: Book } | null>(null);
  private coming: { language: Language; here: Promise<void> } | null = null;

  // The book of the page's language; null until it is here.
  get book(): Book | null {
    const { language, locale } = tongue;
    if (this.open?.language === language && this.open.locale === locale) return this.open.book;
    void this.fetch(language, locale);
    return null;
  }
  // The page changes its language once, with the book at hand: drawn twice, it would be slow with many pieces. A book
  // that does not come in time is not waited for.
  async turnTo(language: Language): Promise<void> {
    const late = new Promise<void>((done) => setTimeout(done, LATE_MS));
    await Promise.race([this.ready(language), late]);
    tongue.choose(language);
  }
  ready(language: Language): Promise<void> {
    return this.fetch(language, tongue.localeOf(language));
  }
  fetch(language: Language, locale: string): Promise<void> {
    if (this.open?.language === language && this.open.locale === locale) return Promise.resolve();
    if (this.coming?.language === language) return this.coming.here;
    const here = this.bring(language, locale).finally(() => (this.coming = null));
    this.coming = { language, here };
    return here;
  }
  private async bring(language: Language, locale: string): Promise<void> {
    const load = books[language];
    if (!load) return;
    try {
      const pairs = (await load()).default;
      this.open = { language, locale, book: new Book(pairs, locale) };
    } catch {
      // No connection: English, and asked for again with the next sentence.
    }
  }
}
export const shelf = new Shelf();

export function told(text: string): Bit[] {
  if (text === '') return [];
  if (tongue.language === 'en') return [{ text, english: false }];
  return shelf.book?.say(text) ?? [{ text, english: true }];
}
// For labels and places that hold plain text only.
export const toldText = (text: string): string => told(text).map((bit) => bit.text).join('');
export const toldPart = (name: string): string => (tongue.language === 'en' ? name : (shelf.book?.word(name, 'part') ?? name));
