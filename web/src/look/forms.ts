// The shapes a zone can have: its keys in the job file (docs/job-file.md), its outline, and what can be taken hold of.
// Millimetres from the left bottom corner of the face.
import { distance, turned, type Point } from './arc';
import { bounds, crossesItself, intersect, outline, rectangle, subtract, symmetric, areaMm2, type Mirror, type Region } from './region';

export type Key = string | number | number[][];
export type Keys = Record<string, Key>;
export interface Plane {
  width: number;
  height: number;
  region: Region;
}

export const DRAWN = ['half_circle', 'arch', 'band', 'stripe', 'border', 'circle', 'rounded', 'polygon'] as const;
export type Drawn = (typeof DRAWN)[number];
export const isDrawn = (form: string): form is Drawn => (DRAWN as readonly string[]).includes(form);

export const numberOf = (keys: Keys, key: string, otherwise = 0): number => (typeof keys[key] === 'number' ? keys[key] : otherwise);
export const rowsOf = (keys: Keys, key: string): number[][] => (Array.isArray(keys[key]) ? keys[key] : []);

// Rise of the lesser arc of a radius over a chord (Pythagoras), without losing the digits of a flat arc.
export const riseOf = (chord: number, radius: number): number =>
  (chord * chord) / 4 / (radius + Math.sqrt(Math.max(0, (radius - chord / 2) * (radius + chord / 2))));
// Intersecting chords, Euclid III.35.
export const radiusOf = (chord: number, rise: number): number => (chord * chord) / (8 * rise) + rise / 2;

// Circle through three points: where the middle lines of two chords meet (Euclid III.25). Null when they are in line.
export function circleThrough(a: Point, b: Point, c: Point): { center: Point; radius: number } | null {
  const [bx, by, cx, cy] = [b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]];
  const d = 2 * (bx * cy - by * cx);
  if (Math.abs(d) < 1e-6 * (Math.hypot(bx, by) * Math.hypot(cx, cy) + 1)) return null;
  const x = (cy * (bx * bx + by * by) - by * (cx * cx + cy * cy)) / d;
  const y = (bx * (cx * cx + cy * cy) - cx * (bx * bx + by * by)) / d;
  return { center: [a[0] + x, a[1] + y], radius: Math.hypot(x, y) };
}

// The middle line of a stripe as two points.
export function lineOf(keys: Keys): [Point, Point] | null {
  const [p, q] = rowsOf(keys, 'through');
  if (!p) return null;
  const a: Point = [p[0] ?? 0, p[1] ?? 0];
  if (q) return [a, [q[0] ?? 0, q[1] ?? 0]];
  const angle = (numberOf(keys, 'angle') * Math.PI) / 180;
  return [a, [a[0] + 100 * Math.cos(angle), a[1] + 100 * Math.sin(angle)]];
}

