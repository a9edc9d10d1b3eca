// A thermometer and a hygrometer read at the bench, beside what the plan reckons with.
import type { ShopData } from '../intake/job';
import { isFilm } from '../now';
import type { Plan, Step } from '../plan';
import { parseWall, type Wall } from '../time';

export interface Reading {
  room: string;
  at: string;
  temp_c: number;
  rh: number; // 0 to 1
}
export interface Assumed {
  step: Step; // the coat whose air it is
  temp_c: number;
  rh: number;
}

// The air of the coat that dries in that room now, else of the one nearest in time. null: the plan has none there.
export function assumedIn(plan: Plan, room: string, now: Wall): Assumed | null {
  let best: { step: Step; far: number } | null = null;
  for (const piece of plan.pieces)
    for (const step of piece.schedule) {
      const [start, end] = [parseWall(step.start), parseWall(step.ready_p90)];
      if (step.room !== room || !isFilm(step) || step.air.temp_c === null || step.air.rh === null || start === null) continue;
      const far = now < start ? start - now : now > (end ?? start) ? now - (end ?? start) : 0;
      if (!best || far < best.far) best = { step, far };
    }
  return best ? { step: best.step, temp_c: best.step.air.temp_c!, rh: best.step.air.rh! } : null;
}

// Plain instruments are out by 1 to 2 °C and 5 to 8 % themselves; less than that says nothing (common practice, no source).
const TEMP_C = 2;
const RH = 0.08;

export type Matter = 'warmer' | 'colder' | 'drier' | 'damper';
export function differs(read: Reading, assumed: Assumed): Matter[] {
  const found: Matter[] = [];
  const warm = read.temp_c - assumed.temp_c;
  const damp = read.rh - assumed.rh;
  if (Math.abs(warm) > TEMP_C + 1e-9) found.push(warm > 0 ? 'warmer' : 'colder');
  if (Math.abs(damp) > RH + 1e-9) found.push(damp > 0 ? 'damper' : 'drier');
  return found;
}

// What can be: a hygrometer shows 0 to 100 %, and a bench is between frost and a heat nobody works in.
export function readable(temp_c: number, rh: number): boolean {
  return Number.isFinite(temp_c) && Number.isFinite(rh) && temp_c >= -20 && temp_c <= 50 && rh > 0 && rh <= 1;
}

// The shop with that room held at the reading; null where the room is not one that is held (it follows the weather).
export function heldAt(shop: ShopData, read: Reading): ShopData | null {
  const room = shop.room.find((r) => r.id === read.room);
  if (!room?.set_point) return null;
  const set_point = { ...room.set_point, temperature: `${read.temp_c} C`, humidity: `${Math.round(read.rh * 1000) / 10}%` };
  return { ...shop, room: shop.room.map((r) => (r.id === read.room ? { ...r, set_point } : r)) };
}

// Of each room the newest: those every device knows, and those that wait on this one to be sent.
export function newest(stored: Reading[], waiting: { state: string; change: Record<string, unknown> }[]): Reading[] {
  const latest = new Map<string, Reading>();
  const mine = waiting.filter((w) => w.state !== 'refused' && typeof w.change.reading === 'string').map(({ change }) => ({ ...change, room: change.reading }) as unknown as Reading);
  for (const { room, at, temp_c, rh } of [...stored, ...mine])
    if (readable(temp_c, rh) && (latest.get(room)?.at.slice(0, 16) ?? '') <= at.slice(0, 16)) latest.set(room, { room, at, temp_c, rh });
  return [...latest.values()];
}
