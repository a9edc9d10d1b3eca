// A measured face on a photo: where a point in millimetres is on the picture, and back.
import type { Point } from './arc';

export type { Point } from './arc';

// The homography that takes the unit square's corners (left top, right top, right bottom, left bottom) to `c`
// (Heckbert 1989, "Fundamentals of Texture Mapping", the closed form for a square).
export function fromSquare(c: Point[]): number[] {
  const [p0, p1, p2, p3] = c as [Point, Point, Point, Point];
  const sx = p0[0] - p1[0] + p2[0] - p3[0];
  const sy = p0[1] - p1[1] + p2[1] - p3[1];
  const dx1 = p1[0] - p2[0];
  const dx2 = p3[0] - p2[0];
  const dy1 = p1[1] - p2[1];
  const dy2 = p3[1] - p2[1];
  const det = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / det;
  const h = (dx1 * sy - sx * dy1) / det;
  return [
    p1[0] - p0[0] + g * p1[0], p3[0] - p0[0] + h * p3[0], p0[0],
    p1[1] - p0[1] + g * p1[1], p3[1] - p0[1] + h * p3[1], p0[1],
    g, h, 1,
  ];
}

// Of a 3 x 3 matrix, row by row, by its cofactors.
export function inverse(m: number[]): number[] {
  const [a, b, c, d, e, f, g, h, i] = m as [number, number, number, number, number, number, number, number, number];
  const co = [e * i - f * h, c * h - b * i, b * f - c * e, f * g - d * i, a * i - c * g, c * d - a * f, d * h - e * g, b * g - a * h, a * e - b * d];
  const det = a * co[0]! + b * co[3]! + c * co[6]!;
  return co.map((v) => v / det);
}

// From millimetres on the face (x right, y up, from its left bottom) to pixels.
export function toPhoto(corners: Point[], width: number, height: number): (p: Point) => Point {
  const m = fromSquare(corners) as [number, number, number, number, number, number, number, number, number];
  return ([x, y]) => {
    const u = x / width;
    const v = 1 - y / height;
    const w = m[6] * u + m[7] * v + m[8];
    return [(m[0] * u + m[1] * v + m[2]) / w, (m[3] * u + m[4] * v + m[5]) / w];
  };
}

// The matrix from pixels to millimetres, row by row.
export function faceMatrix(corners: Point[], width: number, height: number): number[] {
  const m = inverse(fromSquare(corners));
  // x = width u, y = height (1 - v) = height w - height v.
  return [
    m[0]! * width, m[1]! * width, m[2]! * width,
    (m[6]! - m[3]!) * height, (m[7]! - m[4]!) * height, (m[8]! - m[5]!) * height,
    m[6]!, m[7]!, m[8]!,
  ];
}
export function toFace(corners: Point[], width: number, height: number): (p: Point) => Point {
  const m = faceMatrix(corners, width, height);
  return ([x, y]) => {
    const w = m[6]! * x + m[7]! * y + m[8]!;
    return [(m[0]! * x + m[1]! * y + m[2]!) / w, (m[3]! * x + m[4]! * y + m[5]!) / w];
  };
}
