// What came off a piece and the way back, as the service tells it (docs/service.md), and what waits on this device laid
// over it.
import type { Waiting } from '../intake/book.svelte';

export interface Held {
  what: string;
  count: number;
  size: string;
}
export interface Cable {
  name: string;
  from: string;
  to: string;
}
export interface TakenOff {
  id: string;
  name: string;
  part: string;
  held_by: Held[];
  bag: string;
  cable: Cable[];
  photo: string;
  under: string[];
  through: string[];
  fits: string;
  clearance_mm: number | null;
  ticked: string[];
}
export interface Finding {
  rule: string;
  severity: 'note' | 'caution' | 'must-not';
  reason: string;
  mend: string;
}
export interface BackOn {
  id: string;
  on: boolean;
  may: boolean;
  findings: Finding[];
}
export interface ApartChange {
  key: string;
  when: string;
  row: string;
  what: 'set' | 'tick' | 'remove';
  tick: string;
  stands: boolean;
}
export interface ApartPiece {
  id: string;
  name: string;
  letter: string;
  next_bag: string;
  next_cable: string;
  wires: boolean;
  taken_off: TakenOff[];
  back: BackOn[];
  changes: ApartChange[];
}
export interface ApartPage {
  mains: Finding;
  pieces: ApartPiece[];
}

const isObject = (x: unknown): x is Record<string, unknown> => typeof x === 'object' && x !== null && !Array.isArray(x);
export function readApart(json: unknown): ApartPage | null {
  if (!isObject(json) || !isObject(json.mains) || !Array.isArray(json.pieces)) return null;
  for (const piece of json.pieces)
    if (!isObject(piece) || ['taken_off', 'back', 'changes'].some((list) => !Array.isArray(piece[list]))) return null;
  return json as unknown as ApartPage;
}

// `unsent`: something of it waits on this device; `waits`: what it is has not been sent, so it has not been checked.
export interface Row extends TakenOff {
  unsent: boolean;
  waits: boolean;
}
const EMPTY = { name: '', part: '', held_by: [], bag: '', cable: [], photo: '', under: [], through: [], fits: '', clearance_mm: null, ticked: [] };

function set(row: TakenOff, keys: Record<string, unknown>): TakenOff {
  const next = { ...row } as Record<string, unknown>;
  for (const [key, value] of Object.entries(keys)) {
    if (key === 'clearance') next.clearance_mm = typeof value === 'string' ? parseFloat(value) : null;
    else next[key] = value ?? (EMPTY as Record<string, unknown>)[key];
  }
  return next as unknown as TakenOff;
}

export function withWaiting(piece: ApartPiece, waiting: readonly Waiting[]): Row[] {
  let rows: Row[] = piece.taken_off.map((row) => ({ ...row, unsent: false, waits: false }));
  for (const { change, state } of waiting) {
    if (state === 'refused' || change.piece !== piece.id || typeof change.taken_off !== 'string') continue;
    const id = change.taken_off;
    const old = rows.find((r) => r.id === id);
    if (change.remove === true) rows = rows.filter((r) => r.id !== id);
    else if (isObject(change.set)) {
      const next = { ...set(old ?? { ...EMPTY, id, name: id }, change.set), unsent: true, waits: true };
      rows = old ? rows.map((r) => (r.id === id ? next : r)) : [...rows, next];
    } else if (old && typeof change.tick === 'string') {
      const ticked = old.ticked.includes(change.tick) ? old.ticked : [...old.ticked, change.tick];
      rows = rows.map((r) => (r.id === id ? { ...old, ticked, unsent: true } : r));
    }
  }
  return rows;
}

// The rows in the order of the way back; one that only this device knows came off last, and so goes on first.
export function wayBack(piece: ApartPiece, rows: Row[]): { row: Row; back: BackOn | null }[] {
  const known = piece.back.flatMap((back) => {
    const row = rows.find((r) => r.id === back.id);
    return row ? [{ row, back: row.waits ? null : back }] : [];
  });
  const news = rows.filter((r) => !piece.back.some((b) => b.id === r.id)).reverse();
  return [...news.map((row) => ({ row, back: null })), ...known];
}

// The name after the last one used, also by what waits here: "A4" after "A3", "Ak2" after "Ak1".
function following(prefix: string, names: string[]): string {
  const numbers = names.filter((n) => n.startsWith(prefix)).map((n) => Number(n.slice(prefix.length)));
  return `${prefix}${Math.max(0, ...numbers.filter((n) => Number.isInteger(n))) + 1}`;
}
export const nextBag = (piece: ApartPiece, rows: readonly TakenOff[]): string => following(piece.letter, rows.map((r) => r.bag));
export const nextCable = (piece: ApartPiece, rows: readonly TakenOff[], more: readonly Cable[] = []): string =>
  following(`${piece.letter}k`, [...rows.flatMap((r) => r.cable), ...more].map((c) => c.name));

// An id that is not there yet, out of the name: "back-plate", "back-plate-b".
export function rowId(name: string, taken: readonly string[]): string {
  const plain =
    name
      .normalize('NFKD')
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 30) || 'part';
  for (let k = 0; ; k += 1) {
    const id = k === 0 ? plain : `${plain}-${k < 26 ? String.fromCharCode(97 + k) : k}`;
    if (!taken.includes(id)) return id;
  }
}

// "#apart=cabinet/A3": which piece, and which bag or cable was scanned.
export function placeOf(hash: string): { piece: string; name: string } | null {
  if (!hash.startsWith('#apart=')) return null;
  const [piece = '', name = ''] = hash.slice(7).split('/').map((part) => {
    try {
      return decodeURIComponent(part);
    } catch {
      return '';
    }
  });
  return { piece, name };
}
export const isAbout = (row: TakenOff, name: string): boolean => name !== '' && (row.bag === name || row.cable.some((c) => c.name === name));
