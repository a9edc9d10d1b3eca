// A reading at the bench beside the air the plan reckons with.
import { describe, expect, it } from 'vitest';
import type { ShopData } from '../../src/intake/job';
import { readPlan, type Plan } from '../../src/plan';
import { assumedIn, differs, heldAt, keepReading, keptReading, readable, type Reading } from '../../src/reading/reading';
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
  it('is kept on this device, and a damaged one is none', () => {
    const box: Record<string, string> = {};
    const keep = { getItem: (n: string) => box[n] ?? null, setItem: (n: string, v: string) => void (box[n] = v) };
    expect(keptReading(keep)).toBeNull();
    keepReading(keep, reading(18, 0.4));
    expect(keptReading(keep)).toEqual(reading(18, 0.4));
    box['tackcloth.reading'] = '{"room":1}';
    expect(keptReading(keep)).toBeNull();
  });
});
