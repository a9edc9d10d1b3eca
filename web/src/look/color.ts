// Colours on the page: Lab of D50 (CSS Color 4), linear sRGB and "#rrggbb".
export type Triple = [number, number, number];

// Bradford-adapted matrices of CSS Color 4, sample code ("conversions.js").
const D50_TO_LINEAR: Triple[] = [
  [3.1341359569958707, -1.6173863321612538, -0.4906619460083532],
  [-0.978795502912089, 1.916254567259524, 0.03344273116131949],
  [0.07195537988411677, -0.2289768264158322, 1.405386058324125],
];
const LINEAR_TO_D50: Triple[] = [
  [0.436065742824811, 0.3851514688337912, 0.14307845442264197],
  [0.22249319175623702, 0.7168870538238823, 0.06061979053616537],
  [0.013923904500943465, 0.09708128566574634, 0.7140993584005155],
];
const WHITE: Triple = [0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585];
const EPSILON = 216 / 24389;
const KAPPA = 24389 / 27;

const times = (m: Triple[], v: Triple): Triple =>
  m.map((row) => row[0] * v[0] + row[1] * v[1] + row[2] * v[2]) as Triple;

export function decode(code: number): number {
  return code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;
}
export function encode(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

export function linearOfLab([l, a, b]: Triple): Triple {
  const y = (l + 16) / 116;
  const back = (f: number) => (f ** 3 > EPSILON ? f ** 3 : (116 * f - 16) / KAPPA);
  return times(D50_TO_LINEAR, [back(y + a / 500) * WHITE[0], back(y), back(y - b / 200) * WHITE[2]]);
}
export function labOfLinear(rgb: Triple): Triple {
  const xyz = times(LINEAR_TO_D50, rgb).map((v, i) => v / WHITE[i]!);
  const [x, y, z] = xyz.map((t) => (t > EPSILON ? Math.cbrt(t) : (KAPPA * t + 16) / 116)) as Triple;
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}
export function labOfHex(hex: string): Triple {
  const n = parseInt(hex.slice(1), 16);
  return labOfLinear([decode((n >> 16) / 255), decode(((n >> 8) & 255) / 255), decode((n & 255) / 255)]);
}
// Clipped to the screen's gamut: a chip, not a measure.
export function hexOfLab(lab: Triple): string {
  const code = (v: number) => Math.round(255 * encode(Math.min(1, Math.max(0, v))));
  return `#${linearOfLab(lab).map((v) => code(v).toString(16).padStart(2, '0')).join('')}`;
}
export function cssOfLab(lab: Triple): string {
  return `lab(${lab.map((v) => Math.round(v * 10) / 10).join(' ')})`;
}
