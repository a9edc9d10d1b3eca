import { describe, expect, it } from 'vitest';
import type { Step } from '../../src/plan';
import { spentOn } from '../../src/spent';
import { minutesOf } from '../../src/took';

describe('hands-on time as it is typed', () => {
  it.each([
    ['45', 45],
    ['45 min', 45],
    ['1:30', 90],
    ['1.5 h', 90],
    ['1,5 h', 90],
    ['1 h 20', 80],
    ['2h 5min', 125],
    ['1 Std 15 min', 75],
    [' 7 ', 7],
  ])('%s', (typed, minutes) => expect(minutesOf(typed)).toBe(minutes));
  it.each(['', '0', '-5', 'half an hour', '1:75', '45.5', '99999', '1h2h', 'NaN'])('refuses %s', (typed) =>
    expect(minutesOf(typed)).toBeNull(),
  );
});

describe('planned against told', () => {
  const step = (minutes: number, people: number, done: boolean, took: number | null) =>
    ({ minutes, people, done, took_minutes: took }) as Step;
  it('keeps what nobody told apart from what took no time', () => {
    const spent = spentOn([step(60, 1, true, 90), step(30, 2, true, 30), step(45, 1, true, null), step(500, 1, false, null)]);
    expect(spent).toEqual({ timed: 2, untimed: 1, took_h: 2.5, planned_h: 2, untimedPlanned_h: 0.75 });
  });
});
