// Whether a piece is worth taking on: what is asked, and what the service says (GET /api/worth, docs/service.md).
import { typed } from '../intake/length';

export interface Span<T> {
  p10: T;
  p50: T;
  p90: T;
}
export interface Hazard {
  rule: string;
  severity: 'note' | 'caution' | 'must-not';
  reason: string;
  mend: string;
  source: string;
}
export interface Judged {
  hours: Span<number>;
  days: Span<number>;
  materials: Span<string>;
  break_even: Span<string>;
  from_cost: Span<string>;
  per_hour: Span<string> | null;
  verdict: 'yes' | 'no' | 'maybe' | null; // of what an hour then pays, against the shop's own; null: no price was said
  readings: string[];
  hazards: Hazard[];
  currency: string;
}
export interface Form {
  width: string;
  height: string;
  depth: string;
  fronts: string;
  damage: string;
  year: string;
  existing: string;
  wanted: string;
  solid: boolean;
  market: string;
}
export const EMPTY: Form = { width: '', height: '', depth: '', fronts: '0', damage: '', year: '', existing: 'unknown', wanted: 'clear', solid: false, market: '' };
export const WANTED = ['clear', 'stain_and_clear', 'paint', 'oil', 'wax'] as const;

const isSpan = (value: unknown, kind: 'number' | 'string'): boolean =>
  typeof value === 'object' && value !== null && ['p10', 'p50', 'p90'].every((key) => typeof (value as Record<string, unknown>)[key] === kind);

export function readJudged(value: unknown): Judged | null {
  const one = value as Judged;
  const good =
    typeof value === 'object' && value !== null && isSpan(one.hours, 'number') && isSpan(one.days, 'number') && isSpan(one.materials, 'string') &&
    isSpan(one.break_even, 'string') && isSpan(one.from_cost, 'string') && (one.per_hour === null || isSpan(one.per_hour, 'string')) &&
    Array.isArray(one.readings) && Array.isArray(one.hazards);
  return good ? one : null;
}

export function query(form: Form, us: boolean): string {
  const asked: Record<string, string> = { existing: form.existing, wanted: form.wanted, fronts: form.fronts.trim() || '0' };
  for (const key of ['width', 'height', 'depth'] as const) asked[key] = typed(form[key], us ? 'in' : 'cm');
  const damage = form.damage.trim().replace(',', '.');
  if (damage) asked.damage = /^[\d.]+$/.test(damage) ? `${damage} ${us ? 'ft2' : 'm2'}` : damage;
  asked.year = form.year.trim() || 'unknown';
  if (form.market.trim()) asked.market = form.market.trim().replace(',', '.');
  if (form.solid) asked.solid_wood = 'yes';
  return Object.entries(asked).map(([key, value]) => `${key}=${encodeURIComponent(value)}`).join('&');
}

// "varnish, thick or gummy": the finish, and whether it is taken to be stubborn.
export function readingOf(text: string): { existing: string; stubborn: boolean } {
  const stubborn = text.endsWith(', thick or gummy');
  const name = stubborn ? text.slice(0, -', thick or gummy'.length) : text;
  return { existing: name === 'bare wood' ? 'bare' : name, stubborn };
}
