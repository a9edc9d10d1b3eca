// How things are shown: the reader's measures, clock and locale, handed to every part of the page.
import { Measure, money, type System } from './measure';
import { Clockface, parseWall, stretch, type Wall } from './time';
import { say, sayStretch } from './words';

export class View {
  readonly clock: Clockface;
  readonly measure: Measure;

  constructor(
    readonly system: System,
    readonly locale: string,
    readonly now: Wall,
    readonly currency: string,
  ) {
    this.clock = new Clockface(locale);
    this.measure = new Measure(system, locale);
  }

  money(amount: string): string {
    return money(amount, this.currency, this.locale);
  }
  when(text: string): string {
    return this.clock.momentOf(text, this.now);
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
