// The picture of a drying coat: a cut through the film from the moment it goes on (left, thick) to the hour nine coats
// in ten are ready (right, thin). Thickness is a picture, not a measure; the hours are the plan's.
import type { Step } from './plan';
import { parseWall, type Wall } from './time';

export const WIDTH = 320;
export const HEIGHT = 64;
const WOOD_TOP = 46;
const WET = 34; // thickness drawn when wet
const DRY = 9; // and when dry
const RIGHT = 0.86; // where P90 lies; the rest is dry film

export interface Drawing {
  film: string; // SVG path
  half: number; // x of P50
  ready: number; // x of P90
  now: number | null; // x, when now lies on the picture
  surfaceAtNow: number;
}

// Share of the way from wet to dry at a share of the time: fast at first, as solvent leaves, then slowly.
export function dried(share: number): number {
  const k = 3.2;
  return (1 - Math.exp(-k * Math.min(1, Math.max(0, share)))) / (1 - Math.exp(-k));
}

export function drawFilm(step: Step, now: Wall): Drawing | null {
  const on = parseWall(step.end);
  const p50 = parseWall(step.ready_p50);
  const p90 = parseWall(step.ready_p90);
  if (on === null || p50 === null || p90 === null || p90 <= on || p50 < on || p50 > p90) return null;
  const span = p90 - on;
  const x = (wall: Wall) => ((wall - on) / span) * RIGHT * WIDTH;
  const y = (at: number) => WOOD_TOP - (WET - (WET - DRY) * dried(at / (RIGHT * WIDTH)));
  const points: string[] = [];
  for (let at = 0; at <= WIDTH; at += 8) points.push(`${at} ${y(at).toFixed(1)}`);
  const at = x(now);
  return {
    film: `M0 ${WOOD_TOP}L${points.join('L')}L${WIDTH} ${WOOD_TOP}Z`,
    half: x(p50),
    ready: x(p90),
    now: at >= 0 && at <= WIDTH ? at : null,
    surfaceAtNow: at >= 0 && at <= WIDTH ? y(at) : 0,
  };
}
