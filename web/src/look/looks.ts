// What the service says about the look of the pieces, checked as it comes in.
import type { Triple } from './color';
import type { Point } from './arc';
import type { Key, Keys } from './forms';

// A zone split into what the paint and what the light does; the formula is in docs/picture.md.
export interface Split {
  albedo: Triple;
  veil: Triple;
  light_guessed: boolean;
  clear_wood: boolean;
  to_shading: Triple;
  to_gloss: Triple;
  gloss_by_color: number;
  shrink: number;
  log_weights: Triple;
  log_albedo: number;
  grid_width: number;
  grid_height: number;
}
export interface ZoneOnView {
  zone: string;
  trouble: string;
  grid: string;
  split: Split | null;
}
// A flat face that is seen: what a zone can be drawn on.
export interface Face {
  part: string;
  face: string;
  count: number; // alike parts
  width_mm: number;
  height_mm: number;
  outlines: [number, number, number][][]; // x, y, bulge of every edge
}
export interface Swatch {
  part: string;
  zone: string;
  repeat_mm: number;
  picture: string; // empty: not to be had, for `trouble`
  trouble: string;
}
export interface FaceView {
  photo: string;
  part: string;
  face: string;
  width: number;
  height: number;
  width_mm: number;
  height_mm: number;
  corners: Point[];
  picture: string;
  notes: string[];
  zones: ZoneOnView[];
  grid: string; // of the face as a whole, for a zone that is only being drawn
  split: Split | null;
}
export interface LookZone {
  part: string;
  zone: string;
  face: string;
  treatment: string;
  color: string;
  lab: Triple | null;
  from: string; // "given", or "wood": the species under its clear, a model
  form: string;
  area_m2: number;
  tape_mm: number;
  keys: Keys;
  gain: Triple | null; // what a clear does to bare wood
}
export interface LookPiece {
  id: string;
  name: string;
  notes: string[];
  views: FaceView[];
  faces: Face[];
  swatches: Swatch[];
  zones: LookZone[];
  looks: { id: string; name: string; zones: { part: string; zone: string; treatment: string; product: string; color: string }[] }[];
}
export interface LookChange {
  key: string;
  when: string;
  piece: string;
  text: string;
  takes_back: string;
  stands: boolean;
}
export interface Looks {
  pieces: LookPiece[];
  changes: LookChange[];
}
export interface Board {
  id: string;
  name: string;
  price: string;
  currency: string;
  bench_hours: number;
  days: number;
  finish: string;
  late: boolean;
  chosen: boolean; // by the owner
  picture: string;
  zones: { part: string; zone: string; lab: Triple | null }[];
  pairs: { zone: string; other: string; de00: number; lightness: number; chroma: number; hue_deg: number }[];
  must_not: string[];
}
export interface Boards {
  sheet: string;
  looks: Board[];
  notes: string[];
}

type Raw = Record<string, unknown>;
const object = (v: unknown): Raw => (typeof v === 'object' && v !== null && !Array.isArray(v) ? (v as Raw) : {});
const list = (v: unknown): Raw[] => (Array.isArray(v) ? v.map(object) : []);
const text = (v: unknown): string => (typeof v === 'string' ? v : '');
const number = (v: unknown): number => (typeof v === 'number' && Number.isFinite(v) ? v : 0);
const numbers = (v: unknown): number[] => (Array.isArray(v) ? v.map(number) : []);
const texts = (v: unknown): string[] => (Array.isArray(v) ? v.map(text) : []);
const triple = (v: unknown): Triple => {
  const n = numbers(v);
  return [n[0] ?? 0, n[1] ?? 0, n[2] ?? 0];
};

// Texts, numbers and rows of numbers.
function keysOf(v: unknown): Keys {
  const rows = (w: unknown) => Array.isArray(w) && w.every((r) => Array.isArray(r) && r.every((n) => typeof n === 'number'));
  return Object.fromEntries(
    Object.entries(object(v)).filter((e): e is [string, Key] => typeof e[1] === 'string' || typeof e[1] === 'number' || rows(e[1])),
  );
}

