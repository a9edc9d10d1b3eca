import { describe, expect, it } from 'vitest';
import { amountTyped, readShelf } from '../../src/stock';

describe('amounts as they are typed', () => {
  it('reads litres, quarts and pieces', () => {
    expect(amountTyped('0,6', 'l', 'metric')).toBe(0.6);
    expect(amountTyped('600 ml', 'l', 'metric')).toBe(0.6);
    expect(amountTyped('.5L', 'l', 'metric')).toBe(0.5);
    expect(amountTyped('2', 'l', 'us')).toBe(1.8927);
    expect(amountTyped('1 gal', 'l', 'metric')).toBe(3.7854);
    expect(amountTyped('3', 'piece', 'us')).toBe(3);
    expect(amountTyped('12', 'm', 'us')).toBe(3.6576);
    expect(amountTyped('0', 'l', 'metric')).toBe(0);
  });
  it('takes nothing it cannot read', () => {
    for (const typed of ['', 'much', '-1', '1e9 l', '3 l of it', '200000', '1.2.3']) expect(amountTyped(typed, 'l', 'metric')).toBeNull();
    expect(amountTyped('3 l', 'piece', 'metric')).toBeNull();
  });
});

describe('the shelf as it is told', () => {
  it('keeps what is below zero below zero, and what was taken back out', () => {
    const shelf = readShelf({
      lines: [{ product: 'a', name: 'A', unit: 'l', on_shelf: -0.3, free: -0.5, reserved: 0.5, use_by: null, short: [{ step: 'P1-01', when: '2026-03-04T09:00', amount: 0.3 }] }],
      told: [
        { key: 'one', when: 'x', stock: 'came', stands: true, lines: [{ product: 'a', amount: 1 }] },
        { key: 'two', when: 'x', stock: 'counted', stands: false, lines: [] },
        { key: 'three', when: 'x', stock: 'gone', stands: true, lines: [] },
      ],
    })!;
    expect(shelf.lines[0]!.onShelf).toBe(-0.3);
    expect(shelf.lines[0]!.short[0]!.step).toBe('P1-01');
    expect(shelf.told.map((one) => one.key)).toEqual(['three', 'one']);
    expect(readShelf('no')).toBeNull();
  });
});
