// Lengths as the shop writes them: centimetres, or inches with fractions. The page keeps millimetres.
import type { System } from '../measure';

const IN = 25.4;
const FT = 304.8;
const UNITS: Record<string, number> = { mm: 1, cm: 10, m: 1000, in: IN, '"': IN, '″': IN, ft: FT, "'": FT, '′': FT };

// One step of the rule: a millimetre, or a sixteenth of an inch.
export const stepOf = (system: System): number => (system === 'us' ? IN / 16 : 1);
// A round length to begin with: a centimetre, or a half inch.
export const nice = (system: System) => (mm: number): number => {
  const step = system === 'us' ? IN / 2 : 10;
  return Math.max(step, Math.round(mm / step) * step);
};

// As it stands in a field; what is finer than the rule keeps its digits.
export function writeLength(mm: number, system: System): string {
  if (system !== 'us') return `${String(Math.round(mm * 10) / 100)} cm`;
  const sixteenths = Math.round((mm / IN) * 16);
  if (Math.abs((sixteenths * IN) / 16 - mm) > 0.05) return `${String(Math.round((mm / IN) * 1000) / 1000)} in`;
  const whole = Math.floor(sixteenths / 16);
  let [part, of] = [sixteenths % 16, 16];
  while (part > 0 && part % 2 === 0) [part, of] = [part / 2, of / 2];
  return `${[whole > 0 || part === 0 ? String(whole) : '', part > 0 ? `${part}/${of}` : ''].filter(Boolean).join(' ')} in`;
}

// "19", "19,5 cm", "7 1/2 in", "2 ft 3 1/4 in", "3/4"; a number without a unit is in the shop's. Null when it is none.
export function readLength(text: string, system: System): number | null {
  let rest = text.trim().toLowerCase().replaceAll(',', '.');
  if (rest === '') return null;
  let sum = 0;
  while (rest !== '') {
    const found = /^(?:(\d+)\/(\d+)|(\d+(?:\.\d+)?)(?:\s+(\d+)\/(\d+))?|(\.\d+))\s*(mm|cm|m|in|ft|"|″|'|′)?\s*/.exec(rest);
    if (!found || found[0] === '') return null;
    const [all, over2, under2, whole, over, under, bare, unit] = found;
    let value = Number(whole ?? bare ?? 0);
    if (over && under) value += Number(over) / Number(under);
    if (over2 && under2) value += Number(over2) / Number(under2);
    if (!Number.isFinite(value)) return null;
    const left = rest.slice(all.length);
    if (!unit && left !== '') return null;
    sum += value * (unit ? UNITS[unit]! : system === 'us' ? IN : 10);
    rest = left;
  }
  return sum;
}
// As it goes to the service.
export const sendLength = (mm: number): string => `${String(Math.round(mm * 1000) / 1000)} mm`;
