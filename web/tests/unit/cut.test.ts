import { describe, expect, it } from 'vitest';
import { gapPercent, readList, readState, ruleOf, tidied, yards, type Layout } from '../../src/cut/cut';

describe('cutting layouts', () => {
  it('says yards in eighths', () => {
    expect(yards(1.375)).toBe('1 3/8 yd');
    expect(yards(0.5)).toBe('1/2 yd');
    expect(yards(2)).toBe('2 yd');
    expect(yards(0)).toBe('0 yd');
  });
  it('draws a rule of a round length, at most a third of the width', () => {
    expect(ruleOf(1400, false)).toEqual({ mm: 200, count: 20 });
    expect(ruleOf(1400, true)).toEqual({ mm: 254, count: 10 });
    for (const width of [60, 300, 1370, 5000]) expect(ruleOf(width, false).mm).toBeLessThanOrEqual(width / 3);
  });
  it('leaves out what is empty', () => {
    expect(
      tidied({ id: 'moss', name: 'Moss', roll_width: '140 cm', seam: ' ', join_widths: false, remnant: [{ id: 'a', width: '', length: '3 cm' }] }),
    ).toEqual({ id: 'moss', name: 'Moss', roll_width: '140 cm' });
    const drawn = { id: 'leaf', outline: [['0 cm', '0 cm']] };
    expect(tidied({ id: 'x', remnant: [drawn] }).remnant).toEqual([drawn]);
  });
  it('reads only what it knows', () => {
    expect(readList({ cuts: [], cloth_zones: 1 })).not.toBeNull();
    expect(readList({})).toBeNull();
    expect(readState({ running: true, layout: null })).not.toBeNull();
    expect(readState({ running: true, layout: {} })).toBeNull();
    expect(readState(null)).toBeNull();
  });
  it('counts how far from the bound a layout is', () => {
    expect(gapPercent({ height_mm: 105, lower_bound_mm: 100 } as Layout)).toBeCloseTo(5);
    expect(gapPercent({ height_mm: 0, lower_bound_mm: 0 } as Layout)).toBe(0);
  });
});
