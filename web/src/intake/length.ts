// Lengths as they are typed at the bench. The job file keeps the text; here it is only read to draw and to show it in
// the measures chosen. 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
import type { System } from '../measure';

const MM: Record<string, number> = { mm: 1, cm: 10, m: 1000, in: 25.4, '"': 25.4, ft: 304.8, "'": 304.8 };

function number(text: string): number | null {
  const whole = /^(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(text.trim());
  if (whole) return Number(whole[3]) === 0 ? null : Number(whole[1] ?? 0) + Number(whole[2]) / Number(whole[3]);
  const plain = text.trim().replace(',', '.');
  return /^\d*\.?\d+$|^\d+\.$/.test(plain) ? Number(plain) : null;
}

// "42 cm", "23 5/8 in", "2 ft 3 in"; null when it is none.
export function parseMm(text: string): number | null {
  let rest = text.trim().toLowerCase();
  let sum: number | null = null;
  while (rest !== '') {
    const next = /^([\d.,/\s]+)(mm|cm|m|inch(?:es)?|in|ft|feet|"|')\s*/.exec(rest);
    if (!next) return null;
    const value = number(next[1]!);
    const unit = next[2]!.startsWith('in') ? 'in' : next[2] === 'feet' ? 'ft' : next[2]!;
    if (value === null) return null;
    sum = (sum ?? 0) + value * MM[unit]!;
    rest = rest.slice(next[0].length);
  }
  return sum;
}

// Thin things are typed in millimetres, the rest in centimetres; in the US all of it in inches.
const THIN = ['depth', 'wall', 'frame_width', 'diameter', 'top_diameter', 'foot_diameter', 'girth'];
export function unitOf(kind: string, key: string, system: System): 'mm' | 'cm' | 'in' {
  if (system === 'us') return 'in';
  const leg = kind.endsWith('_leg') && (key === 'width' || key === 'depth');
  const deep = key === 'depth' && (kind === 'box' || kind === 'drawer');
  const rail = kind === 'rail' && key === 'height';
  return leg || rail || (THIN.includes(key) && !deep) ? 'mm' : 'cm';
}

// What stands in the field, without its unit.
export function shown(text: unknown, unit: 'mm' | 'cm' | 'in'): string {
  const mm = typeof text === 'string' ? parseMm(text) : null;
  if (mm === null) return typeof text === 'string' ? text : '';
  if (unit !== 'in') return String(Math.round((mm / MM[unit]!) * 1000) / 1000);
  const sixteenths = Math.round((mm / 25.4) * 16);
  if (Math.abs(sixteenths / 16 - mm / 25.4) > 1e-3) return String(Math.round((mm / 25.4) * 1000) / 1000);
  const whole = Math.floor(sixteenths / 16);
  let [part, of] = [sixteenths % 16, 16];
  while (part > 0 && part % 2 === 0) [part, of] = [part / 2, of / 2];
  return [whole > 0 || part === 0 ? String(whole) : '', part > 0 ? `${part}/${of}` : ''].filter(Boolean).join(' ');
}

// What was typed, as the job file writes it: a bare number gets the field's unit. Not a length: kept as typed, for the
// service to say what is wrong with it.
export function typed(text: string, unit: 'mm' | 'cm' | 'in'): string {
  const clean = text.trim().replace(/(?<=\d),(?=\d)/g, '.');
  if (number(clean) !== null) return `${clean} ${unit}`;
  return clean.replace(/"/g, ' in').replace(/'/g, ' ft ').replace(/\s+/g, ' ').trim();
}
