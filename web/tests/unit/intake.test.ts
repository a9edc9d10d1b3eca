import { describe, expect, it } from 'vitest';
import { arrange } from '../../src/intake/arrange';
import { answered, differences, idFor, type Part } from '../../src/intake/job';
import { parseMm, shown, typed, unitOf } from '../../src/intake/length';

describe('lengths as they are typed', () => {
  it('reads metric and inches, with fractions', () => {
    expect(parseMm('42 cm')).toBe(420);
    expect(parseMm('4,5 cm')).toBe(45);
    expect(parseMm('23 5/8 in')).toBeCloseTo(23.625 * 25.4, 9);
    expect(parseMm('2 ft 3 in')).toBeCloseTo(27 * 25.4, 9);
    expect(parseMm('2\' 3"')).toBeCloseTo(27 * 25.4, 9);
    for (const bad of ['', '42', 'wide', '5/0 in', '3 furlongs']) expect(parseMm(bad)).toBeNull();
  });
  it('shows what is stored in the measures chosen and stores what is typed', () => {
    expect(shown('20 mm', 'mm')).toBe('20');
    expect(shown('42 cm', 'cm')).toBe('42');
    expect(shown('23 5/8 in', 'in')).toBe('23 5/8');
    expect(shown('1/2 in', 'in')).toBe('1/2');
    expect(shown('36 in', 'cm')).toBe('91.44');
    expect(typed('43', 'cm')).toBe('43 cm');
    expect(typed(' 43,5 ', 'cm')).toBe('43.5 cm');
    expect(typed('16 1/2', 'in')).toBe('16 1/2 in');
    expect(typed('16"', 'cm')).toBe('16 in');
    expect(typed('wide', 'cm')).toBe('wide');
  });
  it('survives the way there and back', () => {
    for (const text of ['42 cm', '20 mm', '23 5/8 in', '7.25 cm'])
      for (const unit of ['mm', 'cm', 'in'] as const) {
        const back = parseMm(typed(shown(text, unit), unit))!;
        expect(Math.abs(back - parseMm(text)!)).toBeLessThan(0.02);
      }
  });
  it('asks for thin things in millimetres', () => {
    expect(unitOf('panel', 'depth', 'metric')).toBe('mm');
    expect(unitOf('box', 'depth', 'metric')).toBe('cm');
    expect(unitOf('straight_leg', 'width', 'metric')).toBe('mm');
    expect(unitOf('panel', 'width', 'us')).toBe('in');
  });
});

describe('ids', () => {
  it('are plain, new, and never end like the number of a step', () => {
    expect(idFor('Chair', [])).toBe('chair');
    expect(idFor('Chair', ['chair'])).toBe('chair-b');
    expect(idFor('Chair', ['chair', 'chair-b'])).toBe('chair-c');
    expect(idFor('Table-07', [])).toBe('table');
    expect(idFor('Тумба <b>', [])).toBe('b');
    expect(idFor('***', [])).toBe('piece');
    const taken: string[] = [];
    for (let k = 0; k < 300; k += 1) {
      const id = idFor('Chair', taken);
      expect(taken).not.toContain(id);
      expect(id).toMatch(/^[a-z0-9-]{1,40}$/);
      expect(id).not.toMatch(/-\d+$/);
      taken.push(id);
    }
  });
});

describe('answers for the whole piece', () => {
  const answers = { material: 'veneer', species: 'oak_white', existing: 'lacquer', treatment: 'paint', color: 'warm grey' };
  it('fill the wooden parts and leave hardware and cloth what they are', () => {
    const top = answered({ id: 'top', kind: 'panel', width: '60 cm', height: '40 cm' }, answers);
    expect(top).toMatchObject({ substrate: { material: 'veneer', species: 'oak_white' }, existing: 'lacquer', zone: [{ treatment: 'paint', color: 'warm grey' }], width: '60 cm' });
    expect(answered({ id: 'pull', kind: 'hardware' }, answers)).toMatchObject({ substrate: { material: 'metal' }, zone: [{ treatment: 'keep' }] });
    expect(answered({ id: 'cloth', kind: 'fabric_panel' }, answers)).toMatchObject({ substrate: { material: 'fabric' }, sand: false, zone: [{ treatment: 'fabric' }] });
    expect(answered({ id: 'a', kind: 'panel' }, { ...answers, material: 'board' }).substrate).toEqual({ material: 'board' });
  });
});

describe('the sketch', () => {
  const chair: Part[] = [
    { id: 'seat', kind: 'panel', width: '42 cm', height: '40 cm', depth: '20 mm' },
    { id: 'front-leg', kind: 'straight_leg', count: 2, height: '44 cm', width: '38 mm', depth: '38 mm' },
    { id: 'back-leg', kind: 'straight_leg', count: 2, height: '86 cm', width: '38 mm', depth: '38 mm' },
  ];
  it('sets the seat on the front legs and the tall legs at the back', () => {
    const made = arrange(chair);
    const seat = made.solids.find((s) => s.part === 'seat')!;
    expect(seat.z).toEqual([440, 460]);
    expect(made.height).toBe(860);
    const front = made.solids.filter((s) => s.part === 'front-leg');
    const back = made.solids.filter((s) => s.part === 'back-leg');
    expect(front).toHaveLength(2);
    expect(back).toHaveLength(2);
    expect(Math.max(...front.map((s) => s.y[1]))).toBeLessThan(Math.min(...back.map((s) => s.y[0])));
    expect(made.width).toBe(420);
    expect(made.depth).toBe(400);
  });
  it('stacks drawers inside the case without overlap', () => {
    const made = arrange([
      { id: 'case', kind: 'box', width: '90 cm', height: '80 cm', depth: '45 cm' },
      { id: 'drawer', kind: 'drawer', count: 3, width: '84 cm', height: '22 cm', depth: '40 cm' },
    ]);
    const drawers = made.solids.filter((s) => s.part === 'drawer').sort((a, b) => a.z[0] - b.z[0]);
    expect(drawers).toHaveLength(3);
    for (let k = 1; k < 3; k += 1) expect(drawers[k]!.z[0]).toBeGreaterThanOrEqual(drawers[k - 1]!.z[1]);
    expect(drawers[0]!.z[0]).toBeGreaterThanOrEqual(0);
    expect(drawers[2]!.z[1]).toBeLessThanOrEqual(800);
  });
  it('draws nonsense without falling over', () => {
    const made = arrange([{ id: 'x', kind: 'panel', width: 'wide' }, { id: 'y', kind: 'turned_leg', count: 900 }, { id: 'z', kind: 'box' }]);
    for (const s of made.solids) for (const side of [s.x, s.y, s.z]) expect(side.every(Number.isFinite)).toBe(true);
    expect(arrange([]).width).toBeGreaterThan(0);
  });
});

describe('what differs', () => {
  it('names the place and both sides', () => {
    const a = { name: 'Chair', part: [{ id: 'seat', width: '42 cm' }] };
    const b = { name: 'Chair', part: [{ id: 'seat', width: '43 cm' }] };
    expect(differences(a, b)).toEqual(['part seat width: 42 cm / 43 cm']);
    expect(differences(a, a)).toEqual([]);
  });
});
