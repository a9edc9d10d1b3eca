// @vitest-environment jsdom
import { cleanup, fireEvent, render, screen } from '@testing-library/svelte';
import { afterEach, describe, expect, it } from 'vitest';
import { readPlan, type Plan } from '../../src/plan';
import { mark } from '../../src/slate/marks';
import { DAY_MS, Rule, ruleOf } from '../../src/slate/rule';
import { Slate } from '../../src/slate/slate';
import SlateView from '../../src/slate/Slate.svelte';
import { wedgeOn } from '../../src/slate/wedge';
import { dayOf, parseWall, toIso } from '../../src/time';
import { View } from '../../src/view';
import fixture from '../fixture/plan.json';

const at = (text: string) => parseWall(text)!;
const plan = readPlan({
  ...fixture,
  people: [
    { id: 'owner', name: 'Mara', hours: ['03', '04', '05', '06'].map((d) => ({ start: `2026-03-${d}T07:30:00`, end: `2026-03-${d}T18:00:00` })) },
    { id: 'ivo', name: 'Ivo', hours: [{ start: '2026-03-05T09:00:00', end: '2026-03-05T12:00:00' }] },
  ],
  rooms: [
    { id: 'bench', resting_places: 2 },
    { id: 'garage', resting_places: 1 },
  ],
})!;
const day = dayOf(at('2026-03-04'));

describe('the folding rule', () => {
  const rule = new Rule(8 * 60, 20 * 60);
  it('runs from midnight to midnight, open hours four times as wide as folded ones', () => {
    expect(rule.at(0)).toBe(0);
    expect(rule.at(1440)).toBe(1);
    const hour = (h: number) => rule.at((h + 1) * 60) - rule.at(h * 60);
    expect(hour(12) / hour(2)).toBeCloseTo(4, 9);
    expect(hour(12) / hour(22)).toBeCloseTo(4, 9);
  });
  it('finds the minute under a place again', () => {
    for (let m = 0; m <= 1440; m += 7) expect(rule.minuteAt(rule.at(m))).toBeCloseTo(m, 6);
  });
  it('opens between the earliest and the latest hour, and whole for what runs past midnight', () => {
    const one = ruleOf([{ start: at('2026-03-04T17:30'), end: at('2026-03-04T21:00') }, { start: at('2026-03-07T08:00'), end: at('2026-03-07T12:00') }]);
    expect([one.from, one.to]).toEqual([480, 1260]);
    expect(ruleOf([{ start: at('2026-03-04T22:00'), end: at('2026-03-05T01:00') }])).toMatchObject({ from: 0, to: 1440 });
    expect(ruleOf([{ start: at('2026-03-04T22:00'), end: at('2026-03-05T00:00') }])).toMatchObject({ from: 1320, to: 1440 });
    expect(ruleOf([])).toMatchObject({ from: 0, to: 1440 });
  });
});

describe('assembly marks', () => {
  it('only add strokes', () => expect([1, 3, 4, 5, 9, 14, 40].map(mark)).toEqual(['I', 'III', 'IIII', 'V', 'VIIII', 'XIIII', 'XXXX']));
});

