// @vitest-environment jsdom
import { cleanup, fireEvent, render, screen } from '@testing-library/svelte';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { Shop } from '../../src/shop.svelte';
import { parseWall } from '../../src/time';
import { View } from '../../src/view';
import { aspectOf, type Point } from '../../src/worth/aspect';
import { query, readingOf, readJudged, EMPTY, type Judged } from '../../src/worth/worth';
import WorthSheet from '../../src/worth/WorthSheet.svelte';

// A seeded generator (Park and Miller, 1988), so that every run is the same.
function generator(seed: number) {
  let state = seed;
  return () => (state = (state * 48271) % 2147483647) / 2147483647;
}
// A pinhole camera before a front of w × h: turned, tilted and rolled, a little off its middle.
function photographed(w: number, h: number, focal: number, [pan, tilt, roll]: readonly [number, number, number], far: number, off: Point, side: number): Point[] {
  const turn = ([x, y, z]: number[]) => {
    const [x1, z1] = [x! * Math.cos(pan) + z! * Math.sin(pan), -x! * Math.sin(pan) + z! * Math.cos(pan)];
    const [y2, z2] = [y! * Math.cos(tilt) - z1 * Math.sin(tilt), y! * Math.sin(tilt) + z1 * Math.cos(tilt)];
    return [x1 * Math.cos(roll) - y2 * Math.sin(roll), x1 * Math.sin(roll) + y2 * Math.cos(roll), z2] as const;
  };
  return ([[-w / 2, -h / 2], [w / 2, -h / 2], [w / 2, h / 2], [-w / 2, h / 2]] as const).map(([x, y]) => {
    const [px, py, pz] = turn([x + off[0], y + off[1], 0]);
    return [side / 2 + (focal * side * px) / (pz + far), (side * 3) / 8 + (focal * side * py) / (pz + far)] as const;
  });
}

describe('the front from a photo', () => {
  it('comes back exactly from a turned and tilted view, whatever the camera', () => {
    for (const [w, h, focal, pan, tilt] of [[90, 75, 0.72, 0.4, 0.3], [40, 110, 1.1, -0.5, 0.25], [160, 80, 0.6, 0.35, -0.4]] as const) {
      const corners = photographed(w, h, focal, [pan, tilt, 0.05], 300, [10, -5], 4000);
      expect(aspectOf(corners, 4000, 3000)! / (w / h)).toBeCloseTo(1, 6);
    }
  });
  it('is near with a hand’s errors: a telephone held roughly square, corners a few pixels off', () => {
    const random = generator(7);
    const misses: number[] = [];
    for (let n = 0; n < 400; n += 1) {
      const [w, h] = [30 + 150 * random(), 30 + 120 * random()];
      const far = 1.6 * Math.max(w, h);
      const pose = [0.3 * (random() - 0.5), 0.3 * (random() - 0.5), 0.06 * (random() - 0.5)] as const;
      const corners = photographed(w, h, 0.68 + 0.1 * random(), pose, far, [0.1 * w * (random() - 0.5), 0.1 * h * (random() - 0.5)], 1600).map(
        ([x, y]) => [x + 4 * (random() - 0.5), y + 4 * (random() - 0.5)] as const,
      );
      misses.push(Math.abs(Math.log(aspectOf(corners, 1600, 1200)! / (w / h))));
    }
    misses.sort((a, b) => a - b);
    console.log(`front from a photo: half within ${(100 * misses[200]!).toFixed(1)} %, nine in ten within ${(100 * misses[360]!).toFixed(1)} %`);
    expect(misses[360]).toBeLessThan(0.04);
    expect(misses[399]).toBeLessThan(0.15);
  });
  it('says nothing of corners that are no rectangle', () => {
    expect(aspectOf([[0, 0], [10, 10], [10, 0], [0, 10]], 100, 100)).toBeNull();
    expect(aspectOf([[0, 0], [10, 0], [10, 10]], 100, 100)).toBeNull();
    expect(aspectOf([[0, 0], [0, 10], [10, 10], [10, 0]], 100, 100)).toBeNull(); // the wrong way round
    expect(aspectOf([[20, 20], [60, 20], [60, 50], [20, 50]], 100, 80)).toBeCloseTo(40 / 30, 9);
  });
});

const span = <T,>(p10: T, p50: T, p90: T) => ({ p10, p50, p90 });
const judged: Judged = {
  hours: span(9, 13.5, 20),
  days: span(6, 8, 12),
  materials: span('31.00', '40.00', '55.00'),
  break_even: span('350.00', '470.00', '690.00'),
  from_cost: span('380.00', '510.00', '750.00'),
  per_hour: span('11.00', '22.00', '38.00'),
  verdict: 'maybe',
  readings: ['varnish', 'varnish, thick or gummy', 'bare wood'],
  hazards: [{ rule: 'lead', severity: 'must-not', reason: 'It may hold lead.', mend: 'Test it first.', source: 'x' }],
  currency: 'EUR',
};

describe('worth taking on', () => {
  afterEach(() => (cleanup(), vi.unstubAllGlobals()));
  it('asks as it was typed, a bare number in the shop’s unit', () => {
    const width = (text: string, us: boolean) => new URLSearchParams(query({ ...EMPTY, width: text, damage: '1' }, us)).get('width');
    expect([width('90', false), width(' 35 1/2 ', true), width('0,9 m', false)]).toEqual(['90 cm', '35 1/2 in', '0.9 m']);
    expect(new URLSearchParams(query({ ...EMPTY, damage: '0,2' }, true)).get('damage')).toBe('0.2 ft2');
    const asked = new URLSearchParams(query({ ...EMPTY, width: '90', height: '75', depth: '42', fronts: '3', damage: '0.1', year: '1936', market: '480', solid: true }, false));
    expect(Object.fromEntries(asked)).toEqual({ existing: 'unknown', wanted: 'clear', fronts: '3', width: '90 cm', height: '75 cm', depth: '42 cm', damage: '0.1 m2', year: '1936', market: '480', solid_wood: 'yes' });
  });
  it('reads what the service says, and nothing else', () => {
    expect(readingOf('bare wood')).toEqual({ existing: 'bare', stubborn: false });
    expect(readJudged({ ...judged, hours: { p10: 1 } })).toBeNull();
  });
  it('says what is missing, asks once, and shows verdict, bands and cautions', async () => {
    localStorage.clear();
    const asked = vi.fn(async () => new Response(JSON.stringify(judged), { status: 200, headers: { 'Content-Type': 'application/json' } }));
    vi.stubGlobal('fetch', asked);
    render(WorthSheet, { shop: new Shop(), view: new View('metric', 'en-GB', parseWall('2026-03-04T09:30')!, 'EUR'), onleave: vi.fn() });
    await fireEvent.click(screen.getByRole('button', { name: 'Judge it' }));
    expect(screen.getByRole('alert').textContent).toContain('Width, height and depth');
    expect(asked).not.toHaveBeenCalled();
    for (const [name, value] of [['Width, cm', '90'], ['Height, cm', '75'], ['Depth, cm', '42']] as const)
      await fireEvent.input(screen.getByLabelText(name), { target: { value } });
    await fireEvent.click(screen.getByRole('button', { name: 'Judge it' }));
    expect(await screen.findByText(/look closer before you agree/)).toBeTruthy();
    expect(screen.getByText(/Price from cost/).closest('li')!.textContent).toContain('510');
    expect(screen.getByText(/It may hold lead/)).toBeTruthy();
    expect(asked).toHaveBeenCalledTimes(1);
  });
});
