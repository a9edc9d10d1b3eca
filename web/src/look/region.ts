// Places on a face: closed rows of edges, millimetres, y up. Outer lines run counter-clockwise, holes clockwise. A region
// is kept as its edges in no order, which is enough for areas, lengths and what is inside; `loops` puts them in a row.
import { at, between, distance, lengthOf, meetings, nearest, segment, turned, type Point, type Segment } from './arc';

export type Region = Segment[];
export interface Box {
  left: number;
  bottom: number;
  right: number;
  top: number;
}

const ON_MM = 1e-6;

// [x, y, bulge] of every edge, in order; the last ends where the first starts.
export function outline(edges: [number, number, number?][]): Region {
  return edges.map(([x, y, bulge], i) => {
    const before = edges[(i + edges.length - 1) % edges.length]!;
    return segment([before[0], before[1]], [x, y], bulge ?? 0);
  });
}

export const rectangle = (left: number, bottom: number, width: number, height: number): Region =>
  outline([
    [left + width, bottom],
    [left + width, bottom + height],
    [left, bottom + height],
    [left, bottom],
  ]);

// Green's theorem: half the cross product of every chord, and r² (θ − sin θ) / 2 between it and its arc.
export function areaMm2(region: Region): number {
  let sum = 0;
  for (const s of region) {
    sum += (s.a[0] * s.b[1] - s.b[0] * s.a[1]) / 2;
    if (s.radius > 0) sum += ((s.sweep - Math.sin(s.sweep)) * s.radius * s.radius) / 2;
  }
  return sum;
}
export const lengthMm = (region: Region): number => region.reduce((sum, s) => sum + lengthOf(s), 0);

// How often the lines go round `p`: by the chords, and once more for every arc whose segment holds it.
export function windings(region: Region, [x, y]: Point): number {
  let n = 0;
  for (const s of region) {
    const side = (s.b[0] - s.a[0]) * (y - s.a[1]) - (x - s.a[0]) * (s.b[1] - s.a[1]); // positive: left of the chord
    if (s.a[1] <= y && s.b[1] > y && side > 0) n += 1;
    else if (s.a[1] > y && s.b[1] <= y && side < 0) n -= 1;
    if (s.radius > 0 && Math.hypot(x - s.center[0], y - s.center[1]) < s.radius) {
      if (s.bulge > 0 && side <= 0) n += 1;
      else if (s.bulge < 0 && side > 0) n -= 1;
    }
  }
  return n;
}

type Where = 'inside' | 'outside' | 'along' | 'against';

// Where a stretch that meets the region's lines only at its ends lies.
function whereIs(part: Segment, region: Region): Where {
  const middle = at(part, 0.5);
  for (const s of region) {
    const on = nearest(s, middle);
    if (on.away > ON_MM) continue;
    const [mine, theirs] = [direction(part, 0.5), direction(s, on.t)];
    return mine[0] * theirs[0] + mine[1] * theirs[1] > 0 ? 'along' : 'against';
  }
  return windings(region, middle) > 0 ? 'inside' : 'outside';
}

function direction(s: Segment, t: number): Point {
  if (s.radius === 0) return [s.b[0] - s.a[0], s.b[1] - s.a[1]];
  const [x, y] = at(s, t);
  const way = Math.sign(s.sweep);
  return [-way * (y - s.center[1]), way * (x - s.center[0])];
}

// Every edge cut where it meets the other region's edges.
function cut(region: Region, other: Region): Segment[] {
  const parts: Segment[] = [];
  for (const s of region) {
    const places = [0, 1];
    for (const o of other) places.push(...meetings(s, o));
    places.sort((p, q) => p - q);
    const length = lengthOf(s);
    let from = 0;
    for (const to of places) {
      if ((to - from) * length < ON_MM) continue;
      parts.push(from === 0 && to === 1 ? s : between(s, from, to));
      from = to;
    }
  }
  return parts;
}

// Two cuts at one place differ in their last digits; the rows have to close to the last, or a point level with the gap
// would be taken for inside.
function weld(parts: Segment[]): Region {
  const places: Point[] = [];
  const one = (p: Point): Point => {
    const known = places.find((q) => Math.abs(q[0] - p[0]) < ON_MM && Math.abs(q[1] - p[1]) < ON_MM);
    if (!known) places.push(p);
    return known ?? p;
  };
  return parts.map((s) => ({ ...s, a: one(s.a), b: one(s.b) }));
}

