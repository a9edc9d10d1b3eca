// Planned against told, and the year, as the service has them (docs/service.md); and money as it is typed.
import type { Book } from '../intake/book.svelte';
import type { Piece } from '../intake/job';

// Of work: with two people at a step they count twice.
export interface Hours {
  kind?: string;
  steps: number;
  done: number;
  timed: number;
  planned_hours: number;
  timed_planned_hours: number;
  took_hours: number | null; // null: nobody told
  untimed_planned_hours: number;
}
export interface Fee {
  what: string;
  amount: string;
}
export interface Offer {
  hours: number;
  materials: string;
  overhead: string;
  waste_fees: Fee[];
  tax: string;
  total: string;
  earned: string;
  per_hour: string | null;
}
export interface Told {
  id: string;
  name: string;
  owner: string;
  handed_over: string | null;
  hours: Hours;
  kinds: Hours[];
  materials_planned: string;
  materials_bought: string | null;
  agreed: boolean;
  hours_known: boolean;
  planned: Offer;
  as_it_went: Offer;
}
export interface Sums {
  pieces: number;
  income: string;
  tax: string;
  materials: string;
  waste_fees: string;
  left: string;
  minutes: number;
  untimed_minutes: number;
  left_per_hour: string | null;
}
export interface Year {
  year: number;
  currency: string;
  pieces: (Sums & { day: string; id: string; name: string; owner: string; agreed: boolean; bought: boolean })[];
  months: (Sums & { month: string })[];
  total: Sums;
  missing: string[];
  years: number[];
}

const isObject = (x: unknown): x is Record<string, unknown> => typeof x === 'object' && x !== null && !Array.isArray(x);

// Of the one piece that was asked for.
export function readTold(json: unknown): Told | null {
  const told = isObject(json) && Array.isArray(json.pieces) ? (json.pieces[0] as Told | undefined) : undefined;
  return isObject(told) && isObject(told.hours) && Array.isArray(told.kinds) && isObject(told.planned) && isObject(told.as_it_went) ? told : null;
}
export function readYear(json: unknown): Year | null {
  return isObject(json) && typeof json.year === 'number' && Array.isArray(json.pieces) && Array.isArray(json.months) && isObject(json.total) && Array.isArray(json.years)
    ? (json as unknown as Year)
    : null;
}

// Sums of decimal texts with two places: whole hundredths, so that nothing is rounded.
export function sumOf(amounts: string[]): string {
  const all = amounts.reduce((sum, one) => sum + Math.round(Number(one) * 100), 0);
  return (all / 100).toFixed(2);
}

// "480", "480,5" or "480.50" as the job has it; null when it is no amount. More than two places may be a thousand meant.
export function amountOf(typed: string): string | null {
  const found = /^(\d{1,9})(?:[.,](\d{1,2}))?$/.exec(typed.trim().replaceAll(/\s/g, ''));
  return found ? `${Number(found[1])}.${(found[2] ?? '').padEnd(2, '0')}` : null;
}

// The piece as it will stand when all that waits on this device is stored; null when there is none.
export function standing(book: Book, id: string): Piece | null {
  const waiting = book.waiting.filter((w) => w.chapter === `piece/${id}` && w.state !== 'refused').at(-1);
  if (waiting && 'body' in waiting.change) return (waiting.change.body as Piece | null) ?? null;
  return book.page?.job.piece?.find((p) => p.id === id) ?? null;
}
export const boughtFor = (piece: Piece | null): Fee[] => (Array.isArray(piece?.bought) ? (piece.bought as Fee[]) : []);
// What is not said is left out: then it is not known, which is not the same as nothing.
export function withAgreed(piece: Piece, agreed: string | null): Piece {
  const { agreed: _, ...rest } = piece;
  return (agreed === null ? rest : { ...rest, agreed }) as Piece;
}
export function withBought(piece: Piece, bought: Fee[]): Piece {
  const { bought: _, ...rest } = piece;
  return (bought.length === 0 ? rest : { ...rest, bought }) as Piece;
}
