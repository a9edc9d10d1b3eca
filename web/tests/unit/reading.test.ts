// A reading at the bench beside the air the plan reckons with.
import { describe, expect, it } from 'vitest';
import type { ShopData } from '../../src/intake/job';
import { readPlan, type Plan } from '../../src/plan';
import { assumedIn, differs, heldAt, newest, readable, type Reading } from '../../src/reading/reading';
import { parseWall } from '../../src/time';
import fixture from '../fixture/plan.json';

const at = (text: string) => parseWall(text)!;
const reading = (temp_c: number, rh: number): Reading => ({ room: 'bench', at: '2027-01-01T10:00', temp_c, rh });
const coat = (start: string, ready: string, temp_c: number, room = 'bench') => ({ step: 'clear', wet_um: 100, room, start, end: start, ready_p50: ready, ready_p90: ready, air: { temp_c, rh: 0.5 } });
const plan = { ...readPlan(fixture)!, pieces: [{ schedule: [coat('2027-01-01T08:00', '2027-01-01T12:00', 20), coat('2027-01-02T08:00', '2027-01-02T12:00', 17), coat('2027-01-01T10:00', '2027-01-01T11:00', 5, 'garage')] }] } as unknown as Plan;

describe('a reading', () => {
  it('is held against the coat that dries there now, else the nearest', () => {
    expect(assumedIn(plan, 'bench', at('2027-01-01T10:00'))!.temp_c).toBe(20);
    expect(assumedIn(plan, 'bench', at('2027-01-02T07:00'))!.temp_c).toBe(17);
    expect(assumedIn(plan, 'bench', at('2027-03-02T07:00'))!.temp_c).toBe(17);
    expect(assumedIn(plan, 'garage', at('2027-01-02T07:00'))!.temp_c).toBe(5);
    expect(assumedIn(plan, 'loft', at('2027-01-02T07:00'))).toBeNull();
  });
  it('matters only beyond what plain instruments are out by', () => {
    const assumed = { ...assumedIn(plan, 'bench', at('2027-01-01T10:00'))!, temp_c: 20, rh: 0.5 };
    expect(differs(reading(22, 0.58), assumed)).toEqual([]);
    expect(differs(reading(22.1, 0.5), assumed)).toEqual(['warmer']);
    expect(differs(reading(17, 0.6), assumed)).toEqual(['colder', 'damper']);
    expect(differs(reading(20, 0.41), assumed)).toEqual(['drier']);
  });
  it('becomes what the room is held at, and nothing else of the shop', () => {
    const shop = { hourly_rate: '1', person: [], room: [{ id: 'bench', volume_m3: 40, set_point: { temperature: '20 C', humidity: '50%', air_speed: '0.1 m/s' } }, { id: 'garage', volume_m3: 70, follows_outdoors: {} }] } as ShopData;
    const next = heldAt(shop, reading(16.5, 0.625))!;
    expect(next.room[0]!.set_point).toEqual({ temperature: '16.5 C', humidity: '62.5%', air_speed: '0.1 m/s' });
    expect(next.room[1]).toBe(shop.room[1]);
    expect(shop.room[0]!.set_point!.temperature).toBe('20 C');
    expect(heldAt(shop, { ...reading(16, 0.5), room: 'garage' })).toBeNull();
  });
  it('is one that can be', () => {
    for (const [t, h] of [[NaN, 0.5], [20, NaN], [20, 0], [20, 1.2], [80, 0.5], [-40, 0.5]] as const) expect(readable(t, h)).toBe(false);
    expect(readable(20, 1)).toBe(true);
  });
  it('is the newest of its room, sent or not', () => {
    const stored = [reading(18, 0.4), { ...reading(12, 0.7), room: 'loft' }];
    expect(newest(stored, [])).toEqual(stored);
    const waiting = (at: string, temp_c: number, state = 'kept') => ({ state, change: { reading: 'bench', at, temp_c, rh: 0.5 } });
    expect(newest(stored, [waiting('2027-01-01T11:00', 21)])[0]).toEqual({ room: 'bench', at: '2027-01-01T11:00', temp_c: 21, rh: 0.5 });
    expect(newest(stored, [waiting('2027-01-01T09:00', 21)])[0]!.temp_c).toBe(18); // an older one, sent late
    expect(newest(stored, [waiting('2027-01-01T11:00', 21, 'refused')])[0]!.temp_c).toBe(18);
    expect(newest(stored, [{ state: 'kept', change: { put: 'shop', body: {} } }])).toEqual(stored);
    expect(newest([{ ...reading(18, 40) }], [])).toEqual([]);
  });
});
