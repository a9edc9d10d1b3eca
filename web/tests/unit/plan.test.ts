import { describe, expect, it } from 'vitest';
import { drawFilm, dried, WIDTH } from '../../src/film';
import { readHelps, readLog, readPlan } from '../../src/plan';
import { parseWall } from '../../src/time';
import { english, say } from '../../src/words';
import fixture from '../fixture/plan.json';

describe('reading a plan', () => {
  it('keeps what is there', () => {
    const plan = readPlan(fixture)!;
    expect(plan.pieces).toHaveLength(5);
    expect(plan.findings[0]?.severity).toBe('must-not');
    expect(plan.pieces[0]?.schedule[1]?.ready_p90).toBe('2026-03-04T12:30:00');
  });
  it('never falls over', () => {
    for (const bad of [null, 3, 'x', [], {}, { pieces: 'none' }]) expect(readPlan(bad)).toBeNull();
    const plan = readPlan({ pieces: [{ schedule: [null, { air: 4, notes: [1, 'a'], wet_um: 'x' }] }, 7], findings: [{}] })!;
    expect(plan.pieces[0]?.schedule[1]?.notes).toEqual(['a']);
    expect(plan.pieces[0]?.schedule[1]?.wet_um).toBe(0);
    expect(plan.findings[0]?.severity).toBe('caution');
    expect(readLog({ entries: [null] })[0]?.step).toBe('');
    expect(readLog(null)).toEqual([]);
  });
});

describe('the cut through a coat', () => {
  const step = readPlan(fixture)!.pieces[0]!.schedule[1]!;
  it('thins steadily and shows the hour', () => {
    let last = -1;
    for (let share = 0; share <= 1; share += 0.1) {
      expect(dried(share)).toBeGreaterThan(last);
      last = dried(share);
    }
    expect(dried(0)).toBe(0);
    expect(dried(1)).toBeCloseTo(1);
    const drawing = drawFilm(step, parseWall('2026-03-04T10:00')!)!;
    expect(drawing.now).toBeCloseTo(drawing.half);
    expect(drawing.ready).toBeLessThan(WIDTH);
    expect(drawFilm(step, parseWall('2026-03-04T07:00')!)!.now).toBeNull();
  });
  it('is left out when the hours make no sense', () => {
    expect(drawFilm({ ...step, ready_p90: step.end }, 0)).toBeNull();
    expect(drawFilm({ ...step, ready_p50: '' }, 0)).toBeNull();
  });
});

describe('words', () => {
  it('fill every place and leave unknown ones to be seen', () => {
    expect(say('head.finish', { when: 'Fri' })).toBe('Everything is finished Fri.');
    expect(say('head.finish')).toContain('{when}');
    expect(say('now.piece', { piece: '{when} $& <b>' })).toBe('on {when} $& <b>');
  });
  it('are all there', () => {
    for (const [key, text] of Object.entries(english)) expect(text.trim(), key).not.toBe('');
  });
});

describe('what the bench taught, odds and helps', () => {
  it('reads factors against the label, shop and product together', () => {
    const plan = readPlan({
      pieces: [{ id: 'a', odds: 0.87, promise_90: '2026-03-09T00:00:00' }],
      taught: {
        shop_prior_mean: 0,
        shop_posterior_mean: Math.log(1.1),
        products: [{ product: 'x', product_name: 'Varnish', entries: 2, prior_mean: 0, posterior_mean: Math.log(1.2) }],
        promises: [{ piece: 'a', finish_before: '2026-03-08T10:00:00', finish_after: '2026-03-09T10:00:00' }],
        messages: ['one was set aside'],
      },
    })!;
    expect(plan.taught.products[0]?.factorBefore).toBeCloseTo(1);
    expect(plan.taught.products[0]?.factorAfter).toBeCloseTo(1.32);
    expect(plan.taught.promises).toHaveLength(1);
    expect(plan.pieces[0]?.odds).toBe(0.87);
    expect(plan.pieces[0]?.promise_90).toBe('2026-03-09T00:00:00');
  });
  it('is empty for a plan that does not say', () => {
    const plan = readPlan(fixture)!;
    expect(plan.taught.products).toEqual([]);
    expect(plan.pieces[0]?.odds).toBeNull();
    expect(readHelps(null)).toEqual({ hurried: [], list: [] });
  });
});
