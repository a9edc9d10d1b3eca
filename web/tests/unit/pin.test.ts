// @vitest-environment jsdom
// Pinning a step by hand: hours and quarters, what is sent, and the way without dragging.
import { cleanup, fireEvent, render, screen } from '@testing-library/svelte';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { Book } from '../../src/intake/book.svelte';
import { readPlan, type Step } from '../../src/plan';
import { carried, dateText, mayBePinned, quarterFrom, shareOf, snapped, timeText, wallAt, wallOf } from '../../src/slate/hour';
import PinRow from '../../src/slate/PinRow.svelte';
import { Pinning } from '../../src/slate/pinning.svelte';
import { DAY_MS, Rule } from '../../src/slate/rule';
import { dayOf, parseWall, toIso } from '../../src/time';
import { View } from '../../src/view';
import fixture from '../fixture/plan.json';

const wall = (text: string) => parseWall(text)!;
const plan = readPlan(fixture)!;
const view = new View('metric', 'en-GB', wall('2026-03-04T09:30'), 'EUR');
const step: Step = plan.pieces.flatMap((p) => p.schedule).find((s) => !s.done && s.minutes > 0)!;

function store() {
  const kept = new Map<string, string>();
  return { getItem: (k: string) => kept.get(k) ?? null, setItem: (k: string, v: string) => void kept.set(k, v) };
}
// What is sent, and how it is answered.
function line(answer: () => Response = () => new Response('{}')) {
  const got: { path: string; body: any }[] = [];
  vi.stubGlobal(
    'fetch',
    vi.fn(async (path: string, init?: RequestInit) => {
      if (init?.method !== 'POST') return new Response('{}');
      got.push({ path, body: JSON.parse(String(init.body)) });
      return answer();
    }),
  );
  return got;
}
const book = () => new Book(store(), () => 0, () => {});

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

describe('hours on the line', () => {
  it('snap to quarters, to and fro', () => {
    expect(toIso(snapped(wall('2026-03-04T17:37')))).toBe('2026-03-04T17:30:00');
    expect(toIso(snapped(wall('2026-03-04T17:38')))).toBe('2026-03-04T17:45:00');
    expect(toIso(quarterFrom(wall('2026-03-04T17:40'), 1))).toBe('2026-03-04T17:45:00');
    expect(toIso(quarterFrom(wall('2026-03-04T17:40'), -1))).toBe('2026-03-04T17:30:00');
    expect(toIso(quarterFrom(wall('2026-03-04T17:45'), -1))).toBe('2026-03-04T17:30:00');
    expect(toIso(quarterFrom(wall('2026-03-04T23:45'), 1))).toBe('2026-03-05T00:00:00');
  });
  it('are where the rule has them', () => {
    const rule = new Rule(8 * 60, 20 * 60);
    const day = dayOf(wall('2026-03-04')) * DAY_MS;
    for (const hour of ['03:00', '08:00', '13:17', '19:59', '23:30']) {
      const at = wall(`2026-03-04T${hour}`);
      expect(wallAt(day, shareOf(at, rule), rule)).toBeCloseTo(at, -3);
    }
  });
  it('move as far as what is carried, also to another day', () => {
    const start = wall('2026-03-04T17:30');
    expect(toIso(carried(start, wall('2026-03-04T18:10'), wall('2026-03-04T19:12')))).toBe('2026-03-04T18:30:00');
    expect(toIso(carried(start, wall('2026-03-04T18:10'), wall('2026-03-06T18:10')))).toBe('2026-03-06T17:30:00');
  });
  it('go into fields and come back', () => {
    const at = wall('2026-03-04T07:05');
    expect([dateText(at), timeText(at)]).toEqual(['2026-03-04', '07:05']);
    expect(wallOf('2026-03-04', '07:05')).toBe(at);
    expect(wallOf('', '07:05')).toBeNull();
    expect(wallOf('2026-03-04', '')).toBeNull();
    expect(wallOf('2026-02-31x', '07:05')).toBeNull();
  });
  it('are for what is still to be done by hand', () => {
    expect(mayBePinned(step)).toBe(true);
    expect(mayBePinned({ ...step, done: true })).toBe(false);
    expect(mayBePinned({ ...step, minutes: 0 })).toBe(false);
  });
});

