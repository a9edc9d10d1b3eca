// Cutting layouts as the service tells them (docs/service.md): what there is to cut from, and one layout as it stands.
import type { Asked } from '../desk/desk';

export interface CutRow {
  id: string;
  name: string;
  stuff: 'cloth' | 'sheet';
  parts: number;
}
export interface CutList {
  cuts: CutRow[];
  cloth_zones: number;
}
export interface Ground {
  name: string;
  new: boolean;
  width_mm: number;
  length_mm: number;
  path: string;
}
export interface Place {
  number: number;
  id: string;
  label: string;
  ground: number;
  x_mm: number;
  y_mm: number;
  width_mm: number;
  height_mm: number;
  turned: boolean;
  upside_down: boolean;
  path: string;
}
export interface Layout {
  height_mm: number;
  lower_bound_mm: number;
  proven: boolean;
  spare_mm: number;
  buy_m: number;
  buy_yd: number;
  buy_sheets: number;
  lower_bound_sheets: number;
  grounds: Ground[];
  places: Place[];
  missing: string[];
  notes: string[];
}
export interface CutState {
  id: string;
  name: string;
  running: boolean;
  seconds: number;
  found: number;
  trouble: { what: string; expected: string; remedy: string } | null;
  layout: Layout | null;
}

const isObject = (x: unknown): x is Record<string, unknown> => typeof x === 'object' && x !== null && !Array.isArray(x);

export function readList(json: unknown): CutList | null {
  return isObject(json) && Array.isArray(json.cuts) ? (json as unknown as CutList) : null;
}
export function readState(json: unknown): CutState | null {
  if (!isObject(json) || typeof json.running !== 'boolean') return null;
  if (json.layout !== null && !(isObject(json.layout) && Array.isArray(json.layout.grounds) && Array.isArray(json.layout.places))) return null;
  return json as unknown as CutState;
}

export async function ask<T>(path: string, read: (json: unknown) => T | null): Promise<Asked<T>> {
  try {
    const response = await fetch(path);
    const json: unknown = await response.json().catch(() => null);
    if (!response.ok) {
      const said = isObject(json) ? [json.what, json.expected, json.remedy].filter(Boolean).join(' – ') : '';
      return { why: said || `HTTP ${response.status}`, status: response.status };
    }
    const value = read(json);
    return value === null ? { why: 'no answer that can be read', status: 502 } : { value };
  } catch {
    return { why: '', status: 0 };
  }
}

// Eighths of a yard as they are said in a shop.
export function yards(value: number): string {
  const eighths = Math.round(value * 8);
  const part = eighths % 8;
  const fractions = ['', '1/8', '1/4', '3/8', '1/2', '5/8', '3/4', '7/8'];
  return [eighths >= 8 || part === 0 ? String(Math.floor(eighths / 8)) : '', fractions[part]].filter(Boolean).join(' ') + ' yd';
}

// How much longer than the bound a layout may be, in percent.
export function gapPercent(layout: Layout): number {
  return layout.lower_bound_mm > 0 ? (100 * (layout.height_mm - layout.lower_bound_mm)) / layout.lower_bound_mm : 0;
}

// A round length for the rule under a drawing: 1, 2 or 5 by tens, about a third of its width.
export function ruleOf(width_mm: number, us: boolean): { mm: number; count: number } {
  const unit = us ? 25.4 : 10;
  const most = width_mm / 3 / unit;
  let count = 1;
  for (const step of [2, 5, 10, 20, 50, 100, 200, 500]) if (step <= most) count = step;
  return { mm: count * unit, count };
}

// ---- what things are cut from, as it is written in the job (docs/job-file.md)
export interface Remnant {
  id: string;
  width?: string;
  length?: string;
  [key: string]: unknown;
}
export interface CutFrom {
  id: string;
  name?: string;
  stuff?: 'cloth' | 'sheet';
  roll_width?: string;
  wrap?: string;
  seam?: string;
  direction?: 'one' | 'grain' | 'any';
  repeat_along?: string;
  repeat_across?: string;
  price?: string;
  join_widths?: boolean;
  remnant?: Remnant[];
  [key: string]: unknown;
}

// What is empty is left out, as the job file has it.
export function tidied(cut: CutFrom): CutFrom {
  const out = Object.fromEntries(
    Object.entries(cut).filter(([, value]) => value !== undefined && value !== false && !(typeof value === 'string' && value.trim() === '')),
  ) as CutFrom;
  if (out.remnant) {
    out.remnant = out.remnant.filter((r) => r.outline !== undefined || ((r.width ?? '').trim() !== '' && (r.length ?? '').trim() !== ''));
    if (out.remnant.length === 0) delete out.remnant;
  }
  return out;
}
