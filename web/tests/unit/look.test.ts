import { describe, expect, it } from 'vitest';
import { cssOfLab, hexOfLab, labOfHex, linearOfLab, type Triple } from '../../src/look/color';
import { fromSquare, outlineOf, snap, toPhoto, type Point } from '../../src/look/face';
import { readBoards, readLooks, type Split } from '../../src/look/looks';
import { fixedOf, halfToNumber, paintPixel, paintPlain, type Cell } from '../../src/look/painter';

describe('colours on the page', () => {
  it('goes there and back for every tenth code', () => {
    for (let r = 0; r < 256; r += 17)
      for (let g = 0; g < 256; g += 17)
        for (let b = 0; b < 256; b += 17) {
          const hex = `#${[r, g, b].map((v) => v.toString(16).padStart(2, '0')).join('')}`;
          expect(hexOfLab(labOfHex(hex))).toBe(hex);
        }
  });
  it('has the white of CSS Color 4', () => {
    const [l, a, b] = labOfHex('#ffffff');
    expect(l).toBeCloseTo(100, 4);
    expect(Math.hypot(a, b)).toBeLessThan(0.02);
  });
  // CSS Color 4, section 9.3 example: lab(29.2345% 39.3825 20.0664) is rgb(49.06% 16.51% 16.51%) or so: #7d2329.
  it('knows the example of the standard', () => {
    expect(hexOfLab([29.2345, 39.3825, 20.0664])).toBe('#7d2329');
  });
  it('writes what the service reads', () => expect(cssOfLab([62.04, -12, 6.25])).toBe('lab(62 -12 6.3)'));
});

describe('a face on a photo', () => {
  const corners: Point[] = [
    [259, 227],
    [1258, 195],
    [1227, 748],
    [299, 835],
  ];
  it('takes corners to corners', () => {
    const m = fromSquare(corners);
    const square: Point[] = [
      [0, 0],
      [1, 0],
      [1, 1],
      [0, 1],
    ];
    square.forEach(([u, v], i) => {
      const w = m[6]! * u + m[7]! * v + m[8]!;
      expect((m[0]! * u + m[1]! * v + m[2]!) / w).toBeCloseTo(corners[i]![0], 6);
      expect((m[3]! * u + m[4]! * v + m[5]!) / w).toBeCloseTo(corners[i]![1], 6);
    });
  });
  it('keeps lines straight and y upwards', () => {
    const place = toPhoto(corners, 680, 410);
    expect(place([0, 0])[0]).toBeCloseTo(299, 6);
    expect(place([680, 410])[1]).toBeCloseTo(195, 6);
    const [a, b, c] = [place([0, 100]), place([300, 100]), place([680, 100])];
    const cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    expect(Math.abs(cross)).toBeLessThan(1e-6);
  });
  it('draws an arch up to its rise and no further', () => {
    const arch = outlineOf('arch', { left: 50, bottom: 0, width: 300, spring_height: 100, rise: 80 }, 680)!;
    expect(Math.max(...arch.map((p) => p[1]))).toBeCloseTo(180, 1);
    const r = 300 ** 2 / (8 * 80) + 40;
    for (const [x, y] of arch.slice(2)) expect(Math.hypot(x - 200, y - (180 - r))).toBeCloseTo(r, 6);
  });
  it('half circles have half the area of circles', () => {
    const area = (p: Point[]) =>
      Math.abs(p.reduce((sum, [x, y], i) => sum + x * p[(i + 1) % p.length]![1] - y * p[(i + 1) % p.length]![0], 0)) / 2;
    const keys = { center_x: 340, base_y: 0, center_y: 0, radius: 190 };
    expect(area(outlineOf('half_circle', keys, 680)!)).toBeCloseTo((Math.PI * 190 ** 2) / 2, -2);
    expect(area(outlineOf('circle', keys, 680)!)).toBeCloseTo(Math.PI * 190 ** 2, -2.5);
  });
  it('snaps to thirds, the middle and the edges, and only within reach', () => {
    expect(snap(226, 680, 5)).toEqual({ value: 680 / 3, at: 'third' });
    expect(snap(338, 680, 5)).toEqual({ value: 340, at: 'middle' });
    expect(snap(300, 680, 5)).toEqual({ value: 300, at: '' });
  });
});

describe('painting', () => {
  const albedo: Triple = [0.3, 0.15, 0.08];
  const square = albedo.reduce((sum, v) => sum + v * v, 0);
  const split: Split = {
    albedo,
    veil: [0, 0, 0],
    light_guessed: false,
    clear_wood: false,
    to_shading: albedo.map((v) => v / square) as Triple,
    to_gloss: [0, 0, 0],
    gloss_by_color: 1,
    shrink: 0,
    log_weights: [1 / 3, 1 / 3, 1 / 3],
    log_albedo: 0,
    grid_width: 1,
    grid_height: 1,
  };
  const cell: Cell = { light: [0.9, 0.8, 0.6], ceiling: 10, slope: 1, offset: 0 };

  it('changes the paint and leaves light and shading', () => {
    const to = linearOfLab([62, -12, 6]);
    for (const shade of [0.2, 0.6, 1]) {
      const seen = albedo.map((v, c) => v * shade * cell.light[c]!) as Triple;
      const out = paintPixel(seen, cell, split, fixedOf(split), to, false);
      out.forEach((v, c) => expect(v).toBeCloseTo(shade * to[c]! * cell.light[c]!, 9));
    }
  });
  it('in its own colour changes nothing', () => {
    const seen: Triple = [0.1, 0.05, 0.03];
    paintPixel(seen, cell, split, fixedOf(split), albedo, false).forEach((v, c) => expect(v).toBeCloseTo(seen[c]!, 9));
  });
  it('touches only the zone', () => {
    const pixels = new Uint8ClampedArray([120, 90, 60, 255, 120, 90, 60, 255]);
    const cover = new Uint8ClampedArray([255, 255, 255, 255, 0, 0, 0, 255]);
    const one = 0x3c00;
    const grid = new Uint16Array([one, one, one, 0x4900, one, 0, 0, 0]);
    paintPlain(pixels, cover, 2, 1, { split, grid, to: [0, 0, 0.5], metal: false });
    expect([...pixels.slice(4)]).toEqual([120, 90, 60, 255]);
    expect(pixels[2]).toBeGreaterThan(pixels[0]!);
  });
  // IEEE 754-2019, binary16.
  it('reads half floats', () => {
    expect(halfToNumber(0x3c00)).toBe(1);
    expect(halfToNumber(0xc000)).toBe(-2);
    expect(halfToNumber(0x7bff)).toBe(65504);
    expect(halfToNumber(0x0001)).toBe(2 ** -24);
    expect(halfToNumber(0x3555)).toBeCloseTo(1 / 3, 3);
  });
});

describe('what the service says', () => {
  it('is refused or mended, never trusted', () => {
    expect(readLooks(null)).toBeNull();
    expect(readLooks({ pieces: 3 })).toBeNull();
    expect(readBoards([])).toBeNull();
    const looks = readLooks({ pieces: [{ id: 'a', views: [{ corners: 'no', zones: [{ zone: 'z', split: {} }] }] }] })!;
    expect(looks.pieces[0]!.views[0]!.corners).toEqual([]);
    expect(looks.pieces[0]!.views[0]!.zones[0]!.split).toBeNull();
    expect(looks.changes).toEqual([]);
  });
});
