import { describe, expect, it } from 'vitest';
import { Clockface, dayOf, deviceWall, parseWall, stretch, toIso } from '../../src/time';

const MINUTE = 60_000;

describe('wall-clock time', () => {
  it('is read and written without a zone', () => {
    const wall = parseWall('2026-03-04T17:30:00');
    expect(wall).toBe(Date.UTC(2026, 2, 4, 17, 30));
    expect(toIso(wall!)).toBe('2026-03-04T17:30:00');
    expect(toIso(parseWall('2026-03-04')!)).toBe('2026-03-04T00:00:00');
    expect(parseWall('soon')).toBeNull();
    expect(parseWall('')).toBeNull();
  });
  it('counts every hour of the night the clocks change', () => {
    // 29 March 2026, 02:00 does not exist in much of Europe; the shop's plan counts it all the same.
    expect(parseWall('2026-03-29T06:00')! - parseWall('2026-03-28T22:00')!).toBe(8 * 60 * MINUTE);
  });
  it('shows what the wall of this device shows', () => {
    const now = new Date(2026, 2, 4, 9, 30);
    expect(toIso(deviceWall(now))).toBe('2026-03-04T09:30:00');
  });
  it('leaves out the day when it is today', () => {
    const clock = new Clockface('en-GB');
    const now = parseWall('2026-03-04T09:30')!;
    expect(clock.moment(parseWall('2026-03-04T17:05')!, now)).toBe('17:05');
    expect(clock.moment(parseWall('2026-03-05T07:05')!, now)).toMatch(/Thu.*5 Mar.*07:05|Thu.*5 Mar.*7:05/);
    expect(clock.moment(parseWall('2027-03-05T07:05')!, now)).toContain('2027');
    expect(clock.momentOf('never', now)).toBe('?');
    expect(dayOf(now)).toBe(dayOf(parseWall('2026-03-04T23:59')!));
  });
});

describe('stretches', () => {
  it('round up, so that nothing is ready early', () => {
    expect(stretch(1)).toEqual({ days: 0, hours: 0, minutes: 1 });
    expect(stretch(60 * MINUTE + 1)).toEqual({ days: 0, hours: 1, minutes: 1 });
    expect(stretch(24 * 60 * MINUTE + 1)).toEqual({ days: 1, hours: 1, minutes: 0 });
    expect(stretch(47 * 60 * MINUTE + 30 * MINUTE)).toEqual({ days: 2, hours: 0, minutes: 0 });
    expect(stretch(-5)).toEqual({ days: 0, hours: 0, minutes: 0 });
  });
});
