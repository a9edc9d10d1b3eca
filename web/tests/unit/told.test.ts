// Planned against told: reading, adding, and money as it is typed.
import { describe, expect, it } from 'vitest';
import { Book } from '../../src/intake/book.svelte';
import { amountOf, boughtFor, readTold, readYear, standing, sumOf, withAgreed, withBought } from '../../src/told/told';

describe('money as it is typed', () => {
  it('is read with a point or a comma', () => {
    expect(amountOf('480')).toBe('480.00');
    expect(amountOf(' 480,5 ')).toBe('480.50');
    expect(amountOf('0007.05')).toBe('7.05');
    expect(amountOf('1 250.00')).toBe('1250.00');
    expect(amountOf('0')).toBe('0.00'); // for a friend
  });
  it('is not guessed at', () => {
    for (const wrong of ['', 'much', '-5', '1,250.00', '1.234', '1,250', '5 EUR', '12345678901']) expect(amountOf(wrong), wrong).toBeNull();
  });
  it('adds without rounding', () => {
    expect(sumOf([])).toBe('0.00');
    expect(sumOf(['0.10', '0.20', '1000000.05', '-0.35'])).toBe('1000000.00');
  });
});

describe('a piece', () => {
  const piece = { id: 'chair', name: 'Chair', part: [], photo: [{ id: 'p' }] };
  it('has what is not said left out, and the rest left alone', () => {
    const agreed = withAgreed(piece, '480.00');
    expect(agreed).toEqual({ ...piece, agreed: '480.00' });
    expect(withAgreed(agreed, null)).toEqual(piece);
    const bought = withBought(agreed, [{ what: 'oil', amount: '21.50' }]);
    expect(boughtFor(bought)).toEqual([{ what: 'oil', amount: '21.50' }]);
    expect(withBought(bought, [])).toEqual(agreed);
    expect(boughtFor(null)).toEqual([]);
  });
  it('stands as the change that waits on this device has it', () => {
    const store = new Map<string, string>();
    const book = new Book({ getItem: (n) => store.get(n) ?? null, setItem: (n, v) => void store.set(n, v) }, () => 0, () => undefined);
    expect(standing(book, 'chair')).toBeNull();
    const waiting = { key: 'k', chapter: 'piece/chair', change: { put: 'piece/chair', body: { ...piece, agreed: '1.00' } }, label: '', state: 'kept' as const, why: '' };
    book.waiting = [waiting];
    expect(standing(book, 'chair')?.agreed).toBe('1.00');
    book.waiting = [{ ...waiting, state: 'refused' }];
    expect(standing(book, 'chair')).toBeNull();
  });
});

it('reads what the service tells, and nothing else', () => {
  const hours = { steps: 2, done: 1, timed: 0, planned_hours: 1, timed_planned_hours: 0, took_hours: null, untimed_planned_hours: 0.5 };
  const one = { id: 'a', hours, kinds: [hours], planned: {}, as_it_went: {} };
  expect(readTold({ currency: 'EUR', pieces: [one] })?.hours.took_hours).toBeNull();
  for (const wrong of [null, 3, {}, { pieces: [] }, { pieces: [{ id: 'a' }] }]) expect(readTold(wrong)).toBeNull();
  expect(readYear({ year: 2026, pieces: [], months: [], total: {}, years: [] })?.year).toBe(2026);
  for (const wrong of [null, [], { year: 2026 }, { year: '2026', pieces: [], months: [], total: {}, years: [] }]) expect(readYear(wrong)).toBeNull();
});
