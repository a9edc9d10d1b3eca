// How much wider than high a rectangle is, from its four corners in one photo: Zhang and He, "Whiteboard scanning and
// image enhancement" (Digital Signal Processing 17, 2007), section 3. The camera's axis is taken to go through the middle of
// the photo, its pixels to be square: a photo that is not cropped.
export type Point = readonly [x: number, y: number];
type Vector = readonly [number, number, number];

const cross = (a: Vector, b: Vector): Vector => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const dot = (a: Vector, b: Vector) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

// Focal lengths that cameras have, by the photo's longer side; and the one of a phone's usual camera (26 mm where the
// longer side is 36 mm), for photos whose corners do not tell it. Common practice, no source.
const SHORTEST = 0.4;
const LONGEST = 2.5;
const PHONE = 26 / 36;

// Corners from the left top clockwise, in pixels of the whole photo. Null when they are no rectangle seen from before it.
export function aspectOf(corners: readonly Point[], width: number, height: number): number | null {
  if (corners.length !== 4 || !(width > 0 && height > 0)) return null;
  const side = Math.max(width, height);
  const at = (p: Point): Vector => [(p[0] - width / 2) / side, (p[1] - height / 2) / side, 1];
  const [leftTop, rightTop, rightBottom, leftBottom] = corners.map(at) as [Vector, Vector, Vector, Vector];
  if (!isConvex(corners)) return null;
  const diagonal = cross(leftTop, rightBottom);
  const k2 = dot(diagonal, leftBottom) / dot(cross(rightTop, rightBottom), leftBottom);
  const k3 = dot(diagonal, rightTop) / dot(cross(leftBottom, rightBottom), rightTop);
  if (!(k2 > 0 && k3 > 0 && Number.isFinite(k2) && Number.isFinite(k3))) return null;
  const along: Vector = [k2 * rightTop[0] - leftTop[0], k2 * rightTop[1] - leftTop[1], k2 - 1];
  const down: Vector = [k3 * leftBottom[0] - leftTop[0], k3 * leftBottom[1] - leftTop[1], k3 - 1];
  // Edges that run alike in the photo as they do on the piece say nothing of the camera.
  const told = -(along[0] * down[0] + along[1] * down[1]) / (along[2] * down[2]);
  const focal = told >= SHORTEST ** 2 && told <= LONGEST ** 2 ? told : PHONE ** 2;
  const length = (v: Vector) => Math.sqrt((v[0] ** 2 + v[1] ** 2) / focal + v[2] ** 2);
  const ratio = length(along) / length(down);
  return Number.isFinite(ratio) && ratio > 0 ? ratio : null;
}

function isConvex(corners: readonly Point[]): boolean {
  return corners.every((b, k) => {
    const a = corners[(k + 3) % 4]!;
    const c = corners[(k + 1) % 4]!;
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) > 0; // clockwise, y down
  });
}
