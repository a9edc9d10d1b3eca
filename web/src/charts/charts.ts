// Numbers of the plan made ready for drawing. Pure.
import { isFilm } from '../now';
import type { Piece, Price, Step, Vapour } from '../plan';
import { parseWall, type Wall } from '../time';

export interface Coat {
  step: Step;
  on: Wall;
  half: Wall;
  ready: Wall;
  lane: number;
}
export interface AirPoint {
  at: Wall;
  temp_c: number;
  rh: number; // 0 to 1
}
export interface Course {
  from: Wall;
  to: Wall;
  coats: Coat[];
  lanes: number;
  points: AirPoint[]; // the air reckoned with at the hour each step begins
}

// The coats of a piece with the air they are reckoned with; null where nothing dries.
export function courseOf(piece: Piece): Course | null {
  const coats: Coat[] = [];
  const until: Wall[] = [];
  const points: AirPoint[] = [];
  const steps = [...piece.schedule].sort((a, b) => (parseWall(a.start) ?? 0) - (parseWall(b.start) ?? 0));
  for (const step of steps) {
    const start = parseWall(step.start);
    if (start !== null && step.air.temp_c !== null && step.air.rh !== null) points.push({ at: start, temp_c: step.air.temp_c, rh: step.air.rh });
    const on = parseWall(step.end);
    const half = parseWall(step.ready_p50);
    const ready = parseWall(step.ready_p90);
    if (!isFilm(step) || on === null || half === null || ready === null || ready <= on || half < on || half > ready) continue;
    let lane = until.findIndex((u) => u <= on);
    if (lane < 0) lane = until.length;
    until[lane] = ready;
    coats.push({ step, on, half, ready, lane });
  }
  if (coats.length === 0) return null;
  const from = Math.min(...coats.map((c) => c.on), ...points.map((p) => p.at));
  const to = Math.max(...coats.map((c) => c.ready), ...points.map((p) => p.at));
  return { from, to, coats, lanes: until.length, points };
}

// Round numbers that hold all values: for the ends of an axis.
export function bounds(values: number[], step: number): { low: number; high: number } {
  const low = Math.floor(Math.min(...values) / step) * step;
  const high = Math.ceil(Math.max(...values) / step) * step;
  return low === high ? { low: low - step, high: high + step } : { low, high };
}

export interface Gauge {
  name: 'breathe' | 'flame';
  share: number; // of its limit: 1 is the limit
  width: number; // 0 to 1 of the track; the limit lies at LIMIT_AT
  over: boolean;
}
export const LIMIT_AT = 0.5;
// 10 % of the lower explosive limit: the share that docs/air.md asks a room to stay under.
const FLAME_LIMIT = 0.1;

export function gauges(air: Vapour): Gauge[] {
  const gauge = (name: Gauge['name'], share: number): Gauge => ({ name, share, width: Math.min(1, share * LIMIT_AT), over: share >= 1 });
  return [gauge('breathe', air.mixture_share), gauge('flame', air.lel_share / FLAME_LIMIT)];
}

// Waste fees stand in newer plans only, and only where there are any.
export const KINDS = ['materials', 'labour', 'overhead', 'profit', 'fees', 'tax'] as const;
export type Kind = (typeof KINDS)[number];

export function amountOf(price: Price, kind: Kind): string {
  return price[kind] ?? '0.00';
}

// What each kind takes of the price; the widths add up to 1. Empty where an amount is not a number, or below nothing.
export function shares(price: Price): { kind: Kind; from: number; width: number }[] {
  const amounts = KINDS.map((kind) => Number(amountOf(price, kind) === '' ? NaN : amountOf(price, kind)));
  const whole = amounts.reduce((sum, a) => sum + a, 0);
  if (!amounts.every((a) => a >= 0) || !(whole > 0)) return [];
  let from = 0;
  return KINDS.map((kind, i) => {
    const width = amounts[i]! / whole;
    const part = { kind, from, width };
    from += width;
    return part;
  });
}
