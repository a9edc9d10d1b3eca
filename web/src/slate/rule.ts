// The hours of a day along a line, like a folding rule: the hours in which somebody may be at the bench lie open, the
// others are folded to a quarter of their length. The fold is the same on every day, so that lines can be compared.
import { dayOf, type Wall } from '../time';

const DAY = 24 * 60;
const FOLDED = 0.25;
const MINUTE = 60_000;
export const DAY_MS = DAY * MINUTE;

export interface Stretch {
  start: Wall;
  end: Wall;
}

export class Rule {
  private readonly length: number;
  constructor(
    readonly from: number, // minutes after midnight between which the rule lies open
    readonly to: number,
  ) {
    this.length = this.run(DAY);
  }

  private run(minute: number): number {
    const open = Math.min(Math.max(minute, this.from), this.to) - this.from;
    return minute * FOLDED + open * (1 - FOLDED);
  }
  // Share of the line's length at a minute of the day.
  at(minute: number): number {
    return this.run(Math.min(DAY, Math.max(0, minute))) / this.length;
  }
  // And back: which minute lies there. For pinning a step by hand (see Slate.svelte).
  minuteAt(share: number): number {
    const wanted = Math.min(1, Math.max(0, share)) * this.length;
    const first = this.from * FOLDED;
    const second = first + (this.to - this.from);
    if (wanted <= first) return wanted / FOLDED;
    if (wanted <= second) return this.from + (wanted - first);
    return this.to + (wanted - second) / FOLDED;
  }
  // Full hours worth a label: within the open part, far enough from each other.
  ticks(): number[] {
    const step = this.to - this.from <= 15 * 60 ? 180 : 360;
    const all: number[] = [];
    for (let m = Math.ceil(this.from / step) * step; m <= this.to; m += step) if (m > 0 && m < DAY) all.push(m);
    return all;
  }
}

export const minuteOf = (wall: Wall): number => (wall - dayOf(wall) * DAY_MS) / MINUTE;

// Open between the earliest beginning and the latest end of all stretches; a stretch past midnight opens it whole.
export function ruleOf(stretches: Stretch[]): Rule {
  let from = DAY;
  let to = 0;
  for (const { start, end } of stretches) {
    if (end <= start) continue;
    const over = dayOf(end - 1) !== dayOf(start);
    from = Math.min(from, over ? 0 : minuteOf(start));
    to = Math.max(to, over ? DAY : minuteOf(end - 1) + 1 / MINUTE);
  }
  return from < to ? new Rule(from, to) : new Rule(0, DAY);
}
