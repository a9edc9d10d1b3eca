// The shop's wall-clock time has no zone (RFC 5545, 3.3.5, form 1). It is held as the number of milliseconds that UTC
// would give for the same digits, so that sums never meet a change to summer time.

export type Wall = number;
export const MINUTE = 60_000;
export const DAY = 24 * 60 * MINUTE;

export function parseWall(text: string): Wall | null {
  const match = /^(\d{4})-(\d\d)-(\d\d)(?:T(\d\d):(\d\d)(?::(\d\d))?)?/.exec(text);
  if (!match) return null;
  const [, y, mo, d, h, mi, s] = match.map(Number) as [number, number, number, number, number, number, number];
  const wall = Date.UTC(y, mo - 1, d, h || 0, mi || 0, s || 0);
  return Number.isNaN(wall) ? null : wall;
}

export function toIso(wall: Wall): string {
  return new Date(wall).toISOString().slice(0, 19);
}

// What the clock on this device's wall says.
export function deviceWall(now: Date): Wall {
  return now.getTime() - now.getTimezoneOffset() * MINUTE;
}

export function dayOf(wall: Wall): number {
  return Math.floor(wall / DAY);
}

export class Clockface {
  private readonly time: Intl.DateTimeFormat;
  private readonly day: Intl.DateTimeFormat;
  private readonly shortDay: Intl.DateTimeFormat;
  private readonly dayAndYear: Intl.DateTimeFormat;

  constructor(locale: string) {
    this.time = new Intl.DateTimeFormat(locale, { timeZone: 'UTC', hour: 'numeric', minute: '2-digit' });
    this.day = new Intl.DateTimeFormat(locale, { timeZone: 'UTC', weekday: 'long', day: 'numeric', month: 'long' });
    const short = { timeZone: 'UTC', weekday: 'short', day: 'numeric', month: 'short' } as const;
    this.shortDay = new Intl.DateTimeFormat(locale, short);
    this.dayAndYear = new Intl.DateTimeFormat(locale, { ...short, year: 'numeric' });
  }

  hour(wall: Wall): string {
    return this.time.format(wall);
  }
  date(wall: Wall): string {
    return this.day.format(wall);
  }
  dayShort(wall: Wall): string {
    return this.shortDay.format(wall);
  }
  // The hour alone when it is today, with the year when it is another.
  moment(wall: Wall, now: Wall): string {
    if (dayOf(wall) === dayOf(now)) return this.hour(wall);
    const sameYear = new Date(wall).getUTCFullYear() === new Date(now).getUTCFullYear();
    return `${(sameYear ? this.shortDay : this.dayAndYear).format(wall)}, ${this.hour(wall)}`;
  }
  momentOf(text: string, now: Wall): string {
    const wall = parseWall(text);
    return wall === null ? '?' : this.moment(wall, now);
  }
}

// Days, hours and minutes of a stretch of time, the two largest that count; minutes are rounded up, so that nothing is
// called ready early.
export function stretch(ms: number): { days: number; hours: number; minutes: number } {
  const minutes = Math.max(0, Math.ceil(ms / MINUTE));
  const days = Math.floor(minutes / 1440);
  if (days > 0) {
    const hours = Math.ceil((minutes - days * 1440) / 60);
    return hours === 24 ? { days: days + 1, hours: 0, minutes: 0 } : { days, hours, minutes: 0 };
  }
  return { days, hours: Math.floor(minutes / 60), minutes: minutes % 60 };
}
