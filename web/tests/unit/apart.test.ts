// What waits on this device laid over what the service told, names of bags and cables, and addresses of labels.
import { describe, expect, it } from 'vitest';
import { isAbout, nextBag, nextCable, placeOf, readApart, rowId, wayBack, withWaiting, type ApartPiece, type TakenOff } from '../../src/apart/apart';
import type { Waiting } from '../../src/intake/book.svelte';

const row = (id: string, more: Partial<TakenOff> = {}): TakenOff => ({
  id, name: id, part: '', held_by: [], bag: '', cable: [], photo: '', under: [], through: [], fits: '', clearance_mm: null, ticked: [], ...more,
});
const piece = (rows: TakenOff[]): ApartPiece => ({
  id: 'radio', name: 'Radio', letter: 'A', next_bag: '', next_cable: '', wires: false, taken_off: rows, changes: [],
  back: [...rows].reverse().map((r) => ({ id: r.id, on: false, may: true, findings: [] })),
});
const waits = (change: Record<string, unknown>, state: Waiting['state'] = 'kept'): Waiting => ({
  key: Math.random().toString(), state, why: '', chapter: '', label: '', change: { piece: 'radio', ...change },
});

describe('a piece taken apart', () => {
  it('shows what waits to be sent, and not what was refused', () => {
    const one = piece([row('plate', { bag: 'A1' })]);
    const rows = withWaiting(one, [
      waits({ taken_off: 'knob', set: { name: 'Knob', bag: 'A2' } }),
      waits({ taken_off: 'knob', tick: 'bag' }),
      waits({ taken_off: 'plate', tick: 'on' }),
      waits({ taken_off: 'ghost', set: { name: 'Ghost' } }, 'refused'),
      waits({ piece: 'chair', taken_off: 'leg', set: { name: 'Leg' } }),
    ]);
    expect(rows.map((r) => [r.id, r.bag, r.ticked, r.waits])).toEqual([
      ['plate', 'A1', ['on'], false],
      ['knob', 'A2', ['bag'], true],
    ]);
    expect(one.taken_off[0]!.ticked).toEqual([]);
    expect(wayBack(one, rows).map((b) => [b.row.id, b.back?.may ?? null])).toEqual([['knob', null], ['plate', true]]);
  });
  it('lets a key be taken out and a row be removed', () => {
    const one = piece([row('plate', { bag: 'A1', held_by: [{ what: 'screw', count: 2, size: '' }] }), row('knob')]);
    const rows = withWaiting(one, [waits({ taken_off: 'plate', set: { bag: null, held_by: null } }), waits({ taken_off: 'knob', remove: true })]);
    expect(rows).toHaveLength(1);
    expect(rows[0]).toMatchObject({ bag: '', held_by: [] });
    expect(wayBack(one, rows)).toHaveLength(1);
  });
  it('counts bags and cables on, also those that wait', () => {
    const one = piece([]);
    expect([nextBag(one, []), nextCable(one, [])]).toEqual(['A1', 'Ak1']);
    const rows = [row('x', { bag: 'A9', cable: [{ name: 'Ak2', from: '', to: '' }] }), row('y', { bag: 'B40' })];
    expect([nextBag(one, rows), nextCable(one, rows, [{ name: 'Ak5', from: '', to: '' }])]).toEqual(['A10', 'Ak6']);
  });
  it('gives every row an id of its own', () => {
    expect(rowId('Back plate', [])).toBe('back-plate');
    expect(rowId('Back plate', ['back-plate', 'back-plate-b'])).toBe('back-plate-c');
    expect(rowId('Écrou №', [])).toMatch(/^[a-z0-9-]+$/);
    expect(rowId('***', [])).toBe('part');
  });
  it('opens at what a label says', () => {
    expect(placeOf('#apart=radio/A3')).toEqual({ piece: 'radio', name: 'A3' });
    expect(placeOf('#apart=radio%2Done')).toEqual({ piece: 'radio-one', name: '' });
    expect(placeOf('#apart=%E0%A4%A/A3')).toEqual({ piece: '', name: 'A3' });
    expect(placeOf('#piece=radio')).toBeNull();
    expect(isAbout(row('x', { bag: 'A3' }), 'A3')).toBe(true);
    expect(isAbout(row('x', { cable: [{ name: 'Ak3', from: '', to: '' }] }), 'Ak3')).toBe(true);
    expect(isAbout(row('x'), '')).toBe(false);
  });
  it('is not taken when it is something else', () => {
    expect(readApart({ pieces: [] })).toBeNull();
    expect(readApart({ mains: {}, pieces: [{ id: 'a' }] })).toBeNull();
  });
});
