// The zones of a piece as they are to be shown: what is stored, with the drafts laid over it.
import type { Triple } from './color';
import type { Draft, Drafts } from './edits.svelte';
import { isDrawn, type Keys, type Plane } from './forms';
import type { Face, LookPiece, LookZone } from './looks';
import { outline, type Region } from './region';
import { SHAPE_KEYS } from './changes';
import { cover, type Covered } from './zones';

export interface DrawnZone {
  key: string; // piece/part/zone
  id: string;
  part: string;
  face: string; // a name, or "all"
  form: string;
  keys: Keys; // of its shape
  treatment: string;
  lab: Triple | null;
  word: string; // a colour that is only a word
  wood: boolean; // the colour is that of wood under its clear
  gain: Triple | null;
  swatch: string; // address or data URL; empty: none
  repeat_mm: number;
  stored: LookZone | null;
  draft: Draft | null;
}

export const shapeKeys = (keys: Keys): Keys => Object.fromEntries(Object.entries(keys).filter(([k]) => SHAPE_KEYS.includes(k)));

export function draftOf(zone: DrawnZone): Draft {
  return (
    zone.draft ?? {
      added: false,
      removed: false,
      face: zone.face,
      form: zone.form,
      keys: zone.keys,
      treatment: zone.treatment,
      lab: zone.lab,
      colorSet: false,
      swatch: null,
      repeat_mm: zone.repeat_mm,
    }
  );
}

export function zonesOf(piece: LookPiece, drafts: Drafts): DrawnZone[] {
  const zones: DrawnZone[] = [];
  const lay = (key: string, id: string, part: string, stored: LookZone | null, draft: Draft | null) => {
    if (draft?.removed) return;
    const swatch = piece.swatches.find((s) => s.part === part && s.zone === id);
    const treatment = draft?.treatment ?? stored?.treatment ?? '';
    const wood = stored?.from === 'wood' && treatment === stored.treatment;
    zones.push({
      key,
      id,
      part,
      face: draft?.face ?? stored?.face ?? '',
      form: draft?.form ?? stored?.form ?? 'whole',
      keys: draft?.keys ?? shapeKeys(stored?.keys ?? {}),
      treatment,
      lab: wood ? (stored?.lab ?? null) : draft ? draft.lab : (stored?.lab ?? null),
      word: stored?.lab || draft?.colorSet ? '' : (stored?.color ?? ''),
      wood,
      gain: wood ? (stored?.gain ?? null) : null,
      swatch: treatment !== 'fabric' ? '' : (draft?.swatch?.shown ?? swatch?.picture ?? ''),
      repeat_mm: draft?.repeat_mm ?? swatch?.repeat_mm ?? 0,
      stored,
      draft,
    });
  };
  for (const z of piece.zones) {
    const key = `${piece.id}/${z.part}/${z.zone}`;
    lay(key, z.zone, z.part, z, drafts[key] ?? null);
  }
  for (const [key, draft] of Object.entries(drafts)) {
    const [of, part, id] = key.split('/') as [string, string, string];
    // Once it is kept it is among the stored ones.
    if (draft.added && of === piece.id && !piece.zones.some((z) => z.part === part && z.zone === id)) lay(key, id, part, null, draft);
  }
  return zones;
}

const planes = new WeakMap<Face, Plane>();
export function planeOf(face: Face): Plane {
  let made = planes.get(face);
  if (!made) {
    const region: Region = face.outlines.flatMap((edges) => outline(edges));
    planes.set(face, (made = { width: face.width_mm, height: face.height_mm, region }));
  }
  return made;
}

// Of all alike parts, as the service counts: what is stored, less what changed on the flat faces of the part.
export interface Amount {
  area_m2: number;
  tape_mm: number;
}
export function amountsOf(piece: LookPiece, drafts: Drafts, part: string): Map<string, Amount> {
  const before = zonesOf(piece, {}).filter((z) => z.part === part);
  const after = zonesOf(piece, drafts).filter((z) => z.part === part);
  const amounts = new Map<string, Amount>();
  for (const z of after) {
    // A shape lies on one face; what is left of all faces may lie on some that are not flat.
    const flat = isDrawn(z.form) || z.face !== 'all';
    amounts.set(z.id, flat || !z.stored ? { area_m2: 0, tape_mm: 0 } : { area_m2: z.stored.area_m2, tape_mm: z.stored.tape_mm });
  }
  for (const face of piece.faces.filter((f) => f.part === part)) {
    const plane = planeOf(face);
    const add = (covered: Map<string, Covered>, sign: number, only: (id: string) => boolean) => {
      for (const [id, one] of covered) {
        const amount = amounts.get(id);
        if (!amount || !only(id)) continue;
        amount.area_m2 += (sign * face.count * one.areaMm2) / 1e6;
        amount.tape_mm += sign * face.count * one.tapeMm;
      }
    };
    const everywhere = (id: string) => after.some((z) => z.id === id && z.face === 'all' && !isDrawn(z.form) && z.stored);
    add(cover(after, face.face, plane), 1, () => true);
    add(cover(before, face.face, plane), -1, everywhere);
  }
  // A whole or rest on one face that is not flat keeps what the service says.
  for (const z of after)
    if (z.stored && z.face !== 'all' && !piece.faces.some((f) => f.part === part && f.face === z.face))
      amounts.set(z.id, { area_m2: z.stored.area_m2, tape_mm: z.stored.tape_mm });
  return amounts;
}

// An id that is free in the part, from what the owner calls the zone.
export function freeId(name: string, zones: DrawnZone[], part: string): string {
  const plain =
    name
      .normalize('NFKD')
      .replace(/[^A-Za-z0-9_-]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 36) || 'zone';
  const taken = (id: string) => zones.some((z) => z.part === part && z.id === id);
  if (!taken(plain)) return plain;
  let n = 2;
  while (taken(`${plain}-${n}`)) n += 1;
  return `${plain}-${n}`;
}
