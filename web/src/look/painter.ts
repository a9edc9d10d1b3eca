// Paints zones of a photo as they are to look, by the formula of docs/picture.md, in linear light. The zones' lines are
// kept as edges in millimetres; only the rectangle in which something changed is painted again. Here in plain
// arithmetic, in chip.ts on the graphics chip.
import type { Segment } from './arc';
import { decode, encode, type Triple } from './color';
import { toPhoto } from './face';
import type { FaceView, Split } from './looks';
import { bounds, loops, type Region } from './region';
import { Weave } from './weave';

// What is wanted in one zone of the picture.
export interface Coat {
  id: string;
  region: Region;
  split: Split;
  grid: Uint16Array; // 8 binary16 a cell: light r g b, ceiling, slope, offset, 0, 0
  surface: 'paint' | 'clear' | 'cloth' | 'metal';
  to: Triple; // linear sRGB; of a clear the gain of each channel
  swatch: ImageBitmap | null; // of a cloth with a pattern
  repeat_mm: number;
}

export interface Painter {
  readonly kind: 'chip' | 'plain';
  // `whole`: nothing of what is on the canvas can be kept.
  paint(coats: Coat[], whole: boolean): void;
  end(): void;
}

export interface Rect {
  x: number;
  y: number;
  width: number;
  height: number;
}

const dot = (a: Triple, b: Triple): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

// Numbers of a split that do not change from pixel to pixel.
export function fixedOf(s: Split) {
  const square = dot(s.albedo, s.albedo);
  const k = s.shrink * s.shrink;
  return {
    along: s.albedo.map((v) => v / square) as Triple,
    own: s.albedo.map((v) => v / (v * v + k)) as Triple,
    shared: s.albedo.map((v) => k / (v * v + k)) as Triple,
    mean: (s.albedo[0] + s.albedo[1] + s.albedo[2]) / 3,
  };
}
export type Fixed = ReturnType<typeof fixedOf>;

// One pixel in linear light, as picture::repaint does it (src/picture/repaint.cpp, split.h). `cell`: light r g b,
// ceiling, slope, offset. `out` holds what is seen and then what is to be.
export function paintPixel(out: Float64Array, cell: ArrayLike<number>, s: Split, f: Fixed, to: ArrayLike<number>, surface: Coat['surface']): void {
  const [r, g, b] = [out[0]!, out[1]!, out[2]!];
  const [lr, lg, lb] = [Math.max(r - s.veil[0], 0.2 * r), Math.max(g - s.veil[1], 0.2 * g), Math.max(b - s.veil[2], 0.2 * b)];
  const [ir, ig, ib] = [cell[0]!, cell[1]!, cell[2]!];
  const [jr, jg, jb] = [lr / ir, lg / ig, lb / ib];
  let gloss = 0;
  let [sr, sg, sb] = [0, 0, 0];
  if (s.clear_wood && surface !== 'clear') {
    const signal =
      s.log_weights[0] * Math.log(Math.max(jr, 1e-4)) + s.log_weights[1] * Math.log(Math.max(jg, 1e-4)) + s.log_weights[2] * Math.log(Math.max(jb, 1e-4));
    sr = sg = sb = Math.min(Math.exp(cell[4]! * (signal - s.log_albedo) + cell[5]!), cell[3]!);
  } else {
    let body = s.to_shading[0] * jr + s.to_shading[1] * jg + s.to_shading[2] * jb;
    let shine = s.to_gloss[0] * jr + s.to_gloss[1] * jg + s.to_gloss[2] * jb;
    const straight = f.along[0] * jr + f.along[1] * jg + f.along[2] * jb;
    if (shine < 0) {
      shine = 0;
      body = straight;
    }
    body = Math.max(body, 0);
    const over = Math.max(0, straight - cell[3]!);
    gloss = s.gloss_by_color * shine + (1 - s.gloss_by_color) * over * f.mean;
    body = s.gloss_by_color * body + (1 - s.gloss_by_color) * (straight - over);
    sr = Math.max(0, (jr - gloss) * f.own[0] + f.shared[0] * body);
    sg = Math.max(0, (jg - gloss) * f.own[1] + f.shared[1] * body);
    sb = Math.max(0, (jb - gloss) * f.own[2] + f.shared[2] * body);
  }
  switch (surface) {
    case 'clear':
      out[0] = ir * ((jr - gloss) * to[0]! + gloss) + r - lr;
      out[1] = ig * ((jg - gloss) * to[1]! + gloss) + g - lg;
      out[2] = ib * ((jb - gloss) * to[2]! + gloss) + b - lb;
      return;
    case 'cloth':
      out[0] = ir * sr * to[0]!;
      out[1] = ig * sg * to[1]!;
      out[2] = ib * sb * to[2]!;
      return;
    case 'metal':
      out[0] = ir * to[0]! * (sr + gloss);
      out[1] = ig * to[1]! * (sg + gloss);
      out[2] = ib * to[2]! * (sb + gloss);
      return;
    case 'paint':
      out[0] = ir * (sr * to[0]! + gloss) + r - lr;
      out[1] = ig * (sg * to[1]! + gloss) + g - lg;
      out[2] = ib * (sb * to[2]! + gloss) + b - lb;
  }
}

