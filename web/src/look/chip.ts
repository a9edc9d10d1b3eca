// The painter on the graphics chip (WebGL 2). How much of a pixel lies in a zone is worked out there from the zone's edges
// in millimetres, so that nothing but a few numbers goes over when a zone is dragged.
import type { Triple } from './color';
import { faceMatrix } from './face';
import type { FaceView, Split } from './looks';
import { changedRect, common, fixedOf, rectOf, type Coat, type Painter, type Rect } from './painter';
import type { Region } from './region';

const VERTEX = `#version 300 es
in vec2 place; out vec2 uv;
void main() { uv = vec2(0.5 + 0.5 * place.x, 0.5 - 0.5 * place.y); gl_Position = vec4(place, 0.0, 1.0); }`;

// Cover: the winding number of the edges' chords, once more inside an arc's segment, says in or out; the distance to the
// nearest edge, in pixels to the first order, softens the rim by one pixel.
const FRAGMENT = `#version 300 es
precision highp float; precision highp sampler2D;
in vec2 uv; out vec4 colour;
uniform sampler2D photo, edges, grid, bends, swatch;
uniform vec3 along, own, shared_, veil, toShading, toGloss, logWeights, to;
uniform float mean_, glossByColor, logAlbedo; uniform bool wood, first, woven; uniform int surface, count;
uniform mat3 toFace; uniform vec2 size, repeats;
vec3 lin(vec3 c) { return mix(c / 12.92, pow((c + 0.055) / 1.055, vec3(2.4)), step(0.04045, c)); }
vec3 enc(vec3 v) { return mix(12.92 * v, 1.055 * pow(max(v, 0.0031308), vec3(1.0 / 2.4)) - 0.055, step(0.0031308, v)); }
float cover(vec2 p, vec2 px, vec2 py) {
  int n = 0; float near = 1e12; vec2 from = vec2(0.0);
  for (int i = 0; i < count; ++i) {
    vec4 e = texelFetch(edges, ivec2(2 * i, 0), 0), arc = texelFetch(edges, ivec2(2 * i + 1, 0), 0);
    vec2 d = e.zw - e.xy, q = p - e.xy;
    float side = d.x * q.y - q.x * d.y;
    if (e.y <= p.y && e.w > p.y) { if (side > 0.0) n += 1; }
    else if (e.y > p.y && e.w <= p.y && side < 0.0) n -= 1;
    vec2 foot;
    if (arc.w == 0.0) {
      foot = e.xy + d * clamp(dot(q, d) / max(dot(d, d), 1e-12), 0.0, 1.0);
    } else {
      vec2 out_ = p - arc.xy; float away = length(out_);
      if (away < arc.z) { if (arc.w > 0.0) { if (side <= 0.0) n += 1; } else if (side > 0.0) n -= 1; }
      foot = arc.xy + out_ * (arc.z / max(away, 1e-9));
      vec2 f = foot - e.xy;
      // On the arc's own side of its chord, or else nearest to one of its ends.
      if ((d.x * f.y - f.x * d.y) * arc.w > 0.0) foot = dot(q, q) < dot(p - e.zw, p - e.zw) ? e.xy : e.zw;
    }
    vec2 g = p - foot; float square = dot(g, g);
    if (square < near) { near = square; from = g; }
  }
  vec2 across = near > 1e-12 ? from * inversesqrt(near) : vec2(1.0, 0.0);
  float mm = max(length(vec2(dot(px, across), dot(py, across))), 1e-9); // of a pixel, towards the edge
  float away = sqrt(near) / mm;
  return clamp(0.5 + (n > 0 ? away : -away), 0.0, 1.0);
}
void main() {
  vec3 seen = lin(texture(photo, uv).rgb);
  if (first) { colour = vec4(enc(seen), 1.0); return; }
  vec3 at = toFace * vec3(uv * size, 1.0); vec2 p = at.xy / at.z, px = dFdx(p), py = dFdy(p);
  vec3 thread = woven ? texture(swatch, vec2(p.x / repeats.x, -p.y / repeats.y)).rgb : to;
  vec4 g = texture(grid, uv); vec2 bend = texture(bends, uv).xy;
  float m = cover(p, px, py);
  if (m == 0.0) discard;
  vec3 left = max(seen - veil, 0.2 * seen), v = seen - left, j = left / g.rgb, shading; float gloss = 0.0;
  if (wood && surface != 3) {
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
  vec3 zone = surface == 0 ? g.rgb * (shading * to + gloss) + v
            : surface == 1 ? g.rgb * to * (shading + gloss)
            : surface == 2 ? g.rgb * shading * thread
                           : g.rgb * ((j - gloss) * to + gloss) + v;
  // Laid over what is there: where two zones meet in one pixel nothing of the old surface may show between them.
  colour = vec4(enc(clamp(zone, 0.0, 1.0)), m);
}`;

const SURFACES = ['paint', 'metal', 'cloth', 'clear'];
const UNITS = ['photo', 'edges', 'grid', 'bends', 'swatch'] as const;

// Two texels an edge: its ends; its centre, radius and bulge.
export function edgeNumbers(region: Region): Float32Array {
  return Float32Array.from(region.flatMap((s) => [...s.a, ...s.b, ...s.center, s.radius, s.radius > 0 ? s.bulge : 0]));
}

export class ChipPainter implements Painter {
  readonly kind = 'chip';
  private readonly program: WebGLProgram;
  private readonly kept = new Map<object, WebGLTexture>();
  private readonly places = new Map<string, WebGLUniformLocation | null>();
  private before: Coat[] = [];
  private size = '';

