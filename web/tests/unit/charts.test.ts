// @vitest-environment jsdom
import { cleanup, render, screen } from '@testing-library/svelte';
import { afterEach, describe, expect, it } from 'vitest';
import AirRoom from '../../src/charts/AirRoom.svelte';
import { bounds, courseOf, gauges, LIMIT_AT, shares } from '../../src/charts/charts';
import { Measure } from '../../src/measure';
import { readPlan } from '../../src/plan';
import { parseWall } from '../../src/time';
import { View } from '../../src/view';
import fixture from '../fixture/plan.json';

const plan = readPlan(fixture)!;
const air = { worst_component: 'white_spirit', mixture_share: 0.5, lel_share: 0.02, reentry_h: 3.21, fan_needed_m3_h: 0 };
const withAir = (said: object) => readPlan({ ...fixture, pieces: fixture.pieces.map((p) => ({ ...p, air: said })) })!;

describe('the course of the coats', () => {
  const course = courseOf(plan.pieces[0]!)!;
  it('holds every coat, from the first to the last hour', () => {
    expect(course.coats.map((c) => c.step.id)).toEqual(['P1-02', 'P1-04']);
    expect([course.from, course.to]).toEqual([parseWall('2026-03-03T14:00'), parseWall('2026-03-05T15:00')]);
    expect(course.points).toHaveLength(5);
  });
  it('puts coats that dry at the same time on lanes of their own', () => {
    const piece = structuredClone(plan.pieces[0]!);
    piece.schedule[1]!.ready_p90 = '2026-03-04T20:00:00';
    expect(courseOf(piece)!.coats.map((c) => c.lane)).toEqual([0, 1]);
    expect(course.coats.map((c) => c.lane)).toEqual([0, 0]);
  });
  it('is not there where nothing dries', () => expect(courseOf(plan.pieces.find((p) => p.id === 'P5')!)).toBeNull());
  it('has round ends to its axes', () => {
    expect(bounds([18.4, 21.1], 2)).toEqual({ low: 18, high: 22 });
    expect(bounds([20, 20], 2)).toEqual({ low: 18, high: 22 });
  });
});

describe('vapour against its limits', () => {
  it('reaches the stroke at the limit, and no further than the end', () => {
    const [breathe, flame] = gauges({ ...air, mixture_share: 1, lel_share: 0.1 });
    expect([breathe!.width, flame!.width]).toEqual([LIMIT_AT, LIMIT_AT]);
    expect([breathe!.over, flame!.over]).toEqual([true, true]);
    expect(gauges({ ...air, mixture_share: 40 })[0]!.width).toBe(1);
    expect(gauges(air).map((g) => g.over)).toEqual([false, false]);
  });
  afterEach(cleanup);
  const show = (said: object) => render(AirRoom, { plan: withAir(said), view: new View('metric', 'en-GB', parseWall('2026-03-04T09:30')!, 'EUR') });
  it('is said in words and never rounded down', () => {
    const { container } = show({ ...air, mixture_share: 0.9991 });
    expect(container.textContent).toMatch(/100 % of the limit/);
    expect(container.textContent).toMatch(/Stay out for at least 3.3 h/);
  });
  it('tells when there is no fan and no hour, and gives no all-clear where the plan is silent', () => {
    show({ ...air, mixture_share: 12, reentry_h: null, fan_needed_m3_h: null });
    expect(screen.getByText('Over the limit:')).toBeTruthy();
    expect(screen.getByText(/No fan in this room.*No hour can be named/s)).toBeTruthy();
    cleanup();
    show({ mixture_share: null, lel_share: 0 });
    expect(screen.getByText(/This plan says nothing of the vapour/)).toBeTruthy();
  });
  it('tells the fan in the reader’s measure, rounded up', () => {
    expect(new Measure('metric', 'en-GB').airFlow(249.2)).toBe('250 m³/h');
    // 1 ft³/min = 4.719474E-04 m³/s (NIST Special Publication 811, appendix B.8).
    expect(new Measure('us', 'en-GB').airFlow(4.719474e-4 * 3600 * 99.5)).toBe('100 ft³/min');
  });
});

describe('the price cut into its kinds', () => {
  it('adds up to the whole', () => {
    const parts = shares(plan.cost);
    expect(parts.reduce((sum, p) => sum + p.width, 0)).toBeCloseTo(1, 12);
    expect(parts[1]!.from).toBeCloseTo(parts[0]!.width, 12);
  });
  it('has waste fees where the plan has them', () => {
    const fees = (price: typeof plan.cost) => shares(price).find((part) => part.kind === 'fees')!.width;
    const older = { ...plan.cost };
    delete older.fees;
    expect(fees(older)).toBe(0);
    const total = ['materials', 'labour', 'overhead', 'profit', 'tax'].reduce(
      (sum, kind) => sum + Number(plan.cost[kind as 'tax']),
      0,
    );
    expect(fees({ ...plan.cost, fees: '6.50' })).toBeCloseTo(6.5 / (total + 6.5), 12);
  });
  it('is not drawn from what is no amount', () => {
    expect(shares({ ...plan.cost, tax: '' })).toEqual([]);
    expect(shares({ ...plan.cost, profit: '-3.00' })).toEqual([]);
  });
});
