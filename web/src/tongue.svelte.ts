// The language of the page: the reader's first that we have, or the one chosen in the footer. Sentences that come from
// the engines are looked up in the sentence book (words/told.svelte.ts).
export const LANGUAGES = { en: 'English', de: 'Deutsch' } as const;
export type Language = keyof typeof LANGUAGES;
const CHOICE = 'tackcloth.language';

const known = (id: string | null | undefined): id is Language => id !== null && id !== undefined && Object.hasOwn(LANGUAGES, id);
const base = (tag: string) => tag.toLowerCase().split('-')[0] ?? '';

export function languageFor(kept: string | null, wished: readonly string[]): Language {
  if (known(kept)) return kept;
  return wished.map(base).find(known) ?? 'en';
}
// Dates and numbers in the reader's own kind of that language ("de-CH"), else in its plain kind.
export function localeFor(language: Language, wished: readonly string[]): string {
  return wished.find((tag) => base(tag) === language) ?? language;
}

const wished = (): readonly string[] => (typeof navigator === 'undefined' ? [] : (navigator.languages ?? [navigator.language]));
function kept(): string | null {
  try {
    return localStorage.getItem(CHOICE);
  } catch {
    return null;
  }
}

class Tongue {
  language = $state<Language>(languageFor(kept(), wished()));
  readonly locale = $derived(this.localeOf(this.language));

  localeOf(language: Language): string {
    return localeFor(language, wished());
  }

  choose(language: Language): void {
    this.language = language;
    try {
      localStorage.setItem(CHOICE, language);
    } catch {
      // Not kept: it holds until the page is closed.
    }
  }
}
export const tongue = new Tongue();

// What a link to a paper says of the language: nothing when the page is English.
export const inTongue = (before: '?' | '&'): string => (tongue.language === 'en' ? '' : `${before}language=${encodeURIComponent(tongue.locale)}`);