  // Null when the browser has no WebGL 2, or only one that the processor plays: there plain arithmetic is quicker.
  static on(canvas: HTMLCanvasElement, photo: HTMLImageElement, face: FaceView): ChipPainter | null {
    const gl = canvas.getContext('webgl2', { preserveDrawingBuffer: true, antialias: false, alpha: false, depth: false, failIfMajorPerformanceCaveat: true });
    if (!gl) return null;
    try {
      return new ChipPainter(gl, photo, face);
    } catch {
      return null;
    }
  }

  private constructor(
    private readonly gl: WebGL2RenderingContext,
    private readonly photo: HTMLImageElement,
    private readonly face: FaceView,
  ) {
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
    gl.enable(gl.SCISSOR_TEST);
    UNITS.forEach((name, unit) => gl.uniform1i(this.at(name), unit));
    const m = faceMatrix(face.corners, face.width_mm, face.height_mm);
    gl.uniformMatrix3fv(this.at('toFace'), true, m);
    gl.uniform2f(this.at('size'), face.width, face.height);
  }

  private at(name: string): WebGLUniformLocation | null {
    let found = this.places.get(name);
    if (found === undefined) this.places.set(name, (found = this.gl.getUniformLocation(this.program, name)));
    return found;
  }

  private texture(name: (typeof UNITS)[number], key: object, upload: () => void, how: 'smooth' | 'exact' | 'mipmap' | 'tiled'): void {
    const { gl } = this;
    gl.activeTexture(gl.TEXTURE0 + UNITS.indexOf(name));
    const made = this.kept.get(key);
    if (made) {
      gl.bindTexture(gl.TEXTURE_2D, made);
      return;
    }
    const fresh = gl.createTexture();
    this.kept.set(key, fresh);
    gl.bindTexture(gl.TEXTURE_2D, fresh);
    gl.pixelStorei(gl.UNPACK_COLORSPACE_CONVERSION_WEBGL, gl.NONE);
    upload();
    const many = how === 'mipmap' || how === 'tiled';
    if (many) gl.generateMipmap(gl.TEXTURE_2D);
    const filter = how === 'exact' ? gl.NEAREST : gl.LINEAR;
    const edge = how === 'tiled' ? gl.REPEAT : gl.CLAMP_TO_EDGE;
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, many ? gl.LINEAR_MIPMAP_LINEAR : filter);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, filter);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, edge);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, edge);
  }
  private forget(key: object): void {
    const made = this.kept.get(key);
    if (made) this.gl.deleteTexture(made);
    this.kept.delete(key);
  }

  paint(coats: Coat[], whole: boolean): void {
    const { gl } = this;
    const { drawingBufferWidth: width, drawingBufferHeight: height } = gl;
    const size = `${width} ${height}`;
    if (size !== this.size) whole = true;
    this.size = size;
    const part = whole ? { x: 0, y: 0, width, height } : changedRect(this.before, coats, this.face, width, height);
    const still = new Set<object>(coats.map((c) => c.region));
    for (const old of this.before) if (!still.has(old.region)) this.forget(old.region);
    this.before = coats;
    if (!part) return;
    const scissor = (r: Rect) => gl.scissor(r.x, height - r.y - r.height, r.width, r.height);
    gl.viewport(0, 0, width, height);
    this.texture('photo', this.photo, () => gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, this.photo), 'mipmap');
    gl.disable(gl.BLEND);
    gl.uniform1i(this.at('first'), 1);
    scissor(part);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
    gl.uniform1i(this.at('first'), 0);
    gl.enable(gl.BLEND);
    for (const coat of coats) {
      const rect = common(part, rectOf(coat.region, this.face, width, height));
      if (!rect) continue;
      scissor(rect);
      this.wear(coat);
      gl.drawArrays(gl.TRIANGLES, 0, 3);
    }
  }

  private wear(coat: Coat): void {
    const { gl } = this;
    const s: Split = coat.split;
    const f = fixedOf(s);
    this.texture(
      'edges',
      coat.region,
      () => gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA32F, 2 * coat.region.length, 1, 0, gl.RGBA, gl.FLOAT, edgeNumbers(coat.region)),
      'exact',
    );
    const plane = (from: number) => {
      const out = new Uint16Array(4 * s.grid_width * s.grid_height);
      for (let i = 0; i < s.grid_width * s.grid_height; i++) for (let k = 0; k < 4; k++) out[4 * i + k] = coat.grid[8 * i + from + k]!;
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA16F, s.grid_width, s.grid_height, 0, gl.RGBA, gl.HALF_FLOAT, out);
    };
    this.texture('grid', coat.grid, () => plane(0), 'smooth');
    this.texture('bends', s, () => plane(4), 'smooth');
    const { swatch } = coat;
    const woven = coat.surface === 'cloth' && swatch !== null;
    if (woven) {
      this.texture('swatch', swatch, () => gl.texImage2D(gl.TEXTURE_2D, 0, gl.SRGB8_ALPHA8, gl.RGBA, gl.UNSIGNED_BYTE, swatch), 'tiled');
      gl.uniform2f(this.at('repeats'), coat.repeat_mm, (coat.repeat_mm * swatch.height) / swatch.width);
    }
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
    gl.uniform1i(this.at('woven'), woven ? 1 : 0);
    gl.uniform1i(this.at('surface'), SURFACES.indexOf(coat.surface));
    gl.uniform1i(this.at('count'), coat.region.length);
  }

  end(): void {
    this.gl.getExtension('WEBGL_lose_context')?.loseContext();
  }
}