// The opening of a frame is left out; what is no shape is null.
function drawn(form: Drawn, keys: Keys, plane: Plane): Region | null {
  const n = (key: string) => numberOf(keys, key);
  switch (form) {
    case 'half_circle': {
      const [x, y, r] = [n('center_x'), n('base_y'), n('radius')];
      if (!(r > 0)) return null;
      return keys.opens === 'down'
        ? outline([[x - r, y], [x + r, y, 1]])
        : outline([[x + r, y], [x - r, y, 1]]);
    }
    case 'circle': {
      const [x, y, r] = [n('center_x'), n('center_y'), n('radius')];
      return r > 0 ? outline([[x - r, y, 1], [x + r, y, 1]]) : null;
    }
    case 'arch': {
      const [left, bottom, width, spring] = [n('left'), n('bottom'), n('width'), n('spring_height')];
      const rise = 'radius' in keys ? riseOf(width, n('radius')) : n('rise');
      if (!(width > 0) || !(rise > 0) || !(rise <= (width / 2) * (1 + 1e-9)) || !(spring >= 0)) return null;
      const top: [number, number, number] = [left, bottom + spring, (2 * rise) / width];
      return spring > 0
        ? outline([[left + width, bottom], [left + width, bottom + spring], top, [left, bottom]])
        : outline([[left + width, bottom], top]);
    }
    case 'band':
      return n('height') > 0 ? rectangle(0, n('from'), plane.width, n('height')) : null;
    case 'rounded': {
      const [l, b, w, h, r] = [n('left'), n('bottom'), n('width'), n('height'), n('corner_radius')];
      if (!(w > 0) || !(h > 0) || !(r >= 0) || r > (Math.min(w, h) / 2) * (1 + 1e-9)) return null;
      if (r === 0) return rectangle(l, b, w, h);
      const q = Math.SQRT2 - 1; // tan(90° / 4)
      const edges: [number, number, number?][] = [];
      if (w > 2 * r) edges.push([l + w - r, b]);
      edges.push([l + w, b + r, q]);
      if (h > 2 * r) edges.push([l + w, b + h - r]);
      edges.push([l + w - r, b + h, q]);
      if (w > 2 * r) edges.push([l + r, b + h]);
      edges.push([l, b + h - r, q]);
      if (h > 2 * r) edges.push([l, b + r]);
      edges.push([l + r, b, q]);
      return outline(edges);
    }
    case 'polygon': {
      const rows = rowsOf(keys, 'points');
      const corners: [number, number, number?][] = rows.map(([x = 0, y = 0]) => [x, y]);
      const lens = rows.length === 2 && rows.every((r) => (r[2] ?? 0) !== 0);
      if (rows.length < 3 && !lens) return null;
      const way = areaMm2(outline(corners)) < 0 ? -1 : 1;
      const bent = corners.map(([x, y], i): [number, number, number?] => {
        const before = corners[(i + corners.length - 1) % corners.length]!;
        const chord = distance([before[0], before[1]], [x, y]);
        return [x, y, chord > 0 ? (way * 2 * (rows[i]![2] ?? 0)) / chord : 0];
      });
      const region = outline(bent);
      const area = areaMm2(region);
      if (crossesItself(region) || Math.abs(area) < 1e-6) return null;
      return area < 0 ? region.map(turned) : region;
    }
    case 'stripe': {
      const line = lineOf(keys);
      const width = n('width');
      if (!line || !(width > 0) || distance(...line) < 1) return null;
      const [[x, y], [u, v]] = line;
      const d = Math.hypot(u - x, v - y);
      const [c, s] = [(u - x) / d, (v - y) / d];
      const reach = Math.hypot(plane.width, plane.height) + distance([x, y], [plane.width / 2, plane.height / 2]) + width + 1;
      const corner = (along: number, across: number): [number, number] => [x + along * c - across * s, y + along * s + across * c];
      const strip = outline([corner(reach, -width / 2), corner(reach, width / 2), corner(-reach, width / 2), corner(-reach, -width / 2)]);
      const region = intersect(plane.region, strip);
      return areaMm2(region) > 1e-6 ? region : null;
    }
    case 'border': {
      const [from, width] = [n('from_edge'), n('width')];
      const inner = (away: number) => rectangle(away, away, plane.width - 2 * away, plane.height - 2 * away);
      const least = Math.min(plane.width, plane.height) / 2;
      if (!(width > 0) || !(from >= 0) || !(from + width < least)) return null;
      return subtract(inner(from), inner(from + width));
    }
  }
}

export function regionOf(form: string, keys: Keys, plane: Plane): Region | null {
  if (!isDrawn(form)) return null;
  let region = drawn(form, keys, plane);
  if (!region) return null;
  const holes = plane.region.length > 4; // a frame
  if (holes && (form === 'band' || form === 'border')) region = intersect(region, plane.region);
  if (form !== 'border' && typeof keys.mirror === 'string') region = symmetric(region, keys.mirror as Mirror, [plane.width / 2, plane.height / 2]);
  return region;
}

