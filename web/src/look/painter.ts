// Paints a zone of a photo in another colour, by the formula of docs/picture.md: with the graphics chip where there is
// one, else in plain arithmetic. Everything in linear light.
import { decode, encode, type Triple } from './color';
import type { Split } from './looks';

// What is wanted in one zone of the picture.
export interface Coat {
  split: Split;
  grid: Uint16Array; // 8 binary16 a cell: light r g b, ceiling, slope, offset, 0, 0
  cover: TexImageSource; // white is the zone
  to: Triple; // linear sRGB
  metal: boolean;
}

export interface Painter {
  readonly kind: 'chip' | 'plain';
  paint(photo: HTMLImageElement, coats: Coat[]): void;
  end(): void;
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

export interface Cell {
  light: Triple;
  ceiling: number;
  slope: number;
  offset: number;
}

// One pixel in linear light, as picture::repaint does it (src/picture/repaint.cpp, split.h).
export function paintPixel(seen: Triple, cell: Cell, s: Split, f: ReturnType<typeof fixedOf>, to: Triple, metal: boolean): Triple {
  const left = seen.map((v, c) => Math.max(v - s.veil[c]!, 0.2 * v)) as Triple;
  const veil = seen.map((v, c) => v - left[c]!) as Triple;
  const j = left.map((v, c) => v / cell.light[c]!) as Triple;
  let shading: Triple;
  let gloss = 0;
  if (s.clear_wood) {
    const logs = j.map((v) => Math.log(Math.max(v, 1e-4))) as Triple;
    const v = Math.min(Math.exp(cell.slope * (dot(s.log_weights, logs) - s.log_albedo) + cell.offset), cell.ceiling);
    shading = [v, v, v];
  } else {
    let body = dot(s.to_shading, j);
    let shine = dot(s.to_gloss, j);
    const straight = dot(f.along, j);
    if (shine < 0) {
      shine = 0;
      body = straight;
    }
    body = Math.max(body, 0);
    const over = Math.max(0, straight - cell.ceiling);
    gloss = s.gloss_by_color * shine + (1 - s.gloss_by_color) * over * f.mean;
    body = s.gloss_by_color * body + (1 - s.gloss_by_color) * (straight - over);
    shading = j.map((v, c) => Math.max(0, (v - gloss) * f.own[c]! + f.shared[c]! * body)) as Triple;
  }
  return shading.map((v, c) =>
    metal ? cell.light[c]! * to[c]! * (v + gloss) : cell.light[c]! * (v * to[c]! + gloss) + veil[c]!,
  ) as Triple;
}

export function halfToNumber(h: number): number {
  const sign = h & 0x8000 ? -1 : 1;
  const exponent = (h >> 10) & 31;
  const fraction = h & 1023;
  if (exponent === 0) return sign * fraction * 2 ** -24;
  return sign * (1 + fraction / 1024) * 2 ** (exponent - 15);
}

function cellAt(numbers: Float32Array, s: Split, x: number, y: number): Cell {
  const gx = Math.min(Math.max(x * s.grid_width - 0.5, 0), s.grid_width - 1);
  const gy = Math.min(Math.max(y * s.grid_height - 0.5, 0), s.grid_height - 1);
  const x0 = Math.floor(gx);
  const y0 = Math.floor(gy);
  const x1 = Math.min(x0 + 1, s.grid_width - 1);
  const y1 = Math.min(y0 + 1, s.grid_height - 1);
  const value = (k: number) => {
    const at = (cx: number, cy: number) => numbers[8 * (cy * s.grid_width + cx) + k]!;
    const top = at(x0, y0) + (gx - x0) * (at(x1, y0) - at(x0, y0));
    const low = at(x0, y1) + (gx - x0) * (at(x1, y1) - at(x0, y1));
    return top + (gy - y0) * (low - top);
  };
  return { light: [value(0), value(1), value(2)], ceiling: value(3), slope: value(4), offset: value(5) };
}

// 8-bit RGBA in place; `cover` is RGBA too, its red is the cover.
export function paintPlain(pixels: Uint8ClampedArray, cover: Uint8ClampedArray, width: number, height: number, coat: Omit<Coat, 'cover'>): void {
  const f = fixedOf(coat.split);
  const numbers = Float32Array.from(coat.grid, halfToNumber);
  const linear = Float32Array.from({ length: 256 }, (_, i) => decode(i / 255));
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = 4 * (y * width + x);
      const m = cover[i]! / 255;
      if (m === 0) continue;
      const seen: Triple = [linear[pixels[i]!]!, linear[pixels[i + 1]!]!, linear[pixels[i + 2]!]!];
      const cell = cellAt(numbers, coat.split, (x + 0.5) / width, (y + 0.5) / height);
      const out = paintPixel(seen, cell, coat.split, f, coat.to, coat.metal);
      for (let c = 0; c < 3; c++) {
        const v = seen[c]! + m * (out[c]! - seen[c]!);
        pixels[i + c] = Math.round(255 * encode(Math.min(1, Math.max(0, v))));
      }
    }
  }
}

