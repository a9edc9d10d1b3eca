// Which hour lies where: for pinning a step by hand. Pure.
import type { Step } from '../plan';
import { dayOf, type Wall } from '../time';
import { DAY_MS, minuteOf, type Rule } from './rule';

const MINUTE = 60_000;
export const QUARTER = 15 * MINUTE;

export const snapped = (wall: Wall): Wall => Math.round(wall / QUARTER) * QUARTER;
// The next quarter in one direction: from 17:40 on to 17:45 or back to 17:30.
export const quarterFrom = (wall: Wall, way: 1 | -1): Wall =>
  way > 0 ? Math.floor(wall / QUARTER) * QUARTER + QUARTER : Math.ceil(wall / QUARTER) * QUARTER - QUARTER;

// The hour at a share of the line of a day.
export const wallAt = (day: Wall, share: number, rule: Rule): Wall => day + rule.minuteAt(share) * MINUTE;
// And where on its line an hour lies.
export const shareOf = (wall: Wall, rule: Rule): number => rule.at(minuteOf(wall));

// A step held at `grabbed` and carried to `under` begins as much later or earlier, on a quarter of an hour.
export const carried = (start: Wall, grabbed: Wall, under: Wall): Wall => snapped(start + (under - grabbed));

// For fields of date and time; and back, null while one of them is empty.
export const dateText = (wall: Wall): string => new Date(dayOf(wall) * DAY_MS).toISOString().slice(0, 10);
export const timeText = (wall: Wall): string => new Date(wall).toISOString().slice(11, 16);
export function wallOf(date: string, time: string): Wall | null {
  const wall = Date.parse(`${date}T${time}:00Z`);
  return /^\d{4}-\d\d-\d\d$/.test(date) && Number.isFinite(wall) ? wall : null;
}

// What is done stays where it was; waiting needs no hands.
export const mayBePinned = (step: Step): boolean => !step.done && step.minutes > 0;
