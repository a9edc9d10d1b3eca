// An edge seen as a piece of a line or of a circle, walked by a parameter 0..1 along its length. The same arithmetic as
// src/shape/arc.cpp, so that page and program agree.
export type Point = [number, number];

// From `a` to `b`; bulge = tan(sweep / 4), positive when it bows to the right of travel; 0 is straight.
export interface Segment {
  a: Point;
  b: Point;
  bulge: number;
  center: Point;
  radius: number; // 0: straight
  fromAngle: number;
  sweep: number; // signed, counter-clockwise positive
}

const ON_MM = 1e-6; // closer than this is the same place
const STRAIGHT = 1e-9;
const TURN = 2 * Math.PI;

export const distance = (p: Point, q: Point): number => Math.hypot(p[0] - q[0], p[1] - q[1]);

export function segment(a: Point, b: Point, bulge = 0): Segment {
  const chord = distance(a, b);
  if (Math.abs(bulge) < STRAIGHT || chord === 0) {
    return { a, b, bulge: 0, center: [0, 0], radius: 0, fromAngle: 0, sweep: 0 };
  }
  // The centre lies to the left of travel for a counter-clockwise arc; (1 - b²) / 4b is its signed share of the chord.
  const share = (1 - bulge * bulge) / (4 * bulge);
  const center: Point = [(a[0] + b[0]) / 2 - share * (b[1] - a[1]), (a[1] + b[1]) / 2 + share * (b[0] - a[0])];
  return {
    a,
    b,
    bulge,
    center,
    radius: (chord * (1 + bulge * bulge)) / (4 * Math.abs(bulge)),
    fromAngle: Math.atan2(a[1] - center[1], a[0] - center[0]),
    sweep: 4 * Math.atan(bulge),
  };
}

export function at(s: Segment, t: number): Point {
  if (t <= 0) return s.a;
  if (t >= 1) return s.b;
  if (s.radius === 0) return [s.a[0] + t * (s.b[0] - s.a[0]), s.a[1] + t * (s.b[1] - s.a[1])];
  const angle = s.fromAngle + t * s.sweep;
  return [s.center[0] + s.radius * Math.cos(angle), s.center[1] + s.radius * Math.sin(angle)];
}

export const lengthOf = (s: Segment): number => (s.radius === 0 ? distance(s.a, s.b) : s.radius * Math.abs(s.sweep));

// The part from t0 to t1.
export function between(s: Segment, t0: number, t1: number): Segment {
  return segment(at(s, t0), at(s, t1), s.radius === 0 ? 0 : Math.tan((s.sweep * (t1 - t0)) / 4));
}

export const turned = (s: Segment): Segment => segment(s.b, s.a, -s.bulge);

// Parameter of the point nearest to `p`, and how far it is.
export function nearest(s: Segment, p: Point): { t: number; away: number } {
  let t = 0;
  if (s.radius === 0) {
    const dx = s.b[0] - s.a[0];
    const dy = s.b[1] - s.a[1];
    const square = dx * dx + dy * dy;
    if (square > 0) t = Math.min(1, Math.max(0, ((p[0] - s.a[0]) * dx + (p[1] - s.a[1]) * dy) / square));
  } else {
    let angle = Math.atan2(p[1] - s.center[1], p[0] - s.center[0]) - s.fromAngle;
    if (s.sweep > 0) angle = ((angle % TURN) + TURN) % TURN;
    else angle = -(((-angle % TURN) + TURN) % TURN);
    t = angle / s.sweep;
    if (t > 1) t = distance(p, s.a) < distance(p, s.b) ? 0 : 1;
  }
  return { t, away: distance(p, at(s, t)) };
}

function lineLine(p: Segment, q: Segment): Point[] {
  const ax = p.b[0] - p.a[0];
  const ay = p.b[1] - p.a[1];
  const bx = q.b[0] - q.a[0];
  const by = q.b[1] - q.a[1];
  const cross = ax * by - ay * bx;
  if (Math.abs(cross) < 1e-12 * (1 + Math.hypot(ax, ay) * Math.hypot(bx, by))) return [];
  const t = ((q.a[0] - p.a[0]) * by - (q.a[1] - p.a[1]) * bx) / cross;
  return [[p.a[0] + t * ax, p.a[1] + t * ay]];
}

function lineCircle(p: Point, q: Point, center: Point, radius: number): Point[] {
  const dx = q[0] - p[0];
  const dy = q[1] - p[1];
  const fx = p[0] - center[0];
  const fy = p[1] - center[1];
  const a = dx * dx + dy * dy;
  const b = fx * dx + fy * dy;
  const d = b * b - a * (fx * fx + fy * fy - radius * radius);
  if (a === 0 || d < 0) return [];
  return [Math.sqrt(d), -Math.sqrt(d)].map((root) => {
    const t = (-b + root) / a;
    return [p[0] + t * dx, p[1] + t * dy];
  });
}

function circleCircle(p: Segment, q: Segment): Point[] {
  const dx = q.center[0] - p.center[0];
  const dy = q.center[1] - p.center[1];
  const d = Math.hypot(dx, dy);
  if (d < ON_MM) return [];
  const along = (d * d + p.radius * p.radius - q.radius * q.radius) / (2 * d);
  const rest = p.radius * p.radius - along * along;
  if (rest < 0) return [];
  const half = Math.sqrt(rest);
  const foot: Point = [p.center[0] + (along * dx) / d, p.center[1] + (along * dy) / d];
  return [
    [foot[0] - (half * dy) / d, foot[1] + (half * dx) / d],
    [foot[0] + (half * dy) / d, foot[1] - (half * dx) / d],
  ];
}

// Parameters on `p` at which it meets `q`: crossings, touches and the ends of shared stretches.
export function meetings(p: Segment, q: Segment): number[] {
  const places: Point[] = [q.a, q.b];
  if (p.radius === 0 && q.radius === 0) places.push(...lineLine(p, q));
  else if (p.radius === 0) places.push(...lineCircle(p.a, p.b, q.center, q.radius));
  else if (q.radius === 0) places.push(...lineCircle(q.a, q.b, p.center, p.radius));
  else places.push(...circleCircle(p, q));
  const found: number[] = [];
  for (const place of places) {
    const on = nearest(p, place);
    if (on.away < ON_MM && nearest(q, place).away < ON_MM) found.push(on.t);
  }
  return found;
}