export class PlainPainter implements Painter {
  readonly kind = 'plain';
  constructor(private readonly canvas: HTMLCanvasElement) {}
  paint(photo: HTMLImageElement, coats: Coat[]): void {
    const { width, height } = this.canvas;
    const context = this.canvas.getContext('2d', { willReadFrequently: true });
    if (!context) return;
    context.drawImage(photo, 0, 0, width, height);
    const picture = context.getImageData(0, 0, width, height);
    const scratch = document.createElement('canvas');
    scratch.width = width;
    scratch.height = height;
    const other = scratch.getContext('2d', { willReadFrequently: true });
    if (!other) return;
    for (const coat of coats) {
      other.clearRect(0, 0, width, height);
      other.drawImage(coat.cover as CanvasImageSource, 0, 0, width, height);
      paintPlain(picture.data, other.getImageData(0, 0, width, height).data, width, height, coat);
    }
    context.putImageData(picture, 0, 0);
  }
  end(): void {}
}

const VERTEX = `#version 300 es
in vec2 place; out vec2 uv;
void main() { uv = vec2(0.5 + 0.5 * place.x, 0.5 - 0.5 * place.y); gl_Position = vec4(place, 0.0, 1.0); }`;

const FRAGMENT = `#version 300 es
precision highp float;
in vec2 uv; out vec4 colour;
uniform sampler2D photo, cover, grid, bends;
uniform vec3 along, own, shared_, veil, toShading, toGloss, logWeights, to;
uniform float mean_, glossByColor, logAlbedo; uniform bool wood, metal, first;
vec3 lin(vec3 c) { return mix(c / 12.92, pow((c + 0.055) / 1.055, vec3(2.4)), step(0.04045, c)); }
vec3 enc(vec3 v) { return mix(12.92 * v, 1.055 * pow(max(v, 0.0031308), vec3(1.0 / 2.4)) - 0.055, step(0.0031308, v)); }
void main() {
  vec3 seen = lin(texture(photo, uv).rgb);
  if (first) { colour = vec4(enc(seen), 1.0); return; }
  float m = texture(cover, uv).r;
  if (m == 0.0) discard;
  vec4 g = texture(grid, uv); vec2 bend = texture(bends, uv).xy;
  vec3 left = max(seen - veil, 0.2 * seen), v = seen - left, j = left / g.rgb, shading; float gloss = 0.0;
  if (wood) {
    float signal = dot(logWeights, log(max(j, 1e-4))) - logAlbedo;
    shading = vec3(min(exp(bend.x * signal + bend.y), g.a));
  } else {
    float body = dot(toShading, j), shine = dot(toGloss, j), straight = dot(along, j);
    if (shine < 0.0) { shine = 0.0; body = straight; }
    body = max(body, 0.0);
    float over = max(0.0, straight - g.a);
    gloss = glossByColor * shine + (1.0 - glossByColor) * over * mean_;
    body = glossByColor * body + (1.0 - glossByColor) * (straight - over);
    shading = max(vec3(0.0), (j - gloss) * own + shared_ * body);
  }
  vec3 zone = metal ? g.rgb * to * (shading + gloss) : g.rgb * (shading * to + gloss) + v;
  // Laid over what is there: where two zones meet in one pixel nothing of the old surface may show between them.
  colour = vec4(enc(clamp(zone, 0.0, 1.0)), m);
}`;

export class ChipPainter implements Painter {
  readonly kind = 'chip';
  private readonly gl: WebGL2RenderingContext;
  private readonly program: WebGLProgram;
  private readonly kept = new Map<object, WebGLTexture>();

  // Null when the browser has no WebGL 2.
  static on(canvas: HTMLCanvasElement): ChipPainter | null {
    const gl = canvas.getContext('webgl2', { preserveDrawingBuffer: true, antialias: false, alpha: false });
    if (!gl) return null;
    try {
      return new ChipPainter(gl);
    } catch {
      return null;
    }
  }

