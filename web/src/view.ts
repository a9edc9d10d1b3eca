// How things are shown: the reader's measures, clock and locale, handed to every part of the page.
import { Measure, money, type System } from './measure';
import { Clockface, DAY, dayOf, parseWall, stretch, type Wall } from './time';
import { say, sayStretch } from './words';

// The hour that is shown, and the day it lies in; on the page both move by themselves, so that only what says them is
// drawn anew.
export interface Hour {
  readonly minute: Wall;
  readonly today: Wall; // the day's first moment
}

export class View {
  readonly clock: Clockface;
  readonly measure: Measure;
  private readonly hour: Hour;

  constructor(
    readonly system: System,
    readonly locale: string,
    hour: Hour | Wall,
    readonly currency: string,
  ) {
    this.hour = typeof hour === 'number' ? { minute: hour, today: dayOf(hour) * DAY } : hour;
    this.clock = new Clockface(locale);
    this.measure = new Measure(system, locale);
  }

  get now(): Wall {
    return this.hour.minute;
  }
  get today(): Wall {
    return this.hour.today;
  }
  money(amount: string): string {
    return money(amount, this.currency, this.locale);
  }
  when(text: string): string {
    return this.clock.momentOf(text, this.today);
  }
  // A day without its hour.
  day(text: string): string {
    const wall = parseWall(text);
    return wall === null ? text : this.clock.date(wall);
  }
  // "in 2 h 10 min", "3 d 4 h ago".
  away(text: string): string {
    const wall = parseWall(text);
    if (wall === null) return '';
    if (Math.abs(wall - this.now) < 60_000) return say('time.now');
    return wall > this.now
      ? say('time.in', { stretch: sayStretch(stretch(wall - this.now)) })
      : say('time.ago', { stretch: sayStretch(stretch(this.now - wall)) });
  }
  whenAndAway(text: string): string {
    const away = this.away(text);
    return away === '' ? this.when(text) : `${this.when(text)} (${away})`;
  }
}
