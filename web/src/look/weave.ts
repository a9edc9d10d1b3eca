// Cloth from a picture of one repeat, as src/picture/fabric.cpp lays it: tiled from the left bottom corner of the face; a
// pixel that spans many threads sees their mean (a pyramid of halved pictures, Williams 1983).
import { decode } from './color';
import { toFace } from './face';
import type { FaceView } from './looks';

interface Level {
  width: number;
  height: number;
  light: Float32Array; // r g b
}

// The cells under each of `n` cells made from `from`, and how much of it each fills: by length, so that an odd number of
// cells counts none of them twice.
function shares(from: number, n: number): [cell: number, share: number][][] {
  return Array.from({ length: n }, (_, x) => {
    const out: [number, number][] = [];
    for (let cell = Math.floor((x * from) / n); cell * n < (x + 1) * from; cell += 1)
      out.push([cell, (Math.min((cell + 1) * n, (x + 1) * from) - Math.max(cell * n, x * from)) / from]);
    return out;
  });
}

export class Weave {
  private constructor(
    readonly repeat_mm: number,
    private readonly levels: Level[],
  ) {}

  static of(swatch: ImageBitmap, repeat_mm: number): Weave {
    const sheet = document.createElement('canvas');
    sheet.width = swatch.width;
    sheet.height = swatch.height;
    const pen = sheet.getContext('2d')!;
    pen.drawImage(swatch, 0, 0);
    return Weave.from(pen.getImageData(0, 0, swatch.width, swatch.height), repeat_mm);
  }

  static from(picture: { width: number; height: number; data: Uint8ClampedArray }, repeat_mm: number): Weave {
    const first: Level = { width: picture.width, height: picture.height, light: new Float32Array(3 * picture.width * picture.height) };
    for (let i = 0; i < picture.width * picture.height; i += 1)
      for (let c = 0; c < 3; c += 1) first.light[3 * i + c] = decode(picture.data[4 * i + c]! / 255);
    const levels = [first];
    for (;;) {
      const from = levels.at(-1)!;
      if (from.width === 1 && from.height === 1) return new Weave(repeat_mm, levels);
      const half: Level = { width: (from.width + 1) >> 1, height: (from.height + 1) >> 1, light: new Float32Array(0) };
      half.light = new Float32Array(3 * half.width * half.height);
      const across = shares(from.width, half.width);
      shares(from.height, half.height).forEach((row, y) =>
        across.forEach((column, x) => {
          for (const [py, tall] of row)
            for (const [px, wide] of column)
              for (let c = 0; c < 3; c += 1) half.light[3 * (y * half.width + x) + c]! += tall * wide * from.light[3 * (py * from.width + px) + c]!;
        }),
      );
      levels.push(half);
    }
  }

  private sample(level: Level, u: number, v: number, share: number, out: Float64Array): void {
    const x = (u - Math.floor(u)) * level.width - 0.5;
    const y = (1 - (v - Math.floor(v))) * level.height - 0.5;
    const fx = Math.floor(x);
    const fy = Math.floor(y);
    for (let k = 0; k < 4; k += 1) {
      const weight = (k & 1 ? x - fx : 1 - x + fx) * (k >> 1 ? y - fy : 1 - y + fy) * share;
      const px = (fx + (k & 1) + level.width) % level.width;
      const py = (fy + (k >> 1) + level.height) % level.height;
      for (let c = 0; c < 3; c += 1) out[c]! += weight * level.light[3 * (py * level.width + px) + c]!;
    }
  }

  // What a pixel of the face shown `width` x `height` sees of the cloth. The same array every time.
  over(face: FaceView, width: number, height: number): (x: number, y: number) => Float64Array {
    const place = toFace(face.corners, face.width_mm, face.height_mm);
    const out = new Float64Array(3);
    const [w, h] = [this.levels[0]!.width, this.levels[0]!.height];
    const high_mm = (this.repeat_mm * h) / w;
    const repeats = (x: number, y: number): [number, number] => {
      const [mx, my] = place([(x * face.width) / width, (y * face.height) / height]);
      return [mx / this.repeat_mm, my / high_mm];
    };
    return (x, y) => {
      const p = repeats(x + 0.5, y + 0.5);
      const right = repeats(x + 1.5, y + 0.5);
      const down = repeats(x + 0.5, y + 1.5);
      const span = Math.max(
        Math.hypot((right[0] - p[0]) * w, (right[1] - p[1]) * h),
        Math.hypot((down[0] - p[0]) * w, (down[1] - p[1]) * h),
      );
      const wanted = Math.log2(Math.max(span, 1));
      const low = Math.min(Math.floor(wanted), this.levels.length - 1);
      const t = Math.min(1, Math.max(0, wanted - low));
      out.fill(0);
      this.sample(this.levels[low]!, p[0], p[1], 1 - t, out);
      this.sample(this.levels[Math.min(low + 1, this.levels.length - 1)]!, p[0], p[1], t, out);
      return out;
    };
  }
}
