// @vitest-environment jsdom
import { cleanup, render } from '@testing-library/svelte';
import { afterEach, describe, expect, it } from 'vitest';
import { money } from '../../src/measure';
import Said from '../../src/parts/Said.svelte';
import { Clockface, parseWall } from '../../src/time';
import { languageFor, localeFor, tongue } from '../../src/tongue.svelte';
import { shelf, told, toldPart, toldText } from '../../src/words/told.svelte';
import { english, languages, say, type Word } from '../../src/words';

afterEach(() => {
  cleanup();
  tongue.choose('en');
});

const holes = (text: string) => [...text.matchAll(/\{(\w+)\}/g)].map((m) => m[1]).sort();

describe.each(Object.entries(languages).filter(([id]) => id !== 'en'))('the words in %s', (_, words) => {
  it('are the same as in English, no more and no fewer', () => expect(Object.keys(words).sort()).toEqual(Object.keys(english).sort()));
  it('leave the same places to fill in', () => {
    for (const [word, text] of Object.entries(english)) expect([word, holes(words[word as Word])]).toEqual([word, holes(text)]);
  });
  it('are never empty', () => {
    for (const [word, text] of Object.entries(words)) expect(`${word}: ${text.trim()}`).not.toMatch(/: $/);
  });
});

describe('the language', () => {
  it('is the one that was chosen, else the first of the reader’s that we have, else English', () => {
    expect(languageFor(null, ['de-CH', 'en'])).toBe('de');
    expect(languageFor(null, ['sv', 'en-GB', 'de'])).toBe('en');
    expect(languageFor('en', ['de'])).toBe('en');
    expect(languageFor('tlh', ['sv'])).toBe('en');
    expect(languageFor('toString', [])).toBe('en');
  });
  it('brings the reader’s own kind of dates and numbers with it', () => {
    expect(localeFor('de', ['sv', 'de-CH'])).toBe('de-CH');
    expect(localeFor('de', ['en-GB'])).toBe('de');
    const clock = new Clockface('de');
    expect(clock.date(parseWall('2026-03-04')!)).toBe('Mittwoch, 4. März');
    expect(money('1319.79', 'EUR', 'de').replace(/\s/g, ' ')).toBe('1.319,79 €');
  });
  it('changes at once, and is kept', () => {
    tongue.choose('de');
    expect(say('head.finish', { when: 'heute' })).toBe('Alles fertig: heute.');
    expect(localStorage.getItem('tackcloth.language')).toBe('de');
  });
});

describe('money', () => {
  // More digits than a double holds: they come out as they went in.
  it('keeps every digit', () => {
    expect(money('9007199254740993.10', 'EUR', 'en-GB')).toBe('€9,007,199,254,740,993.10');
    expect(money('0.1', 'EUR', 'en-GB')).toBe('€0.1');
    expect(money('12.50', 'no such', 'en-GB')).toBe('12.50 no such');
  });
});

describe('a sentence around words of the engines', () => {
  it('marks those as English, and takes script in them as text', () => {
    tongue.choose('de');
    const { container } = render(Said, { word: 'now.holdBecause', fill: { step: '<b>Wash</b>' }, english: ['step'] });
    expect(container.textContent).toBe('Zuerst: „<b>Wash</b>“.');
    expect(container.querySelector('[lang=en]')!.textContent).toBe('<b>Wash</b>');
    expect(container.querySelector('b')).toBeNull();
  });
});

describe('what the engines say', () => {
  it('is English on the English page', () => {
    expect(told('Grime goes first.')).toEqual([{ text: 'Grime goes first.', english: false }]);
    expect(told('')).toEqual([]);
  });
  it('is in the language of the page as soon as the book is there', async () => {
    tongue.choose('de');
    await shelf.fetch('de', tongue.locale);
    expect(toldText('Grime goes first.')).toBe('Schmutz kommt zuerst weg.');
    expect([toldPart('top'), toldPart('my own')]).toEqual(['Platte', 'my own']);
    const { container } = render(Said, { text: 'Sand P120, with the grain' });
    expect(container.textContent).toBe('Schleifen mit P120, mit der Faser');
    expect(container.querySelector('[lang=en]')).toBeNull();
    cleanup();
    const around = render(Said, { word: 'now.holdBecause', fill: { step: 'Sand P120' }, english: ['step'] });
    expect(around.container.textContent).toBe('Zuerst: „Schleifen mit P120“.');
    cleanup();
    const unknown = render(Said, { text: 'Grime goes first. Nobody said <i>this</i>.' });
    expect(unknown.container.querySelector('[lang=en]')!.textContent).toBe(' Nobody said <i>this</i>.');
  });
});