// A first draft of a shape, in the middle of the face; `nice` rounds a length to the shop's rule.
export function firstKeys(form: Drawn, plane: Plane, nice: (mm: number) => number): Keys {
  const { width: w, height: h } = plane;
  const least = Math.min(w, h);
  switch (form) {
    case 'half_circle':
      return { center_x: w / 2, base_y: 0, radius: nice(Math.min(w / 4, h / 2)), opens: 'up' };
    case 'circle':
      return { center_x: w / 2, center_y: h / 2, radius: nice(least / 5) };
    case 'arch': {
      const width = nice(w / 4);
      return { left: (w - width) / 2, bottom: 0, width, spring_height: nice(h / 4), rise: Math.min(width / 2, nice(h / 5)) };
    }
    case 'band':
      return { from: nice(h / 3), height: nice(h / 6) };
    case 'stripe':
      return { through: [[0, nice(h / 4)], [w, nice((h * 3) / 4)]], width: nice(least / 12) };
    case 'border':
      return { from_edge: nice(least / 15), width: nice(least / 30) };
    case 'rounded':
      return { left: nice(w / 4), bottom: nice(h / 4), width: nice(w / 2), height: nice(h / 2), corner_radius: nice(least / 10) };
    case 'polygon':
      return { points: [] };
  }
}

// The lengths of a shape that have a number of their own, with the range a slider takes.
export interface Field {
  key: string;
  low: number;
  high: number;
  least: number; // what the job file takes at the least
}
export function fieldsOf(form: string, keys: Keys, plane: Plane): Field[] {
  const { width: w, height: h } = plane;
  const field = (key: string, low: number, high: number, least = low): Field => ({ key, low, high, least });
  switch (form) {
    case 'half_circle':
      return [field('radius', 1, Math.min(w / 2, h), 0.1), field('center_x', 0, w), field('base_y', 0, h)];
    case 'circle':
      return [field('radius', 1, Math.min(w, h) / 2, 0.1), field('center_x', 0, w), field('center_y', 0, h)];
    case 'arch':
      return [
        field('width', 1, w, 0.1),
        field('spring_height', 0, h),
        'radius' in keys ? field('radius', numberOf(keys, 'width') / 2, 4 * w) : field('rise', 1, Math.min(numberOf(keys, 'width') / 2, h), 0.1),
        field('left', 0, w),
        field('bottom', 0, h),
      ];
    case 'band':
      return [field('from', 0, h), field('height', 1, h, 0.1)];
    case 'stripe':
      return [field('width', 1, Math.min(w, h), 0.1)];
    case 'border':
      return [field('from_edge', 0, Math.min(w, h) / 2), field('width', 1, Math.min(w, h) / 2, 0.1)];
    case 'rounded':
      return [
        field('left', 0, w),
        field('bottom', 0, h),
        field('width', 1, w, 0.1),
        field('height', 1, h, 0.1),
        field('corner_radius', 0, Math.min(numberOf(keys, 'width'), numberOf(keys, 'height')) / 2),
      ];
    default:
      return [];
  }
}

// Where the end of a length lies on the face: what a slider may snap to, and back from there to the length.
export function endsOf(form: string, key: string, keys: Keys): { axis: 'x' | 'y'; add: number; way: 1 | -1 }[] {
  const n = (k: string) => numberOf(keys, k);
  const on = (axis: 'x' | 'y', add = 0, way: 1 | -1 = 1) => ({ axis, add, way });
  switch (`${form} ${key}`) {
    case 'half_circle radius':
      return [on('x', n('center_x')), on('y', n('base_y'), keys.opens === 'down' ? -1 : 1)];
    case 'circle radius':
      return [on('x', n('center_x')), on('y', n('center_y'))];
    case 'arch width':
    case 'rounded width':
      return [on('x', n('left'))];
    case 'arch spring_height':
      return [on('y', n('bottom'))];
    case 'arch rise':
      return [on('y', n('bottom') + n('spring_height'))];
    case 'band height':
      return [on('y', n('from'))];
    case 'rounded height':
      return [on('y', n('bottom'))];
    case 'half_circle center_x':
    case 'circle center_x':
    case 'arch left':
    case 'rounded left':
      return [on('x')];
    case 'half_circle base_y':
    case 'circle center_y':
    case 'arch bottom':
    case 'rounded bottom':
    case 'band from':
    case 'border from_edge':
      return [on('y')];
    case 'border width':
      return [on('y', n('from_edge'))];
    default:
      return [];
  }
}

