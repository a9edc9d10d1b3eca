// Temperatures and humidities of the job as they stand in a field: the number alone, in the unit the shop uses.
export type Degree = 'C' | 'F';
export const degreeOf = (units: string | undefined): Degree => (units === 'us' ? 'F' : 'C');

// "18 C" is shown as 18, in °F as 64.4; what cannot be read stays as it is.
export function shownDegrees(text: string, degree: Degree): string {
  const read = /^\s*(-?[\d.]+)\s*°?\s*([CF])\s*$/i.exec(text);
  if (!read) return text;
  const value = Number(read[1]);
  const from = read[2]!.toUpperCase();
  if (from === degree) return String(value);
  return String(Math.round((degree === 'F' ? value * 1.8 + 32 : (value - 32) / 1.8) * 10) / 10);
}
export const keptDegrees = (typed: string, degree: Degree): string => `${typed.trim().replace(',', '.')} ${degree}`;
export const shownPercent = (text: string): string => text.replace(/\s*%\s*$/, '');
export const keptPercent = (typed: string): string => `${typed.trim().replace(',', '.')}%`;
