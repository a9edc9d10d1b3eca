// Another product for a coat, and mends for a build-up, as changed zones.
import { describe, expect, it } from 'vitest';
import type { Choices, Piece as JobPiece } from '../../src/intake/job';
import { alternatives, brokenBuildUps, buildUp, swapped } from '../../src/mend/swap';
import { readTrial } from '../../src/mend/trial';
import type { Finding, Piece, Step } from '../../src/plan';

const step = (kind: string, product: string, zones = 'top/all, leg/all'): Step => ({ step: kind, product, zones }) as Step;
const schedule = [step('sand', ''), step('seal', 'shellac'), step('clear', 'varnish'), step('scuff', ''), step('clear', 'varnish'), step('paint', 'paint', 'rail/all')];
const job: JobPiece = {
  id: 'chair',
  part: [
    { id: 'top', kind: 'panel', zone: [{ id: 'all', face: 'all', treatment: 'clear' }] },
    { id: 'leg', kind: 'rail', zone: [{ id: 'all', face: 'all', treatment: 'clear', product: 'oldone' }] },
    { id: 'rail', kind: 'rail', zone: [{ id: 'all', face: 'all', treatment: 'paint', wanted: ['primer', 'paint'] }] },
  ],
};
const zone = (piece: JobPiece, part: string) => piece.part.find((p) => p.id === part)!.zone![0]!;

describe('another product', () => {
  it('for the finish coat is the zone’s own word, in every zone it is laid on', () => {
    const next = swapped(job, schedule, schedule[2]!, 'lacquer');
    expect(zone(next, 'top').product).toBe('lacquer');
    expect(zone(next, 'leg').product).toBe('lacquer');
    expect(zone(next, 'rail')).toEqual(zone(job, 'rail'));
    expect(zone(job, 'top').product).toBeUndefined();
  });
  it('for a coat below is told by the whole build-up', () => {
    const next = swapped(job, schedule, schedule[1]!, 'sealer');
    expect(zone(next, 'top').wanted).toEqual(['sealer', 'varnish', 'varnish']);
    expect(zone(next, 'leg')).not.toHaveProperty('product');
  });
  it('in a wanted build-up takes the place of the old one', () => {
    expect(zone(swapped(job, schedule, schedule[5]!, 'enamel'), 'rail').wanted).toEqual(['primer', 'enamel']);
  });
  it('is one that does the same', () => {
    const choices = { products: [['a', 'clear'], ['b', 'clear'], ['c', 'paint'], ['d', 'supply'], ['e', 'supply']].map(([id, role]) => ({ id, role, name: id, unit: '' })) } as unknown as Choices;
    expect(alternatives('a', choices).map((p) => p.id)).toEqual(['b']);
    expect(alternatives('d', choices)).toEqual([]);
    expect(alternatives('unknown', choices)).toEqual([]);
  });
  it('counts the coats of a zone', () => {
    expect(buildUp(schedule, 'top/all')).toEqual(['shellac', 'varnish', 'varnish']);
    expect(buildUp(schedule, 'rail/all')).toEqual(['paint']);
  });
});

describe('mends', () => {
  const finding = (severity: string, place: string, piece = 'chair') => ({ piece, zone: place, severity, reason: 'r', mend: 'm', rule: 'x', source: '' }) as Finding;
  const planned = { id: 'chair', schedule } as unknown as Piece;
  it('are there for a wanted build-up that breaks a must-not, and for nothing else', () => {
    expect(brokenBuildUps(job, planned, [finding('caution', 'rail/all'), finding('must-not', 'top/all'), finding('must-not', 'rail/all', 'table')])).toEqual([]);
    const [one] = brokenBuildUps(job, planned, [finding('must-not', 'rail/all')]);
    expect(one!.zones).toEqual(['rail/all']);
    expect(one!.mends.map((m) => m.kind)).toEqual(['planned', 'last', 'free']);
    expect(zone(one!.mends[0]!.body, 'rail').wanted).toEqual(['paint']);
    expect(zone(one!.mends[1]!.body, 'rail')).toMatchObject({ product: 'paint' });
    expect(zone(one!.mends[1]!.body, 'rail')).not.toHaveProperty('wanted');
    expect(zone(one!.mends[2]!.body, 'rail')).toEqual({ id: 'all', face: 'all', treatment: 'paint' });
    for (const mend of one!.mends) expect(zone(mend.body, 'top')).toEqual(zone(job, 'top'));
  });
});

it('a trial that is no trial is not read', () => {
  expect(readTrial({})).toBeNull();
  expect(readTrial({ pieces: [], cost: {}, findings: { new: [] } })).toBeNull();
});
