// The sentence book: what the engines say in English, found by its template and said in another language. The book is
// data (catalog/words/*.po); a slot's name tells what may stand in it and how it is carried over:
//   {n…}     a number, with its unit or without, said with the reader's decimal mark
//   {when…}  a date or an hour as the engines write it (2026-03-04, 2026-03-04T17:30)
//   {said…}  something the book must know itself, else the sentence is not taken
//   {all…}   whole sentences in a row between commas, each of which the book must know
//   {word…}  a word or name of the book, else left as it is
//   {list…}  such words between commas
//   {part…}  names of parts between commas: words of the book's context "part", else left as they are
//   {id…}    the id of a step (chair-03), left as it is
//   others   what somebody typed, left as it is even where the book has that word
// The engines say it by the same rules on paper (src/tongue); tests/tongue/cases.json holds both to the same.
export type Pairs = readonly (readonly [english: string, other: string])[];
export interface Bit {
  text: string;
  english: boolean; // not in the book: still English
}
type Slots = Record<string, string>;
interface Template {
  english: string;
  literals: string[]; // one more than names
  names: string[];
  other: string[]; // text and names in turn
  mark: string; // its longest literal
  weight: number;
}

const SLOT = /\{([a-z]+\d*)\}/;
const KEPT = 4000;
const LONGEST = 1500; // letters; the engines say nothing longer, and looking grows with the square of it
const UNIT = '%|°[CF]|[µcmk]?m|m[²³](?:/h)?|m/s|ppm|l|ml|g|kg|g/m²|h|min|d|yd|in|ft|qt|gal|oz|Pa|hPa|k?B|MB|[KMG]iB';
const NUMBER = new RegExp(`^[-+−]?\\d+(?:[.,]\\d+)*(?: \\d+/\\d+)?(?: ?(?:${UNIT}))?(?: \\d+ (?:h|min))?$`);
const MOMENT = /^(?:(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) )?(\d{4})-(\d\d)-(\d\d)(?:[T ](\d\d):(\d\d)(?::\d\d)?)?$/;
const BREAK = /[.!?] (?=["'“(]?[\p{Lu}\d])/gu;
const STEP_ID = /^[\w-]+-\d+$/;
const TORN = /[.!?] ["'“(]?\p{Lu}|(?:^| )'|'(?: |$)/u; // no name: the end of a sentence or one side of quotes is in it
const BETWEEN = /( – | < )/;
const kindOf = (name: string) => /^(n|when|said|list|all|word|part|id)\d*$/.exec(name)?.[1] ?? '';

function templateOf(english: string, other: string): Template {
  const parts = english.split(SLOT);
  const literals = parts.filter((_, i) => i % 2 === 0);
  return {
    english,
    literals,
    names: parts.filter((_, i) => i % 2 === 1),
    other: other.split(SLOT),
    mark: literals.reduce((a, b) => (b.length > a.length ? b : a)),
    weight: literals.reduce((sum, l) => sum + l.length, 0),
  };
}

export class Book {
  private readonly exact = new Map<string, string>();
  private readonly byWord = new Map<string, Template[]>(); // those that begin with a whole word
  private readonly open: Template[] = [];
  private readonly memo = new Map<string, Bit[]>();
  private readonly point: string;
  private readonly day: Intl.DateTimeFormat;
  private readonly hour: Intl.DateTimeFormat;

  constructor(pairs: Pairs, locale: string) {
    this.point = new Intl.NumberFormat(locale).formatToParts(1.5).find((p) => p.type === 'decimal')?.value ?? '.';
    this.day = new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' });
    this.hour = new Intl.DateTimeFormat(locale, { weekday: 'short', day: 'numeric', month: 'long', hour: '2-digit', minute: '2-digit', timeZone: 'UTC' });
    for (const [english, other] of pairs) {
      if (!SLOT.test(english)) this.exact.set(english, other);
      else this.put(templateOf(english, other));
    }
    for (const list of [...this.byWord.values(), this.open]) list.sort((a, b) => b.weight - a.weight);
  }
  private put(template: Template): void {
    const word = /^[^ ]+(?= )/.exec(template.literals[0]!)?.[0];
    if (word === undefined) this.open.push(template);
    else this.byWord.set(word, [...(this.byWord.get(word) ?? []), template]);
  }

  // The text in bits, said in the other language where the book knows it.
  say(text: string): Bit[] {
    const known = this.memo.get(text);
    if (known) return known;
    if (this.memo.size >= KEPT) this.memo.clear();
    const bits = text.length > LONGEST ? [{ text, english: true }] : this.take(text);
    this.memo.set(text, bits);
    return bits;
  }
  // Null when not all of it is known.
  whole(text: string): string | null {
    const bits = this.say(text);
    return bits.some((b) => b.english) ? null : bits.map((b) => b.text).join('');
  }
  // One word in a context of its own (msgctxt), as gettext keys it; as it is when the book has none.
  word(text: string, context: string): string {
    return this.exact.get(`${context}\u0004${text}`) ?? text;
  }
  // Which template a sentence is, and what stands in its slots.
  recognise(sentence: string): { english: string; slots: Slots } | null {
    if (this.exact.has(sentence)) return { english: sentence, slots: {} };
    const found = this.find(sentence, true);
    return found && { english: found.template.english, slots: found.slots };
  }

  private take(text: string): Bit[] {
    // A refusal comes as what is wrong, and after a dash what helps; reasons for an hour as a chain.
    const parts = text.split(BETWEEN);
    if (parts.length > 1) return parts.flatMap((part, i) => (i % 2 === 1 ? [{ text: part.replace('<', '←'), english: false }] : this.say(part)));
    const ends = [...[...text.matchAll(BREAK)].map((m) => m.index + 1), text.length];
    const bits: Bit[] = [];
    for (let from = 0, first = 0; first < ends.length; ) {
      let last = ends.length - 1;
      let said: string | null = null;
      for (; said === null && last >= first; last -= 1) said = this.one(text.slice(from, ends[last]), false);
      last = said === null ? first : last + 1;
      bits.push({ text: (from > 0 ? ' ' : '') + (said ?? text.slice(from, ends[last])), english: said === null });
      from = ends[last]! + 1;
      first = last + 1;
    }
    // A typed name may look like the end of a sentence ("Dr. Hill").
    const loose = bits.length > 1 && bits.some((b) => b.english) ? this.one(text, true) : null;
    return loose === null ? bits : [{ text: loose, english: false }];
  }
  private one(sentence: string, loose: boolean): string | null {
    const exact = this.exact.get(sentence);
    if (exact !== undefined) return exact;
    const found = this.find(sentence, loose);
    if (!found) return null;
    return found.template.other.map((part, i) => (i % 2 === 0 ? part : this.slot(part, found.slots[part] ?? '') ?? '')).join('');
  }
  private find(sentence: string, loose: boolean): { template: Template; slots: Slots } | null {
    const word = /^[^ ]+(?= )/.exec(sentence)?.[0] ?? '';
    for (const list of [this.byWord.get(word) ?? [], this.open]) {
      for (const template of list) {
        if (!sentence.includes(template.mark)) continue;
        const slots = this.match(template, sentence, loose);
        if (slots) return { template, slots };
      }
    }
    return null;
  }
  // Every slot takes as little as it can; a place that failed once is not tried again, so the work stays slots × length.
  private match({ literals, names }: Template, text: string, loose: boolean): Slots | null {
    const slots: Slots = {};
    const failed = new Set<number>();
    const from = (k: number, at: number): boolean => {
      if (k === names.length) return at === text.length;
      const key = k * (text.length + 1) + at;
      if (failed.has(key)) return false;
      const next = literals[k + 1]!;
      const last = k === names.length - 1;
      for (let end = last ? text.length - next.length : text.indexOf(next, at + 1); end > at; end = last ? -1 : text.indexOf(next, end + 1)) {
        const value = text.slice(at, end);
        if (!text.startsWith(next, end) || !this.fits(names[k]!, value, loose)) continue;
        if (!from(k + 1, end + next.length)) continue;
        slots[names[k]!] = value;
        return true;
      }
      failed.add(key);
      return false;
    };
    return text.startsWith(literals[0]!) && from(0, literals[0]!.length) ? slots : null;
  }
  private fits(name: string, value: string, loose: boolean): boolean {
    const kind = kindOf(name);
    if (kind === '' || kind === 'word' || kind === 'list' || kind === 'part') return loose || !TORN.test(value);
    return this.slot(name, value) !== null;
  }
  private slot(name: string, value: string): string | null {
    switch (kindOf(name)) {
      case 'n':
        return NUMBER.test(value) ? value.replaceAll(/(?<=\d)\.(?=\d)/g, this.point) : null;
      case 'when':
        return this.moment(value);
      case 'said':
        return this.whole(value);
      case 'all': {
        const said = value.split(/(?<=[.!?]), /).map((one) => this.whole(one));
        return said.includes(null) ? null : said.join(' ');
      }
      case 'word':
        return this.one(value, true) ?? value;
      case 'list':
        return this.list(value);
      case 'part':
        return value.split(', ').map((one) => this.word(one, 'part')).join(', ');
      case 'id':
        return STEP_ID.test(value) ? value : null;
      default:
        return value;
    }
  }
  // Names have commas of their own ("Metal primer, alkyd"): the longest that is known is taken.
  private list(value: string): string {
    const items = value.split(', ');
    const said: string[] = [];
    for (let from = 0; from < items.length; ) {
      let to = Math.min(items.length, from + 4);
      while (to > from + 1 && !this.exact.has(items.slice(from, to).join(', '))) to -= 1;
      const item = items.slice(from, to).join(', ');
      said.push(this.exact.get(item) ?? item);
      from = to;
    }
    return said.join(', ');
  }
  private moment(value: string): string | null {
    const found = MOMENT.exec(value);
    if (!found) return null;
    const [year, month, day, hour, minute] = found.slice(1).map(Number) as [number, number, number, number, number];
    const timed = found[4] !== undefined;
    return (timed ? this.hour : this.day).format(Date.UTC(year, month - 1, day, timed ? hour : 12, timed ? minute : 0));
  }
}