  private constructor(gl: WebGL2RenderingContext) {
    this.gl = gl;
    const shader = (kind: number, source: string) => {
      const made = gl.createShader(kind);
      if (!made) throw new Error('no shader');
      gl.shaderSource(made, source);
      gl.compileShader(made);
      if (!gl.getShaderParameter(made, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(made) ?? 'shader');
      return made;
    };
    this.program = gl.createProgram();
    gl.attachShader(this.program, shader(gl.VERTEX_SHADER, VERTEX));
    gl.attachShader(this.program, shader(gl.FRAGMENT_SHADER, FRAGMENT));
    gl.linkProgram(this.program);
    if (!gl.getProgramParameter(this.program, gl.LINK_STATUS)) throw new Error('link');
    gl.useProgram(this.program);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array([-1, -1, 3, -1, -1, 3]), gl.STATIC_DRAW);
    const place = gl.getAttribLocation(this.program, 'place');
    gl.enableVertexAttribArray(place);
    gl.vertexAttribPointer(place, 2, gl.FLOAT, false, 0, 0);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    ['photo', 'cover', 'grid', 'bends'].forEach((name, unit) => gl.uniform1i(this.at(name), unit));
  }

  private at(name: string): WebGLUniformLocation | null {
    return this.gl.getUniformLocation(this.program, name);
  }

  private texture(unit: number, key: object, upload: () => void, fresh = false): void {
    const { gl } = this;
    gl.activeTexture(gl.TEXTURE0 + unit);
    let made = this.kept.get(key);
    const is_new = !made;
    if (!made) {
      made = gl.createTexture();
      this.kept.set(key, made);
    }
    gl.bindTexture(gl.TEXTURE_2D, made);
    if (!is_new && !fresh) return;
    gl.pixelStorei(gl.UNPACK_COLORSPACE_CONVERSION_WEBGL, gl.NONE);
    upload();
    for (const [name, value] of [
      [gl.TEXTURE_MIN_FILTER, gl.LINEAR],
      [gl.TEXTURE_MAG_FILTER, gl.LINEAR],
      [gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE],
      [gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE],
    ] as const)
      gl.texParameteri(gl.TEXTURE_2D, name, value);
  }

  paint(photo: HTMLImageElement, coats: Coat[]): void {
    const { gl } = this;
    gl.viewport(0, 0, gl.drawingBufferWidth, gl.drawingBufferHeight);
    this.texture(0, photo, () => gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, photo));
    gl.disable(gl.BLEND);
    gl.uniform1i(this.at('first'), 1);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
    gl.uniform1i(this.at('first'), 0);
    gl.enable(gl.BLEND);
    for (const coat of coats) {
      const s = coat.split;
      const f = fixedOf(s);
      const drawn = coat.cover instanceof HTMLCanvasElement; // redrawn while a zone is dragged
      this.texture(1, coat.cover, () => gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, coat.cover), drawn);
      const plane = (from: number) => {
        const out = new Uint16Array(4 * s.grid_width * s.grid_height);
        for (let i = 0; i < s.grid_width * s.grid_height; i++)
          for (let k = 0; k < 4; k++) out[4 * i + k] = coat.grid[8 * i + from + k]!;
        gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA16F, s.grid_width, s.grid_height, 0, gl.RGBA, gl.HALF_FLOAT, out);
      };
      this.texture(2, coat.grid, () => plane(0));
      this.texture(3, coat.split, () => plane(4));
      const vectors: [string, Triple][] = [
        ['along', f.along],
        ['own', f.own],
        ['shared_', f.shared],
        ['veil', s.veil],
        ['toShading', s.to_shading],
        ['toGloss', s.to_gloss],
        ['logWeights', s.log_weights],
        ['to', coat.to],
      ];
      for (const [name, value] of vectors) gl.uniform3f(this.at(name), ...value);
      gl.uniform1f(this.at('mean_'), f.mean);
      gl.uniform1f(this.at('glossByColor'), s.gloss_by_color);
      gl.uniform1f(this.at('logAlbedo'), s.log_albedo);
      gl.uniform1i(this.at('wood'), s.clear_wood ? 1 : 0);
      gl.uniform1i(this.at('metal'), coat.metal ? 1 : 0);
      gl.drawArrays(gl.TRIANGLES, 0, 3);
    }
  }

  end(): void {
    this.gl.getExtension('WEBGL_lose_context')?.loseContext();
  }
}