function splitOf(v: unknown): Split | null {
  const s = object(v);
  if (number(s.grid_width) < 1 || number(s.grid_height) < 1) return null;
  return {
    albedo: triple(s.albedo),
    veil: triple(s.veil),
    light_guessed: s.light_guessed === true,
    clear_wood: s.clear_wood === true,
    to_shading: triple(s.to_shading),
    to_gloss: triple(s.to_gloss),
    gloss_by_color: number(s.gloss_by_color),
    shrink: number(s.shrink),
    log_weights: triple(s.log_weights),
    log_albedo: number(s.log_albedo),
    grid_width: number(s.grid_width),
    grid_height: number(s.grid_height),
  };
}

export function readLooks(body: unknown): Looks | null {
  const all = object(body);
  if (!Array.isArray(all.pieces)) return null;
  return {
    pieces: list(all.pieces).map((p) => ({
      id: text(p.id),
      name: text(p.name),
      notes: texts(p.notes),
      views: list(p.views).map((v) => ({
        photo: text(v.photo),
        part: text(v.part),
        face: text(v.face),
        width: number(v.width),
        height: number(v.height),
        width_mm: number(v.width_mm),
        height_mm: number(v.height_mm),
        corners: (Array.isArray(v.corners) ? v.corners : []).map((c) => {
          const n = numbers(c);
          return [n[0] ?? 0, n[1] ?? 0] as Point;
        }),
        picture: text(v.picture),
        notes: texts(v.notes),
        zones: list(v.zones).map((z) => ({
          zone: text(z.zone),
          trouble: text(z.trouble),
          grid: text(z.grid),
          split: splitOf(z.split),
        })),
        grid: text(v.grid),
        split: splitOf(v.split),
      })),
      faces: list(p.faces).map((f) => ({
        part: text(f.part),
        face: text(f.face),
        count: Math.max(1, number(f.count)),
        width_mm: number(f.width_mm),
        height_mm: number(f.height_mm),
        outlines: (Array.isArray(f.outlines) ? f.outlines : []).map((o: unknown) => (Array.isArray(o) ? o : []).map(triple)),
      })),
      swatches: list(p.swatches).map((w) => ({
        part: text(w.part),
        zone: text(w.zone),
        repeat_mm: number(w.repeat_mm),
        picture: text(w.picture),
        trouble: text(w.trouble),
      })),
      zones: list(p.zones).map((z) => ({
        part: text(z.part),
        zone: text(z.zone),
        face: text(z.face),
        treatment: text(z.treatment),
        color: text(z.color),
        lab: Array.isArray(z.lab) ? triple(z.lab) : null,
        from: text(z.from),
        form: text(z.form),
        area_m2: number(z.area_m2),
        tape_mm: number(z.tape_mm),
        keys: keysOf(z.keys),
        gain: Array.isArray(z.gain) ? triple(z.gain) : null,
      })),
      looks: list(p.looks).map((l) => ({
        id: text(l.id),
        name: text(l.name),
        zones: list(l.zones).map((z) => ({
          part: text(z.part),
          zone: text(z.zone),
          treatment: text(z.treatment),
          product: text(z.product),
          color: text(z.color),
        })),
      })),
    })),
    changes: list(all.changes).map((c) => ({
      key: text(c.key),
      when: text(c.when),
      piece: text(c.piece),
      text: text(c.text),
      takes_back: text(c.takes_back),
      stands: c.stands === true,
    })),
  };
}

export function readBoards(body: unknown): Boards | null {
  const all = object(body);
  if (!Array.isArray(all.looks)) return null;
  return {
    sheet: text(all.sheet),
    notes: texts(all.notes),
    looks: list(all.looks).map((b) => ({
      id: text(b.id),
      name: text(b.name),
      price: text(b.price),
      currency: text(b.currency),
      bench_hours: number(b.bench_hours),
      days: number(b.days),
      finish: text(b.finish),
      late: b.late === true,
      chosen: b.chosen === true,
      picture: text(b.picture),
      zones: list(b.zones).map((z) => ({ part: text(z.part), zone: text(z.zone), lab: Array.isArray(z.lab) ? triple(z.lab) : null })),
      pairs: list(b.pairs).map((p) => ({
        zone: text(p.zone),
        other: text(p.other),
        de00: number(p.de00),
        lightness: number(p.lightness),
        chroma: number(p.chroma),
        hue_deg: number(p.hue_deg),
      })),
      must_not: texts(b.must_not),
    })),
  };
}