// What can be taken hold of. `sides`: those of the shape's box that move with it; the others' margins may be matched.
export interface Handle {
  id: string;
  at: Point;
  word: 'move' | 'size' | 'corner' | 'line' | 'curve';
  sides: ('left' | 'right' | 'bottom' | 'top')[];
  axis: 'x' | 'y' | 'both';
}
export function handlesOf(form: string, keys: Keys, plane: Plane): Handle[] {
  const n = (k: string) => numberOf(keys, k);
  const all: Handle['sides'] = ['left', 'right', 'bottom', 'top'];
  const handle = (id: string, at: Point, word: Handle['word'], axis: Handle['axis'], sides: Handle['sides']): Handle => ({ id, at, word, axis, sides });
  switch (form) {
    case 'half_circle': {
      const way = keys.opens === 'down' ? -1 : 1;
      return [
        handle('move', [n('center_x'), n('base_y')], 'move', 'both', all),
        handle('right', [n('center_x') + n('radius'), n('base_y')], 'size', 'x', ['left', 'right', way > 0 ? 'top' : 'bottom']),
        handle('crown', [n('center_x'), n('base_y') + way * n('radius')], 'size', 'y', ['left', 'right', way > 0 ? 'top' : 'bottom']),
      ];
    }
    case 'circle':
      return [
        handle('move', [n('center_x'), n('center_y')], 'move', 'both', all),
        handle('right', [n('center_x') + n('radius'), n('center_y')], 'size', 'x', all),
        handle('crown', [n('center_x'), n('center_y') + n('radius')], 'size', 'y', all),
      ];
    case 'arch': {
      const rise = 'radius' in keys ? riseOf(n('width'), n('radius')) : n('rise');
      const spring = n('bottom') + n('spring_height');
      return [
        handle('move', [n('left'), n('bottom')], 'move', 'both', all),
        handle('right', [n('left') + n('width'), n('bottom')], 'size', 'x', ['right']),
        handle('spring', [n('left') + n('width'), spring], 'line', 'y', ['top']),
        handle('crown', [n('left') + n('width') / 2, spring + rise], 'curve', 'y', ['top']),
      ];
    }
    case 'band':
      return [
        handle('lower', [plane.width / 2, n('from')], 'move', 'y', ['bottom', 'top']),
        handle('upper', [plane.width / 2, n('from') + n('height')], 'size', 'y', ['top']),
      ];
    case 'rounded':
      return [
        handle('move', [n('left'), n('bottom')], 'move', 'both', all),
        handle('size', [n('left') + n('width'), n('bottom') + n('height')], 'size', 'both', ['right', 'top']),
        handle('curve', [n('left') + n('corner_radius'), n('bottom') + n('height')], 'curve', 'x', []),
      ];
    case 'border':
      return [
        handle('outer', [plane.width / 2, n('from_edge')], 'move', 'y', all),
        handle('inner', [plane.width / 2, n('from_edge') + n('width')], 'size', 'y', []),
      ];
    case 'stripe': {
      const line = lineOf(keys);
      if (!line) return [];
      const [p, q] = line;
      const d = distance(p, q) || 1;
      const middle: Point = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
      const half = n('width') / 2;
      return [
        handle('start', p, 'line', 'both', []),
        handle('end', q, 'line', 'both', []),
        handle('edge', [middle[0] - (half * (q[1] - p[1])) / d, middle[1] + (half * (q[0] - p[0])) / d], 'size', 'both', []),
      ];
    }
    case 'polygon':
      return rowsOf(keys, 'points').map(([x = 0, y = 0], i) => handle(`corner ${i}`, [x, y], 'corner', 'both', []));
    default:
      return [];
  }
}