export function unite(p: Region, q: Region): Region {
  return weld([
    ...cut(p, q).filter((s) => ['outside', 'along'].includes(whereIs(s, q))),
    ...cut(q, p).filter((s) => whereIs(s, p) === 'outside'),
  ]);
}
export function intersect(p: Region, q: Region): Region {
  return weld([
    ...cut(p, q).filter((s) => ['inside', 'along'].includes(whereIs(s, q))),
    ...cut(q, p).filter((s) => whereIs(s, p) === 'inside'),
  ]);
}
export function subtract(p: Region, q: Region): Region {
  return weld([
    ...cut(p, q).filter((s) => ['outside', 'against'].includes(whereIs(s, q))),
    ...cut(q, p)
      .filter((s) => whereIs(s, p) === 'inside')
      .map(turned),
  ]);
}

// Length of the part of a zone's line that runs inside the face: what has to be taped.
export function tapeMm(zone: Region, face: Region): number {
  return lengthMm(cut(zone, face).filter((s) => whereIs(s, face) === 'inside'));
}

export type Mirror = 'left_right' | 'up_down' | 'both';
export function mirrored(region: Region, about: 'left_right' | 'up_down', [cx, cy]: Point): Region {
  const to = ([x, y]: Point): Point => (about === 'left_right' ? [2 * cx - x, y] : [x, 2 * cy - y]);
  // Turned over it would run the other way round: walk it backwards.
  return region.map((s) => segment(to(s.b), to(s.a), s.bulge));
}
export function symmetric(region: Region, about: Mirror, center: Point): Region {
  let all = region;
  for (const one of ['left_right', 'up_down'] as const) {
    if (about === one || about === 'both') all = unite(all, mirrored(all, one, center));
  }
  return all;
}

export function bounds(region: Region): Box {
  const box: Box = { left: Infinity, bottom: Infinity, right: -Infinity, top: -Infinity };
  const grow = ([x, y]: Point) => {
    box.left = Math.min(box.left, x);
    box.right = Math.max(box.right, x);
    box.bottom = Math.min(box.bottom, y);
    box.top = Math.max(box.top, y);
  };
  for (const s of region) {
    grow(s.a);
    grow(s.b);
    if (s.radius === 0) continue;
    for (const [dx, dy] of [[1, 0], [0, 1], [-1, 0], [0, -1]] as Point[]) {
      const p: Point = [s.center[0] + s.radius * dx, s.center[1] + s.radius * dy];
      if (nearest(s, p).away < 1e-9 * (1 + s.radius)) grow(p);
    }
  }
  return region.length > 0 ? box : { left: 0, bottom: 0, right: 0, top: 0 };
}

// The edges in rows that close, each flattened to points at most `tolerance` mm off its arcs.
export function loops(region: Region, tolerance = 0.2): Point[][] {
  const left = [...region];
  const rows: Point[][] = [];
  while (left.length > 0) {
    const start = left.pop()!;
    const row: Point[] = [];
    let now: Segment | undefined = start;
    while (now) {
      const s: Segment = now;
      const steps =
        s.radius === 0 ? 1 : Math.max(2, Math.ceil(Math.abs(s.sweep) / (2 * Math.acos(Math.max(0, 1 - tolerance / s.radius)) || 1)));
      for (let i = 1; i <= steps; i += 1) row.push(at(s, i / steps));
      if (distance(s.b, start.a) < 1e-3) break;
      let best = -1;
      let near = 1e-3;
      left.forEach((other, i) => {
        const away = distance(other.a, s.b);
        if (away < near) {
          near = away;
          best = i;
        }
      });
      now = best < 0 ? undefined : left.splice(best, 1)[0];
    }
    rows.push(row);
  }
  return rows;
}

// Does the line cross or touch itself, other than where neighbours meet?
export function crossesItself(region: Region): boolean {
  for (let i = 0; i < region.length; i += 1)
    for (let j = i + 1; j < region.length; j += 1) {
      const p = region[i]!;
      const q = region[j]!;
      const shared = [p.a, p.b].filter((e) => distance(e, q.a) < ON_MM || distance(e, q.b) < ON_MM);
      for (const t of meetings(p, q)) if (!shared.some((e) => distance(e, at(p, t)) < 1e-3)) return true;
    }
  return false;
}