describe('a pin', () => {
  it('says what its writer saw', async () => {
    const got = line();
    const one = book();
    one.pin('P1-02', '2026-03-04T17:30:00', 'a', '2026-03-04T10:00:00');
    await vi.waitFor(() => expect(got).toHaveLength(1));
    expect(got[0]).toMatchObject({ path: '/api/pin', body: { step: 'P1-02', start: '2026-03-04T17:30:00', seen: '2026-03-04T10:00:00' } });
    expect(Object.keys(got[0]!.body).sort()).toEqual(['key', 'seen', 'start', 'step']);
    // The next one follows our own, though the plan that is shown does not know it yet.
    await vi.waitFor(() => expect(one.last?.chapter).toBe('pin/P1-02'));
    one.pin('P1-02', null, 'a', '2026-03-04T10:00:00');
    await vi.waitFor(() => expect(got).toHaveLength(2));
    expect(got[1]!.body).toMatchObject({ start: null, seen: '2026-03-04T17:30:00' });
    // A new plan says it all.
    one.planned();
    one.pin('P1-02', '2026-03-04T18:00:00', 'a', null);
    await vi.waitFor(() => expect(got).toHaveLength(3));
    expect(got[2]!.body.seen).toBeNull();
  });
  it('made without a line waits, and is sent once', async () => {
    vi.stubGlobal('fetch', vi.fn(async () => Promise.reject(new TypeError('the line is down'))));
    const one = book();
    one.pin('P1-02', '2026-03-04T17:30:00', 'a', null);
    one.pin('P1-02', '2026-03-04T18:30:00', 'a', null);
    await vi.waitFor(() => expect(one.waiting.map((w) => w.state)).toEqual(['kept', 'kept']));
    const got = line();
    await one.send();
    expect(got.map((g) => g.body.seen)).toEqual([null, '2026-03-04T17:30:00']);
    await one.send();
    expect(got).toHaveLength(2);
  });
});

describe('below a step', () => {
  const show = (pinned: Step['pinned'], one = book()) => {
    render(PinRow, { step: { ...step, pinned }, pins: new Pinning(one), view });
    return one;
  };
  it('it is pinned without dragging, by arrow keys and Enter', async () => {
    const got = line();
    show(null);
    await fireEvent.click(screen.getByRole('button', { name: `Pin to an hour: ${step.text}` }));
    const hour = screen.getByLabelText('Begins at') as HTMLInputElement;
    expect(document.activeElement).toBe(hour);
    await fireEvent.keyDown(hour, { key: 'ArrowUp' });
    const wanted = toIso(quarterFrom(wall(step.start), 1));
    expect(hour.value).toBe(wanted.slice(11, 16));
    await fireEvent.submit(hour.closest('form')!);
    await vi.waitFor(() => expect(got).toHaveLength(1));
    expect(got[0]!.body).toMatchObject({ step: step.id, start: wanted, seen: null });
    expect(screen.queryByLabelText('Begins at')).toBeNull();
    expect(document.activeElement?.textContent?.trim()).toBe('Pin');
  });
  it('Escape leaves it as it is', async () => {
    const got = line();
    show(null);
    await fireEvent.click(screen.getByRole('button', { name: /^Pin to an hour/ }));
    await fireEvent.keyDown(screen.getByLabelText('Begins at'), { key: 'Escape' });
    expect(screen.queryByLabelText('Begins at')).toBeNull();
    expect(got).toEqual([]);
  });
  it('what could not be kept says why, and from when on it could', async () => {
    const got = line();
    show({ start: '2026-03-04T17:30:00', kept: false, why: 'the <b>coat</b> is wet', next: '2026-03-05T08:15:00' });
    expect(screen.getByText(/could not be kept, because/).textContent).toContain('the <b>coat</b> is wet');
    await fireEvent.click(screen.getByRole('button', { name: /^Pin to Thu/ }));
    await vi.waitFor(() => expect(got[0]?.body).toMatchObject({ start: '2026-03-05T08:15:00', seen: '2026-03-04T17:30:00' }));
  });
  it('is let go', async () => {
    const got = line();
    show({ start: step.start, kept: true, why: '', next: null });
    expect(screen.getByText('Pinned to this hour.')).toBeTruthy();
    await fireEvent.click(screen.getByRole('button', { name: `Let it go: ${step.text}` }));
    await vi.waitFor(() => expect(got[0]?.body).toMatchObject({ start: null, seen: step.start }));
  });
  it('a refusal is said there, and goes with the next try', async () => {
    line(() => new Response(JSON.stringify({ what: 'nobody is there', remedy: 'the next hour for it is Thu' }), { status: 422 }));
    const one = book();
    const pins = new Pinning(one);
    pins.pin(step, wall('2026-03-04T03:00'));
    await vi.waitFor(() => expect(one.waiting[0]?.state).toBe('refused'));
    render(PinRow, { step, pins, view });
    expect(screen.getByRole('alert').textContent).toMatch(/Not pinned to .*3:00: nobody is there – the next hour for it is Thu/);
    line();
    pins.pin(step, wall('2026-03-04T18:00'));
    await vi.waitFor(() => expect(one.waiting).toEqual([]));
  });
});