export function halfToNumber(h: number): number {
  const sign = h & 0x8000 ? -1 : 1;
  const exponent = (h >> 10) & 31;
  const fraction = h & 1023;
  if (exponent === 0) return sign * fraction * 2 ** -24;
  return sign * (1 + fraction / 1024) * 2 ** (exponent - 15);
}

const linearOf = Float64Array.from({ length: 256 }, (_, i) => decode(i / 255));
const STEPS = 8192; // of the table; finer than half a code everywhere but in the darkest 1/2000
const codeOf = Uint8Array.from({ length: STEPS + 1 }, (_, i) => Math.round(255 * encode(i / STEPS)));

// Where the coat's own light is, as plain numbers: made once a grid.
const unpacked = new WeakMap<Uint16Array, Float32Array>();
function numbersOf(grid: Uint16Array): Float32Array {
  let made = unpacked.get(grid);
  if (!made) unpacked.set(grid, (made = Float32Array.from(grid, halfToNumber)));
  return made;
}

// 8-bit RGBA of the rectangle `part` of a picture of the given size, in place; `cover` is RGBA of the rectangle, its alpha
// is the cover. `thread`: the cloth at a pixel of the picture.
export function paintPlain(
  pixels: Uint8ClampedArray,
  cover: Uint8ClampedArray,
  part: Rect,
  size: { width: number; height: number },
  coat: Pick<Coat, 'split' | 'grid' | 'surface' | 'to'>,
  thread: ((x: number, y: number) => ArrayLike<number>) | null,
): void {
  const { split: s } = coat;
  const f = fixedOf(s);
  const numbers = numbersOf(coat.grid);
  const out = new Float64Array(3);
  const cell = new Float64Array(6);
  for (let y = 0; y < part.height; y++) {
    const gy = Math.min(Math.max(((part.y + y + 0.5) / size.height) * s.grid_height - 0.5, 0), s.grid_height - 1);
    const y0 = Math.floor(gy);
    const ty = gy - y0;
    const rowA = y0 * s.grid_width;
    const rowB = Math.min(y0 + 1, s.grid_height - 1) * s.grid_width;
    for (let x = 0; x < part.width; x++) {
      const i = 4 * (y * part.width + x);
      const m = cover[i + 3]! / 255;
      if (m === 0) continue;
      const gx = Math.min(Math.max(((part.x + x + 0.5) / size.width) * s.grid_width - 0.5, 0), s.grid_width - 1);
      const x0 = Math.floor(gx);
      const x1 = Math.min(x0 + 1, s.grid_width - 1);
      const tx = gx - x0;
      for (let k = 0; k < 6; k++) {
        const top = numbers[8 * (rowA + x0) + k]! * (1 - tx) + numbers[8 * (rowA + x1) + k]! * tx;
        const low = numbers[8 * (rowB + x0) + k]! * (1 - tx) + numbers[8 * (rowB + x1) + k]! * tx;
        cell[k] = top + ty * (low - top);
      }
      for (let c = 0; c < 3; c++) out[c] = linearOf[pixels[i + c]!]!;
      paintPixel(out, cell, s, f, thread ? thread(part.x + x, part.y + y) : coat.to, coat.surface);
      for (let c = 0; c < 3; c++) {
        const seen = linearOf[pixels[i + c]!]!;
        const v = seen + m * (Math.min(1, Math.max(0, out[c]!)) - seen);
        pixels[i + c] = codeOf[Math.round(v * STEPS)]!;
      }
    }
  }
}

const keyOf = (s: Segment): string => `${s.a[0]},${s.a[1]},${s.b[0]},${s.b[1]},${s.bulge}`;

// The edges in which two regions differ: they go round all that is in one and not in the other.
export function differing(p: Region, q: Region): Region {
  const keys = new Set(q.map(keyOf));
  const others = new Set(p.map(keyOf));
  return [...p.filter((s) => !keys.has(keyOf(s))), ...q.filter((s) => !others.has(keyOf(s)))];
}

