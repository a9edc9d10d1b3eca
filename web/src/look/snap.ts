// Where a dragged point comes to rest. The same rules and the same order as src/shape/snap.h; a shared table of cases
// (tests/fixture/drawn.json) holds both to it.
import { at, distance, meetings, nearest, segment, type Point, type Segment } from './arc';
import { bounds, type Region } from './region';

export type Why = '' | 'centre line' | 'third' | 'edge of the face' | 'equal margin' | 'corner of the face' | `${string} zone ${string}` | 'grid';

export interface SnapOptions {
  reach: number; // mm; 0: only the grid
  grid: number; // mm from the left bottom corner of the face; 0: none
  margins: number[]; // what the shape keeps free on its other sides
}
export interface Snapped {
  to: Point;
  xWhy: Why;
  yWhy: Why;
}

const SAME = 1e-6;
interface Line {
  at: number;
  rank: number; // centre line, third, edge of the face, equal margin, line of a zone, in line with a zone
  why: Why;
}
interface Curve {
  segment: Segment;
  why: Why;
}

export class Targets {
  readonly upright: Line[] = [];
  readonly level: Line[] = [];
  readonly corners: { at: Point; why: Why }[] = [];
  readonly curves: Curve[] = [];

  constructor(face: Region, others: { name: string; region: Region }[], margins: number[]) {
    const box = bounds(face);
    const across = (lines: Line[], low: number, high: number) =>
      lines.push(
        { at: (low + high) / 2, rank: 0, why: 'centre line' },
        { at: low + (high - low) / 3, rank: 1, why: 'third' },
        { at: low + ((high - low) * 2) / 3, rank: 1, why: 'third' },
      );
    across(this.upright, box.left, box.right);
    across(this.level, box.bottom, box.top);
    for (const away of margins) {
      if (!(away > SAME)) continue;
      this.upright.push({ at: box.left + away, rank: 3, why: 'equal margin' }, { at: box.right - away, rank: 3, why: 'equal margin' });
      this.level.push({ at: box.bottom + away, rank: 3, why: 'equal margin' }, { at: box.top - away, rank: 3, why: 'equal margin' });
    }
    this.add(face, 2, 'edge of the face', 'corner of the face', '');
    for (const zone of others)
      this.add(zone.region, 4, `line of zone ${zone.name}`, `corner of zone ${zone.name}`, `in line with zone ${zone.name}`);
  }

  private add(region: Region, rank: number, line: Why, corner: Why, beside: Why): void {
    for (const s of region) {
      this.corners.push({ at: s.b, why: corner });
      if (beside !== '') {
        this.upright.push({ at: s.b[0], rank: 5, why: beside });
        this.level.push({ at: s.b[1], rank: 5, why: beside });
      }
      if (s.radius > 0) {
        this.curves.push({ segment: s, why: line });
        if (beside !== '') {
          this.upright.push({ at: s.center[0], rank: 5, why: beside });
          this.level.push({ at: s.center[1], rank: 5, why: beside });
        }
      } else if (Math.abs(s.a[0] - s.b[0]) < SAME) this.upright.push({ at: s.b[0], rank, why: line });
      else if (Math.abs(s.a[1] - s.b[1]) < SAME) this.level.push({ at: s.b[1], rank, why: line });
      else this.curves.push({ segment: s, why: line });
    }
  }
}

export function nearestLine(lines: Line[], where: number, reach: number): { at: number; away: number; why: Why } | null {
  let best: Line | null = null;
  for (const line of lines) {
    const away = Math.abs(line.at - where);
    if (away > reach) continue;
    const least = best ? Math.abs(best.at - where) : 0;
    if (
      !best ||
      away < least - SAME ||
      (away < least + SAME && (line.rank < best.rank || (line.rank === best.rank && line.at < best.at - SAME)))
    )
      best = line;
  }
  return best && { at: best.at, away: Math.abs(best.at - where), why: best.why };
}

const lower = (p: Point, q: Point): boolean => p[0] < q[0] - SAME || (p[0] < q[0] + SAME && p[1] < q[1] - SAME);

// Where the curve crosses an upright (or level) line, nearest to `point`, within `reach` of it.
function crossing(curve: Segment, where: number, upright: boolean, point: Point, reach: number): Point | null {
  const line = upright
    ? segment([where, point[1] - 2 * reach], [where, point[1] + 2 * reach])
    : segment([point[0] - 2 * reach, where], [point[0] + 2 * reach, where]);
  let best: Point | null = null;
  for (const t of meetings(curve, line)) {
    const p = at(curve, t);
    if (distance(p, point) <= reach && (!best || distance(p, point) < distance(best, point) - SAME)) best = p;
  }
  return best;
}

// Halves away from zero, as std::round does.
const round = (v: number): number => Math.sign(v) * Math.floor(Math.abs(v) + 0.5);
export const onGrid = (value: number, zero: number, step: number): number => zero + round((value - zero) / step) * step;

export function snap(point: Point, face: Region, others: { name: string; region: Region }[], options: SnapOptions): Snapped {
  let result: Snapped = { to: point, xWhy: '', yWhy: '' };
  if (!(Math.abs(point[0]) < 1e6) || !(Math.abs(point[1]) < 1e6)) return result;
  const box = bounds(face);
  const { reach } = options;
  if (reach > 0) {
    const targets = new Targets(face, others, options.margins);
    let best = reach + SAME; // what a later kind has to undercut
    let held = false;
    let corner: { at: Point; why: Why } | null = null;
    for (const one of targets.corners) {
      const away = distance(one.at, point);
      if (away < best - SAME || (corner && away < best + SAME && lower(one.at, corner.at))) {
        best = away;
        corner = one;
      }
    }
    if (corner) {
      result = { to: corner.at, xWhy: corner.why, yWhy: corner.why };
      held = true;
    }
    const x = nearestLine(targets.upright, point[0], reach);
    const y = nearestLine(targets.level, point[1], reach);
    for (const curve of targets.curves) {
      const on = nearest(curve.segment, point);
      if (!(on.away < best - SAME)) continue;
      best = on.away;
      held = true;
      result = { to: at(curve.segment, on.t), xWhy: curve.why, yWhy: curve.why };
      // A crossing pins it down in both directions.
      const atX = x ? crossing(curve.segment, x.at, true, point, reach) : null;
      const atY = y ? crossing(curve.segment, y.at, false, point, reach) : null;
      if (x && atX && (!atY || distance(atX, point) <= distance(atY, point) + SAME)) result = { to: atX, xWhy: x.why, yWhy: curve.why };
      else if (y && atY) result = { to: atY, xWhy: curve.why, yWhy: y.why };
    }
    const moved = Math.hypot(x?.away ?? 0, y?.away ?? 0);
    if ((x || y) && (!held || moved < best - SAME))
      result = { to: [x?.at ?? point[0], y?.at ?? point[1]], xWhy: x?.why ?? '', yWhy: y?.why ?? '' };
  }
  if (options.grid > 0) {
    const to: Point = [...result.to];
    if (result.xWhy === '') {
      to[0] = onGrid(point[0], box.left, options.grid);
      result.xWhy = 'grid';
    }
    if (result.yWhy === '') {
      to[1] = onGrid(point[1], box.bottom, options.grid);
      result.yWhy = 'grid';
    }
    result.to = to;
  }
  return result;
}
