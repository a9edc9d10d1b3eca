import { describe, expect, it } from 'vitest';
import { cssOfLab, hexOfLab, labOfHex, linearOfLab, type Triple } from '../../src/look/color';
import { fromSquare, toFace, toPhoto, type Point } from '../../src/look/face';
import { readBoards, readLooks, type FaceView, type Split } from '../../src/look/looks';
import { changedRect, fixedOf, halfToNumber, paintPixel, paintPlain, type Coat } from '../../src/look/painter';
import { rectangle, subtract, type Region } from '../../src/look/region';
import { Weave } from '../../src/look/weave';

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
  it('goes there and back', () => {
    const [there, back] = [toPhoto(corners, 680, 410), toFace(corners, 680, 410)];
    for (const p of [[0, 0], [680, 410], [340, 205], [13, 400]] as Point[]) {
      const [x, y] = back(there(p));
      expect(x).toBeCloseTo(p[0], 6);
      expect(y).toBeCloseTo(p[1], 6);
    }
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
  const cell = [0.9, 0.8, 0.6, 10, 1, 0]; // light r g b, ceiling, slope, offset
  const painted = (seen: Triple, to: Triple, surface: Coat['surface']): Triple => {
    const out = Float64Array.from(seen);
    paintPixel(out, cell, split, fixedOf(split), to, surface);
    return [out[0]!, out[1]!, out[2]!];
  };

  it('changes the paint and leaves light and shading', () => {
    const to = linearOfLab([62, -12, 6]);
    for (const shade of [0.2, 0.6, 1]) {
      const seen = albedo.map((v, c) => v * shade * cell[c]!) as Triple;
      painted(seen, to, 'paint').forEach((v, c) => expect(v).toBeCloseTo(shade * to[c]! * cell[c]!, 9));
      painted(seen, to, 'cloth').forEach((v, c) => expect(v).toBeCloseTo(shade * to[c]! * cell[c]!, 9)); // no gloss here
      painted(seen, [0.5, 0.8, 1], 'clear').forEach((v, c) => expect(v).toBeCloseTo(seen[c]! * [0.5, 0.8, 1][c]!, 9));
    }
  });
  it('in its own colour changes nothing', () => {
    const seen: Triple = [0.1, 0.05, 0.03];
    painted(seen, albedo, 'paint').forEach((v, c) => expect(v).toBeCloseTo(seen[c]!, 9));
  });
  it('touches only the zone', () => {
    const pixels = new Uint8ClampedArray([120, 90, 60, 255, 120, 90, 60, 255]);
    const cover = new Uint8ClampedArray([0, 0, 0, 255, 0, 0, 0, 0]);
    const one = 0x3c00;
    const grid = new Uint16Array([one, one, one, 0x4900, one, 0, 0, 0]);
    const size = { width: 2, height: 1 };
    paintPlain(pixels, cover, { x: 0, y: 0, ...size }, size, { split, grid, to: [0, 0, 0.5], surface: 'paint' }, null);
    expect([...pixels.slice(4)]).toEqual([120, 90, 60, 255]);
    expect(pixels[2]).toBeGreaterThan(pixels[0]!);
  });
  it('paints again only where something changed', () => {
    const face = { corners: [[100, 100], [500, 100], [500, 300], [100, 300]], width_mm: 400, height_mm: 200, width: 600, height: 400 } as unknown as FaceView;
    const coat = (id: string, region: Region): Coat =>
      ({ id, region, split, grid: new Uint16Array(8), surface: 'paint', to: [1, 1, 1], swatch: null, repeat_mm: 0 }) as Coat;
    const plane = rectangle(0, 0, 400, 200);
    const [old, now] = [rectangle(100, 50, 50, 50), rectangle(110, 50, 50, 50)];
    const before = [coat('rest', subtract(plane, old)), coat('a', old)];
    const after = [{ ...before[0]!, region: subtract(plane, now) }, { ...before[1]!, region: now }];
    expect(changedRect(before, before, face, 600, 400)).toBeNull();
    // From 100 to 160 mm, three pixels to spare.
    expect(changedRect(before, after, face, 600, 400)).toEqual({ x: 197, y: 197, width: 66, height: 56 });
    expect(changedRect(before, [{ ...before[0]!, to: [0, 1, 1] }, before[1]!], face, 600, 400)).toEqual({ x: 97, y: 97, width: 406, height: 206 });
    expect(changedRect(before, [before[0]!], face, 300, 200)).toEqual({ x: 97, y: 97, width: 31, height: 31 });
  });
  it('weaves a cloth at its true scale', () => {
    const face = { corners: [[0, 0], [400, 0], [400, 200], [0, 200]], width_mm: 400, height_mm: 200, width: 400, height: 200 } as unknown as FaceView;
    // Left half white, right half black, 32 mm wide: at one pixel a millimetre white for 16 pixels, black for 16.
    const data = Uint8ClampedArray.from({ length: 4 * 32 * 4 }, (_, i) => (i % 4 === 3 ? 255 : (i >> 2) % 32 < 16 ? 255 : 0));
    const thread = Weave.from({ width: 32, height: 4, data }, 32).over(face, 400, 200);
    for (const x of [2, 8, 13, 34, 98]) expect(thread(x, 50)[0]).toBeCloseTo(1, 6);
    for (const x of [18, 24, 29, 50, 114]) expect(thread(x, 50)[0]).toBeCloseTo(0, 6);
    // Far away it is the mean, in linear light.
    const far = Weave.from({ width: 32, height: 4, data }, 0.5).over(face, 400, 200);
    expect(far(100, 100)[0]).toBeCloseTo(0.5, 6);
  });
  // One white column of seven: from afar a seventh, wherever it is.
  it('counts no thread twice when their number is odd', () => {
    const face = { corners: [[0, 0], [400, 0], [400, 200], [0, 200]], width_mm: 400, height_mm: 200, width: 400, height: 200 } as unknown as FaceView;
    for (let white = 0; white < 7; white += 1) {
      const data = Uint8ClampedArray.from({ length: 4 * 7 * 5 }, (_, i) => (i % 4 === 3 ? 255 : (i >> 2) % 7 === white ? 255 : 0));
      expect(Weave.from({ width: 7, height: 5, data }, 0.1).over(face, 400, 200)(100, 100)[0]).toBeCloseTo(1 / 7, 6);
    }
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
