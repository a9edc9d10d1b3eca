// The drawing of what dries: a wedge below the line, thick when it goes on and thin when nine in ten are ready. Thickness
// is a picture, not a measure; the hours are the plan's. One piece of the wedge is drawn for each day it crosses.
import { dried } from '../film';
import type { Wall } from '../time';
import type { Drying } from './slate';
import { DAY_MS, type Rule, type Stretch } from './rule';

export const LAYER = 14; // px from one layer to the next
const THIN = 0.24; // of the wet thickness, when dry
const MINUTE = 60_000;

// Where a stretch lies on the line of its day, as shares of its length.
export function span(s: Stretch, day: Wall, rule: Rule): { from: number; to: number } {
  const at = (wall: Wall) => rule.at((Math.min(Math.max(wall, day), day + DAY_MS) - day) / MINUTE);
  return { from: at(s.start), to: at(s.end) };
}

export interface Wedge {
  path: string; // x in thousandths of the line, y in px below the top of its layer
  from: number; // shares of the line
  to: number;
  likely: { from: number; to: number } | null; // from half ready to nine in ten
  ends: boolean; // ready on this day
  begins: boolean;
  dryFrom: number; // how dry at both ends, 0 to 1: the colours
  dryTo: number;
}

export function wedgeOn(d: Drying, day: Wall, rule: Rule): Wedge {
  const first = Math.max(d.on, day);
  const last = Math.min(d.ready, day + DAY_MS);
  const share = (wall: Wall) => dried((wall - d.on) / (d.ready - d.on));
  const full = LAYER * d.layers - 4;
  const thick = (wall: Wall) => full * (1 - (1 - THIN) * share(wall));
  const x = (wall: Wall) => (rule.at((wall - day) / MINUTE) * 1000).toFixed(1);
  const points: string[] = [];
  const steps = 24;
  for (let k = 0; k <= steps; k += 1) {
    const wall = first + ((last - first) * k) / steps;
    points.push(`${x(wall)} ${thick(wall).toFixed(2)}`);
  }
  const { from, to } = span({ start: first, end: last }, day, rule);
  const likely = d.half < last && d.ready > day ? span({ start: Math.max(d.half, first), end: last }, day, rule) : null;
  return {
    path: `M${x(first)} 0L${points.join('L')}L${x(last)} 0Z`,
    from,
    to,
    likely: likely && likely.to > likely.from ? likely : null,
    ends: d.ready <= day + DAY_MS,
    begins: d.on >= day,
    dryFrom: share(first),
    dryTo: share(last),
  };
}