// Pixels of the canvas that these edges can touch, on a view of `face` shown `width` wide.
export function rectOf(region: Region, face: FaceView, width: number, height: number): Rect | null {
  if (region.length === 0) return null;
  const place = toPhoto(face.corners, face.width_mm, face.height_mm);
  const box = bounds(region);
  // A perspective map takes the box's corners to the hull of what is in it.
  const points = [
    place([box.left, box.bottom]),
    place([box.right, box.bottom]),
    place([box.right, box.top]),
    place([box.left, box.top]),
  ].map(([x, y]) => [(x * width) / face.width, (y * height) / face.height] as const);
  const at = (k: 0 | 1, most: number, pick: (...v: number[]) => number, pad: number) =>
    Math.min(most, Math.max(0, Math.round(pick(...points.map((p) => p[k])) + pad)));
  const left = at(0, width, Math.min, -3);
  const top = at(1, height, Math.min, -3);
  const right = at(0, width, Math.max, 3);
  const bottom = at(1, height, Math.max, 3);
  return right > left && bottom > top ? { x: left, y: top, width: right - left, height: bottom - top } : null;
}
export function joined(p: Rect | null, q: Rect | null): Rect | null {
  if (!p || !q) return p ?? q;
  const [x, y] = [Math.min(p.x, q.x), Math.min(p.y, q.y)];
  return { x, y, width: Math.max(p.x + p.width, q.x + q.width) - x, height: Math.max(p.y + p.height, q.y + q.height) - y };
}
export function common(p: Rect, q: Rect | null): Rect | null {
  if (!q) return null;
  const [x, y] = [Math.max(p.x, q.x), Math.max(p.y, q.y)];
  const [width, height] = [Math.min(p.x + p.width, q.x + q.width) - x, Math.min(p.y + p.height, q.y + q.height) - y];
  return width > 0 && height > 0 ? { x, y, width, height } : null;
}

// What has to be painted again when `before` becomes `after`.
export function changedRect(before: Coat[], after: Coat[], face: FaceView, width: number, height: number): Rect | null {
  let rect: Rect | null = null;
  const grow = (region: Region) => (rect = joined(rect, rectOf(region, face, width, height)));
  for (const coat of after) {
    const old = before.find((c) => c.id === coat.id);
    if (!old) grow(coat.region);
    else if (
      old.surface !== coat.surface || old.split !== coat.split || old.swatch !== coat.swatch || old.repeat_mm !== coat.repeat_mm ||
      old.to.some((v, i) => v !== coat.to[i])
    ) {
      grow(old.region);
      grow(coat.region);
    } else grow(differing(old.region, coat.region));
  }
  for (const old of before) if (!after.some((c) => c.id === old.id)) grow(old.region);
  if (before.length === after.length && before.some((c, i) => c.id !== after[i]!.id)) [...before, ...after].forEach((c) => grow(c.region));
  return rect;
}

export class PlainPainter implements Painter {
  readonly kind = 'plain';
  private before: Coat[] = [];
  private base: CanvasRenderingContext2D | null = null;
  private scratch: CanvasRenderingContext2D | null = null;
  private readonly weaves = new Map<ImageBitmap, Weave>();

  constructor(
    private readonly canvas: HTMLCanvasElement,
    private readonly photo: HTMLImageElement,
    private readonly face: FaceView,
  ) {}

  private sheet(): CanvasRenderingContext2D | null {
    const made = document.createElement('canvas');
    made.width = this.canvas.width;
    made.height = this.canvas.height;
    return made.getContext('2d', { willReadFrequently: true });
  }

  paint(coats: Coat[], whole: boolean): void {
    const { width, height } = this.canvas;
    const pen = this.canvas.getContext('2d', { willReadFrequently: true });
    if (!this.base || this.base.canvas.width !== width || this.base.canvas.height !== height) {
      this.base = this.sheet();
      this.scratch = this.sheet();
      if (this.base) this.base.imageSmoothingQuality = 'high';
      this.base?.drawImage(this.photo, 0, 0, width, height);
      whole = true;
    }
    const part = whole ? { x: 0, y: 0, width, height } : changedRect(this.before, coats, this.face, width, height);
    this.before = coats;
    if (!pen || !this.base || !this.scratch || !part) return;
    const picture = this.base.getImageData(part.x, part.y, part.width, part.height);
    for (const coat of coats) {
      const rect = rectOf(coat.region, this.face, width, height);
      if (!common(part, rect)) continue;
      const cover = this.coverOf(coat, part);
      const thread = coat.surface === 'cloth' && coat.swatch ? this.weaveOf(coat.swatch, coat.repeat_mm).over(this.face, width, height) : null;
      paintPlain(picture.data, cover, part, { width, height }, coat, thread);
    }
    pen.putImageData(picture, part.x, part.y);
  }

  private coverOf(coat: Coat, part: Rect): Uint8ClampedArray {
    const pen = this.scratch!;
    const { width, height } = this.canvas;
    pen.clearRect(part.x, part.y, part.width, part.height);
    const place = toPhoto(this.face.corners, this.face.width_mm, this.face.height_mm);
    pen.beginPath();
    for (const row of loops(coat.region)) {
      row.forEach((p, i) => {
        const [x, y] = place(p);
        if (i === 0) pen.moveTo((x * width) / this.face.width, (y * height) / this.face.height);
        else pen.lineTo((x * width) / this.face.width, (y * height) / this.face.height);
      });
      pen.closePath();
    }
    pen.fill();
    return pen.getImageData(part.x, part.y, part.width, part.height).data;
  }

  private weaveOf(swatch: ImageBitmap, repeat_mm: number): Weave {
    let made = this.weaves.get(swatch);
    if (!made || made.repeat_mm !== repeat_mm) this.weaves.set(swatch, (made = Weave.of(swatch, repeat_mm)));
    return made;
  }
  end(): void {}
}