// The keys with one handle brought to `to`. The same keys when nothing would be left.
export function dragged(form: string, keys: Keys, id: string, [x, y]: Point): Keys {
  const n = (k: string) => numberOf(keys, k);
  const least = (v: number) => Math.max(1, v);
  switch (`${form} ${id}`) {
    case 'half_circle move':
      return { ...keys, center_x: x, base_y: y };
    case 'circle move':
      return { ...keys, center_x: x, center_y: y };
    case 'half_circle right':
    case 'circle right':
      return { ...keys, radius: least(Math.abs(x - n('center_x'))) };
    case 'half_circle crown':
      return { ...keys, radius: least((keys.opens === 'down' ? -1 : 1) * (y - n('base_y'))) };
    case 'circle crown':
      return { ...keys, radius: least(Math.abs(y - n('center_y'))) };
    case 'arch move':
    case 'rounded move':
      return { ...keys, left: x, bottom: y };
    case 'arch right': {
      const width = least(x - n('left'));
      return 'radius' in keys
        ? { ...keys, width, radius: Math.max(n('radius'), width / 2) }
        : { ...keys, width, rise: Math.min(n('rise'), width / 2) };
    }
    case 'arch spring':
      return { ...keys, spring_height: Math.max(0, y - n('bottom')) };
    case 'arch crown': {
      const rise = Math.min(n('width') / 2, least(y - n('bottom') - n('spring_height')));
      return 'radius' in keys ? { ...keys, radius: radiusOf(n('width'), rise) } : { ...keys, rise };
    }
    case 'band lower':
      return { ...keys, from: Math.max(0, y) };
    case 'band upper':
      return { ...keys, height: least(y - n('from')) };
    case 'rounded size': {
      const [width, height] = [least(x - n('left')), least(y - n('bottom'))];
      return { ...keys, width, height, corner_radius: Math.min(n('corner_radius'), width / 2, height / 2) };
    }
    case 'rounded curve':
      return { ...keys, corner_radius: Math.min(Math.max(0, x - n('left')), n('width') / 2, n('height') / 2) };
    case 'border outer':
      return { ...keys, from_edge: Math.max(0, y) };
    case 'border inner':
      return { ...keys, width: least(y - n('from_edge')) };
    case 'stripe start':
    case 'stripe end': {
      const line = lineOf(keys);
      if (!line) return keys;
      const { angle: _, ...rest } = keys;
      return { ...rest, through: id === 'start' ? [[x, y], line[1]] : [line[0], [x, y]] };
    }
    case 'stripe edge': {
      const line = lineOf(keys);
      if (!line) return keys;
      const [p, q] = line;
      return { ...keys, width: least((2 * Math.abs((q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]))) / (distance(p, q) || 1)) };
    }
    default: {
      const corner = /^corner (\d+)$/.exec(id);
      if (form !== 'polygon' || !corner) return keys;
      return { ...keys, points: rowsOf(keys, 'points').map((row, i) => (i === Number(corner[1]) ? [x, y, ...row.slice(2)] : row)) };
    }
  }
}

// The shape as a whole moved by (dx, dy).
export function shifted(form: string, keys: Keys, dx: number, dy: number): Keys {
  const out: Keys = { ...keys };
  for (const key of ['center_x', 'left']) if (typeof out[key] === 'number') out[key] += dx;
  for (const key of ['center_y', 'base_y', 'bottom', ...(form === 'band' ? ['from'] : [])]) if (typeof out[key] === 'number') out[key] += dy;
  for (const key of ['points', 'through'])
    if (Array.isArray(out[key])) out[key] = out[key].map(([x = 0, y = 0, ...more]) => [x + dx, y + dy, ...more]);
  return out;
}

export function marginsOf(region: Region, plane: Plane, moving: Handle['sides']): number[] {
  const box = bounds(region);
  const all = { left: box.left, right: plane.width - box.right, bottom: box.bottom, top: plane.height - box.top };
  return Object.entries(all)
    .filter(([side, margin]) => !moving.includes(side as 'left') && margin > 0)
    .map(([, margin]) => margin);
}