describe('the days', () => {
  const slate = new Slate(plan);
  it('show every step of the plan on its day, once by piece and once for everyone who does it', () => {
    const steps = plan.pieces.flatMap((p) => p.schedule);
    const count = slate.last - slate.first + 1;
    const of = (look: 'piece' | 'person') =>
      slate.days(look, '', slate.first, count).flatMap((d) => d.bands.flatMap((b) => b.hands.map((h) => `${dayOf(at(h.step.start)) * DAY_MS === d.start} ${h.step.id}`)));
    expect(of('piece').sort()).toEqual(steps.map((s) => `true ${s.id}`).sort());
    expect(of('person')).toHaveLength(steps.flatMap((s) => s.who).length);
  });
  it('hang what dries below the day it began and every day until it is ready', () => {
    const long: Plan = structuredClone(plan);
    const coat = long.pieces[0]!.schedule[3]!;
    coat.ready_p50 = '2026-03-05T20:00:00';
    coat.ready_p90 = '2026-03-06T06:00:00';
    const days = new Slate(long).days('place', '', day, 4);
    const seen = days.map((d) => d.bands.filter((b) => b.drying.some((x) => x.step.id === coat.id)).map((b) => b.id));
    expect(seen).toEqual([['bench'], ['bench'], ['bench'], []]);
    const drying = days.map((d) => d.bands[0]?.drying.find((x) => x.step.id === coat.id));
    expect(new Set(drying.slice(0, 3).map((d) => d!.slot)).size).toBe(1);
  });
  it('never put two things on one place at once', () => {
    for (const look of ['piece', 'place'] as const) {
      for (const d of slate.days(look, '', slate.first, 5))
        for (const b of d.bands)
          for (const x of b.drying)
            for (const y of b.drying)
              if (x !== y && x.slot < y.slot + y.layers && y.slot < x.slot + x.layers) expect(x.on >= y.ready || y.on >= x.ready).toBe(true);
    }
  });
  it('mark a must-not on every step but looking and testing', () => {
    const band = slate.days('piece', 'P5', day, 1)[0]!.bands[0]!;
    expect(band.stop?.reason).toMatch(/veneer/);
    expect(band.hands.every((h) => h.stop !== null)).toBe(true);
    expect(slate.days('piece', 'P3', day, 1)[0]!.bands[0]!.stop).toBeNull();
  });
  it('say who is there, and whose promise it is', () => {
    const [, thursday, friday] = slate.days('person', '', day, 3);
    expect(thursday!.there.map((t) => t.name)).toEqual(['Mara', 'Ivo']);
    expect(thursday!.promised.map((p) => p.id)).toEqual(['P2']);
    expect(friday!.bands.map((b) => b.id)).toEqual(['Mara']);
  });
  it('begin today, or with the nearest day of the plan', () => {
    expect(slate.nearest(at('2026-03-05T10:00'))).toBe(day + 1);
    expect(slate.nearest(at('2025-12-01'))).toBe(slate.first);
    expect(slate.nearest(at('2030-12-01'))).toBe(slate.last);
  });
  it('take a plan without hours, rooms or steps', () => {
    const bare = new Slate(readPlan({ pieces: [{ id: 'a' }] })!);
    for (const look of ['piece', 'person', 'place'] as const) expect(bare.days(look, '', bare.first, 7)).toHaveLength(7);
  });
});

describe('a wedge', () => {
  const slate = new Slate(plan);
  const drying = slate.drying.find((d) => d.step.id === 'P1-04')!;
  it('goes on where the night cut it, getting drier', () => {
    const long = { ...drying, half: at('2026-03-05T10:00'), ready: at('2026-03-05T15:00') };
    const first = wedgeOn(long, day * DAY_MS, slate.rule);
    const second = wedgeOn(long, (day + 1) * DAY_MS, slate.rule);
    expect(first.to).toBe(1);
    expect(second.from).toBe(0);
    expect(second.dryFrom).toBeCloseTo(first.dryTo, 12);
    expect([first.dryFrom, second.dryTo]).toEqual([0, 1]);
    expect([first.ends, second.ends]).toEqual([false, true]);
    expect(first.likely).toBeNull();
    expect(second.likely!.to).toBe(second.to);
  });
});

describe('the days on the page', () => {
  afterEach(cleanup);
  const show = (now = '2026-03-04T09:30') => render(SlateView, { plan, view: new View('metric', 'en-GB', at(now), 'EUR') });
  it('begin with today and say in words what the line shows', () => {
    const { container } = show();
    const first = container.querySelector('.day')!;
    expect(first.textContent).toMatch(/Today\s*Wednesday 4 March/);
    expect(first.textContent).toMatch(/Dries from 13:20: ready 18:00 half of the time, 21:00 nine times in ten/);
    expect(first.textContent).toMatch(/Must not.*veneer/s);
    expect(container.querySelectorAll('.day')).toHaveLength(7);
  });
  it('can be seen by person and by resting place, and steps by the week', async () => {
    const { container } = show();
    await fireEvent.click(screen.getByRole('radio', { name: 'Resting place' }));
    expect(container.querySelector('.day')!.textContent).toMatch(/bench\s*2 of 2 places taken at most/);
    await fireEvent.click(screen.getByRole('radio', { name: 'Person' }));
    await fireEvent.change(screen.getByRole('combobox'), { target: { value: 'Ivo' } });
    expect([...container.querySelectorAll('.band h4')].map((h) => h.textContent?.trim())).toEqual(['Ivo']);
    await fireEvent.click(screen.getByRole('button', { name: 'Earlier' }));
    expect(container.querySelector('.day')!.getAttribute('data-day')).toBe(String(dayOf(at('2026-03-03'))));
  });
  it('shows the odds with the promised day', () => {
    const sure = structuredClone(plan);
    sure.pieces[0]!.odds = 0.87;
    const { container } = render(SlateView, { plan: sure, view: new View('metric', 'en-GB', at('2026-03-04T09:30'), 'EUR') });
    const friday = container.querySelector(`[data-day="${day + 2}"]`)!;
    expect(friday.querySelector('.promise')!.textContent).toMatch(/Promised: Hall chest.*kept 87 times in 100/s);
    expect(toIso(Number(friday.getAttribute('data-day')) * DAY_MS)).toBe('2026-03-06T00:00:00');
  });
});
