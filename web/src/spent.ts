// Hours of a piece as planned and as they went. Nobody having told a time is not the same as no time.
import type { Step } from './plan';

export interface Spent {
  timed: number; // steps done whose time was told
  untimed: number; // steps done whose time was not
  took_h: number; // of the timed
  planned_h: number; // what the plan had for the timed
  untimedPlanned_h: number; // what the plan had for the untimed
}

// With two people at a step its hours count twice.
export function spentOn(schedule: Step[]): Spent {
  const spent = { timed: 0, untimed: 0, took_h: 0, planned_h: 0, untimedPlanned_h: 0 };
  for (const step of schedule) {
    if (!step.done) continue;
    const people = Math.max(1, step.people) / 60;
    if (step.took_minutes === null) {
      spent.untimed += 1;
      spent.untimedPlanned_h += step.minutes * people;
    } else {
      spent.timed += 1;
      spent.took_h += step.took_minutes * people;
      spent.planned_h += step.minutes * people;
    }
  }
  return spent;
}
