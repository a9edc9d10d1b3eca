// The shelf as the service tells it, and amounts as people type them.
import type { System } from './measure';

export interface ShelfLine {
  product: string;
  name: string;
  unit: string;
  onShelf: number; // below zero: more was used than is known to have been there
  expired: number;
  reserved: number;
  free: number;
  useBy: string | null;
  short: { step: string; when: string; amount: number }[];
}
export interface LeftOver {
  piece: string;
  name: string;
  handedOver: string | null;
  inPrice: string;
  lines: { product: string; name: string; unit: string; amount: number; inPrice: string }[];
}
export interface Told {
  key: string;
  when: string;
  stock: 'came' | 'counted' | 'gone';
  lines: { product: string; amount: number; packs: number }[];
}
export interface Shelf {
  lines: ShelfLine[];
  left: LeftOver[];
  told: Told[]; // that stand, the newest first
}

type Raw = Record<string, unknown>;
const list = (value: unknown) => (Array.isArray(value) ? (value as Raw[]) : []);
const text = (value: unknown) => (typeof value === 'string' ? value : '');
const number = (value: unknown) => (typeof value === 'number' && Number.isFinite(value) ? value : 0);

export function readShelf(value: unknown): Shelf | null {
  const raw = value as Raw | null;
  if (typeof raw !== 'object' || raw === null || !Array.isArray(raw.lines)) return null;
  return {
    lines: list(raw.lines).map((one) => ({
      product: text(one.product),
      name: text(one.name),
      unit: text(one.unit),
      onShelf: number(one.on_shelf),
      expired: number(one.expired),
      reserved: number(one.reserved),
      free: number(one.free),
      useBy: typeof one.use_by === 'string' ? one.use_by : null,
      short: list(one.short).map((s) => ({ step: text(s.step), when: text(s.when), amount: number(s.amount) })),
    })),
    left: list(raw.left_over).map((one) => ({
      piece: text(one.piece),
      name: text(one.name),
      handedOver: typeof one.handed_over === 'string' ? one.handed_over : null,
      inPrice: text(one.in_price),
      lines: list(one.lines).map((l) => ({ product: text(l.product), name: text(l.name), unit: text(l.unit), amount: number(l.amount), inPrice: text(l.in_price) })),
    })),
    told: list(raw.told)
      .filter((one) => one.stands === true && ['came', 'counted', 'gone'].includes(text(one.stock)))
      .map((one) => ({
        key: text(one.key),
        when: text(one.when),
        stock: one.stock as Told['stock'],
        lines: list(one.lines).map((l) => ({ product: text(l.product), amount: number(l.amount), packs: number(l.packs) || 1 })),
      }))
      .reverse(),
  };
}

// Litres in each (NIST Handbook 44, appendix C: 1 US gal = 231 in³ = 3.785411784 l).
const LITRES: Record<string, number> = { l: 1, ml: 0.001, cl: 0.01, dl: 0.1, gal: 3.785411784, qt: 3.785411784 / 4, pt: 3.785411784 / 8, 'fl oz': 3.785411784 / 128 };
const METRES: Record<string, number> = { m: 1, cm: 0.01, mm: 0.001, ft: 0.3048, yd: 0.9144, in: 0.0254 };

// In the product's own unit; null when it cannot be read so. A bare number is in what the page shows: litres and
// metres, or quarts and feet.
export function amountTyped(typed: string, unit: string, system: System): number | null {
  const found = /^(\d+(?:[.,]\d+)?|[.,]\d+)\s*([a-z ]*)$/.exec(typed.trim().toLowerCase());
  if (!found) return null;
  const value = Number(found[1]!.replace(',', '.'));
  const word = found[2]!.trim();
  const table = unit === 'l' ? LITRES : unit === 'm' ? METRES : null;
  const usual = unit === 'l' ? (system === 'us' ? 'qt' : 'l') : system === 'us' ? 'ft' : 'm';
  const factor = table ? table[word === '' ? usual : word] : word === '' ? 1 : undefined;
  return factor === undefined || value * factor > 1e5 ? null : Math.round(value * factor * 1e4) / 1e4;
}
