// From drafts to the changes that the service keeps: one a zone, each holding by itself, in an order in which they fit.
import { cssOfLab } from './color';
import type { Draft } from './edits.svelte';
import type { Key, Keys } from './forms';
import { sendLength } from './lengths';

// Every key that some shape has (docs/job-file.md): what the new shape does not have is taken out.
export const SHAPE_KEYS = [
  'center_x', 'center_y', 'base_y', 'radius', 'opens', 'left', 'bottom', 'width', 'rise', 'spring_height', 'from', 'from_foot',
  'height', 'points', 'corner_radius', 'through', 'angle', 'from_edge', 'mirror',
];
export const COLORED = ['paint', 'paint_inside', 'metal_spray', 'fabric'];

const sent = (key: string, value: Key): Key => {
  if (Array.isArray(value)) return value.map((row) => row.map((v) => Math.round(v * 1000) / 1000));
  return typeof value === 'number' && key !== 'angle' ? sendLength(value) : value;
};
const same = (p: Key | undefined, q: Key | undefined): boolean => JSON.stringify(p) === JSON.stringify(q);

export interface Stored {
  face: string;
  form: string;
  keys: Keys;
  treatment: string;
}

// What `draft` changes in the stored zone; null when nothing.
export function setOf(draft: Draft, stored: Stored | null): Record<string, Key | null> | null {
  const set: Record<string, Key | null> = {};
  if (!stored) set.face = draft.face;
  if (draft.form !== stored?.form) set.form = draft.form;
  for (const key of SHAPE_KEYS) {
    const [before, after] = [stored?.keys[key], draft.keys[key]];
    if (after === undefined) {
      if (before !== undefined) set[key] = null;
    } else if (!same(before, after)) {
      set[key] = sent(key, after);
    }
  }
  if (draft.treatment !== stored?.treatment) {
    set.treatment = draft.treatment;
    // Another treatment is another build-up: what was asked for by name no longer fits.
    for (const key of ['product', 'wanted', 'coats', ...(draft.colorSet || COLORED.includes(draft.treatment) ? [] : ['color'])])
      if (stored && (stored.keys[key] !== undefined || key === 'wanted')) set[key] = null;
  }
  if (draft.colorSet && draft.lab) set.color = cssOfLab(draft.lab);
  if (draft.treatment === 'fabric') {
    if (draft.swatch?.data === '') {
      if (stored) set.swatch = set.repeat = null; // plain again
    } else if (draft.swatch) set.swatch = draft.swatch.data;
    if (draft.swatch?.data !== '' && draft.repeat_mm > 0 && (draft.swatch || stored?.keys.repeat !== undefined)) {
      const repeat = sendLength(draft.repeat_mm);
      if (draft.swatch || stored?.keys.repeat !== repeat) set.repeat = repeat;
    }
  } else if (stored?.treatment === 'fabric') {
    set.swatch = null;
    set.repeat = null;
  }
  return Object.keys(set).length > 0 ? set : null;
}

// What stands in the way of others goes first: a whole face becomes the rest, zones go, zones change, new ones come.
export function inOrder(drafts: [string, Draft][]): [string, Draft][] {
  const rank = (d: Draft) => (d.form === 'rest' && !d.removed ? 0 : d.removed ? 1 : d.added ? 3 : 2);
  return [...drafts].sort(([, p], [, q]) => rank(p) - rank(q));
}
