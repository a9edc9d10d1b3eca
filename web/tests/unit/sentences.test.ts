// The sentence book: each translation whole, its templates found again, none of them stale.
import { readFileSync, readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readBook } from '../../build/book';
import { sources, windowsFound, wordsFound } from '../../build/book-sources';
import { Book } from '../../src/words/book';

const root = resolve(import.meta.dirname, '../../..');
const shelf = join(root, 'catalog/words');
const SLOT = /\{([a-z]+\d*)\}/g;
const holes = (text: string) => [...text.matchAll(SLOT)].map((m) => m[1]!).sort();
// Something that may stand in a slot of that kind, another one for each.
const sample = (name: string): string => {
  const k = Number(/\d+$/.exec(name)?.[0] ?? 1);
  const kind = name.replace(/\d+$/, '');
  if (kind === 'n') return ['12', '7.5', '380', '2.25'][k - 1]!;
  if (kind === 'when') return ['2026-03-04', 'Wed 2026-03-04 17:30', '2027-01-01T08:00', '2027-12-31'][k - 1]!;
  if (kind === 'said') return ['you pinned it to this hour', 'brush', 'Grime goes first'][k - 1]!.replace('Grime goes first', 'by hand');
  if (kind === 'all') return 'Stains skin., Irritates eyes.';
  if (kind === 'list') return 'Wiping varnish, Metal primer, alkyd';
  if (kind === 'id') return `chair-0${k}`;
  return ['Zamp', 'Quor Vell', 'Ibix'][k - 1]!;
};
const filled = (template: string) => template.replaceAll(SLOT, (_, name: string) => sample(name));

describe.each(readdirSync(shelf).filter((f) => f.endsWith('.po')))('the book %s', (file) => {
  const pairs = readBook(join(shelf, file));
  const sentences = pairs.filter(([english]) => !english.includes('\u0004'));
  const book = new Book(pairs, file.replace('.po', ''));

  it('has every slot of the English in the translation, and nothing else in braces', () => {
    for (const [english, other] of pairs) {
      expect([english, holes(other)]).toEqual([english, holes(english)]);
      for (const text of [english, other]) {
        expect(text.replaceAll(SLOT, 'x'), text).not.toMatch(/[{}]|\s$|^\s| {2}/);
        expect(new Set(holes(text)).size, text).toBe(holes(text).length);
      }
    }
  });

  it('knows each of its own sentences again, with the same in its slots', () => {
    for (const [english] of sentences) {
      const text = filled(english);
      const found = book.recognise(text);
      expect(found, text).toBeTruthy();
      // Another template may be the same sentence in other parts; said, it must come out whole.
      if (found!.english === english) for (const [name, value] of Object.entries(found!.slots)) expect([text, name, value]).toEqual([text, name, sample(name)]);
      expect(book.whole(text), text).not.toBeNull();
    }
    const own = sentences.filter(([english]) => book.recognise(filled(english))!.english === english).length;
    expect(own / sentences.length).toBeGreaterThan(0.985);
  });

  it('has only what the engines or the catalogue can still say', () => {
    const all = sources(root);
    const stale = pairs
      .map(([english]) => english.split('\u0004').at(-1)!)
      .filter((english) => windowsFound(all, english).share < 0.8 && !wordsFound(all, english));
    expect(stale).toEqual([]);
  }, 120_000);
});

// Held by the engines' own book too (tests/tongue/book_test.cpp).
describe('the cases of both books', () => {
  const { entries, said } = JSON.parse(readFileSync(join(root, 'tests/tongue/cases.json'), 'utf8')) as {
    entries: [string, string][];
    said: [english: string, other: string | null][];
  };
  const book = new Book(entries, 'de');
  it.each(said)('%s', (english, other) => expect(book.whole(english)).toBe(other));
});

describe('a book', () => {
  const book = new Book(
    [
      ['Sand P{n}', 'Schleifen mit P{n}'],
      ['Paint: {word}, {said}', 'Streichen: {word}, {said}'],
      ['brush', 'Pinsel'],
      ['Metal primer, alkyd', 'Metallgrund'],
      ['Chair', 'Stuhl'],
      ['{name} waits', '{name} wartet'],
      ['Wet with {list}.', 'Nass von {list}.'],
      ['Wait {n}.', '{n} warten.'],
      ['Ready {when}.', 'Fertig {when}.'],
      ['Stop.', 'Halt.'],
      ['part\u0004top', 'Platte'],
      ['top', 'oben'],
      ['on ({part})', 'an ({part})'],
    ],
    'de',
  );
  it('carries numbers, dates and words over, and leaves what was typed', () => {
    expect(book.whole('Sand P120')).toBe('Schleifen mit P120');
    expect(book.whole('Sand Poodle')).toBeNull();
    expect(book.whole('Wait 2.5 h.')).toBe('2,5 h warten.');
    expect(book.whole('Ready 2026-03-04.')).toBe('Fertig 4. März 2026.');
    expect(book.whole('Ready Wed 2026-03-04 17:30.')).toBe('Fertig Mi., 4. März um 17:30.');
    expect(book.whole('Chair waits')).toBe('Chair wartet');
    expect(book.whole('on (top, my-own)')).toBe('an (Platte, my-own)');
    expect(book.whole('<b>x</b> waits')).toBe('<b>x</b> wartet');
  });
  it('takes words with commas of their own whole', () => {
    expect(book.whole('Paint: Metal primer, alkyd, brush')).toBe('Streichen: Metallgrund, Pinsel');
    expect(book.whole('Paint: Odd stuff, red, brush')).toBe('Streichen: Odd stuff, red, Pinsel');
    expect(book.whole('Wet with Metal primer, alkyd, Oil.')).toBe('Nass von Metallgrund, Oil.');
  });
  it('takes sentences apart, and marks what it does not know', () => {
    expect(book.say('Stop. Wait 3 h. Nobody knows. Stop.')).toEqual([
      { text: 'Halt.', english: false },
      { text: ' 3 h warten.', english: false },
      { text: ' Nobody knows.', english: true },
      { text: ' Halt.', english: false },
    ]);
    expect(book.say('Stop. – brush').map((b) => b.text).join('')).toBe('Halt. – Pinsel');
    expect(book.whole('Dr. Hill waits')).toBe('Dr. Hill wartet');
  });
  it('comes back from a sentence made to be taken apart in many ways', () => {
    const many = new Book([['{name} a {name2} a {name3} a {name4} b', '{name}{name2}{name3}{name4}']], 'de');
    expect(many.whole(`${'a '.repeat(700)}c`)).toBeNull();
  });
});
