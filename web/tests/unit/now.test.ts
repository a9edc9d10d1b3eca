import { describe, expect, it } from 'vitest';
import { isOver, whatMoved, whatNow } from '../../src/now';
import { readPlan, type LogEntry, type Plan } from '../../src/plan';
import { parseWall } from '../../src/time';
import fixture from '../fixture/plan.json';

const plan = (): Plan => readPlan(structuredClone(fixture))!;
const at = (time: string) => parseWall(`2026-03-04T${time}`)!;
const entry = (step: string, what: string, when = '2026-03-04T09:00:00'): LogEntry => ({ id: 1, key: step + what, when, step, what, note: '' });
const answerFor = (piece: string, time: string, log: LogEntry[] = [], of = plan()) =>
  whatNow(of, log, at(time)).find((n) => n.piece.id === piece)!;

describe('what to do now, and whether it may be done', () => {
  it('takes a piece for handed over only when every step of it is done', () => {
    const [piece] = plan().pieces;
    expect(isOver(piece!)).toBe(false);
    expect(isOver({ ...piece!, schedule: piece!.schedule.map((s) => ({ ...s, done: true })) })).toBe(true);
    expect(isOver({ ...piece!, schedule: piece!.schedule.map((s, i) => ({ ...s, done: i > 0 })) })).toBe(false);
    expect(isOver({ ...piece!, schedule: [] })).toBe(false);
  });
  it('waits until half of such coats are ready, then says to feel, then lets go', () => {
    expect(answerFor('P1', '09:30').answer).toBe('wait');
    expect(answerFor('P1', '09:59').answer).toBe('wait');
    expect(answerFor('P1', '10:00').answer).toBe('feel');
    expect(answerFor('P1', '12:29').answer).toBe('feel');
    expect(answerFor('P1', '12:30').answer).toBe('go');
    expect(answerFor('P1', '09:30').film?.id).toBe('P1-02');
    expect(answerFor('P1', '09:30').step.id).toBe('P1-03');
  });
  it('believes the hand that felt it dry, until it says otherwise', () => {
    expect(answerFor('P1', '10:10', [entry('P1-02', 'sands_to_powder')]).answer).toBe('later');
    expect(answerFor('P1', '12:20', [entry('P1-02', 'sands_to_powder')]).answer).toBe('go');
    expect(answerFor('P1', '10:10', [entry('P1-02', 'sands_to_powder'), entry('P1-02', 'tacky')]).answer).toBe('feel');
    expect(answerFor('P1', '10:10', [entry('P1-02', 'dry')]).answer).toBe('feel');
  });
  it('tells of the window for coating again', () => {
    expect(answerFor('P1', '12:30').windowCloses).toBe(parseWall('2026-03-06T08:30'));
  });
  it('lets a must-not stop the work', () => {
    const stopped = answerFor('P5', '09:30');
    expect(stopped.answer).toBe('stop');
    expect(stopped.cautions[0]?.rule).toBe('veneer-budget');
  });
  it('lets a piece with a must-not still be taken in', () => {
    const of = plan();
    of.pieces[4]!.schedule[0]!.step = 'take_in';
    expect(answerFor('P5', '09:30', [], of).answer).toBe('go');
    of.pieces[4]!.schedule[0]!.step = 'take_apart';
    expect(answerFor('P5', '09:30', [], of).answer).toBe('stop');
  });
  it('lets the lead test go on although the piece carries a must-not', () => {
    const of = plan();
    of.findings.push({ ...of.findings[0]!, piece: 'P2' });
    const test = answerFor('P2', '09:30', [], of);
    expect(test.step.step).toBe('lead_test');
    expect(test.answer).toBe('go');
    expect(test.cautions.map((c) => c.severity)).toEqual(['must-not', 'caution']);
    expect(answerFor('P2', '09:30', [entry('P2-01', 'lead_negative')], of).answer).toBe('stop');
  });
  it('puts cautions about the piece before those for every piece', () => {
    const of = plan();
    of.findings.unshift({ rule: 'general', severity: 'caution', reason: 'r', mend: '', source: '', piece: '', zone: '' });
    expect(answerFor('P1', '09:30', [], of).cautions.map((c) => c.rule)).toEqual(['oily-rags', 'general']);
  });
  it('goes on to the next step when one is logged done, before the plan is made anew', () => {
    expect(answerFor('P2', '09:30', [entry('P2-01', 'lead_negative')]).step.id).toBe('P2-02');
    expect(answerFor('P3', '10:30', [entry('P3-02', 'done')])).toBeUndefined();
  });
  it('keeps what is planned for another hour apart', () => {
    expect(answerFor('P4', '09:30').answer).toBe('later');
  });
  it('puts what is begun first and shows since when', () => {
    const nexts = whatNow(plan(), [entry('P3-02', 'started')], at('10:00'));
    expect(nexts[0]?.step.id).toBe('P3-02');
    expect(nexts[0]?.begun).toBe(at('09:00'));
  });
  it('names the step that comes first', () => {
    const of = plan();
    const piece = of.pieces[0]!;
    piece.schedule = piece.schedule.slice().reverse(); // out of order: the later coat is seen first
    const held = answerFor('P1', '09:30', [entry('P1-05', 'done')], of);
    expect(held.answer).toBe('hold');
    expect(held.before?.id).toBe('P1-03');
  });
  it('goes by the step before on the same surface when the plan says nothing', () => {
    const of = plan();
    of.pieces[0]!.schedule.forEach((s) => (s.waits_for = null));
    expect(answerFor('P1', '09:30', [], of).answer).toBe('wait');
  });
  it('has nothing to say about an empty plan', () => {
    expect(whatNow({ ...plan(), pieces: [] }, [], at('09:30'))).toEqual([]);
  });
});

describe('what a new plan moved', () => {
  it('lists the pieces whose date changed', () => {
    const after = plan();
    after.pieces[1]!.finish = '2026-03-06T19:20:00';
    expect(whatMoved(plan(), after).map((m) => [m.piece.id, m.ms])).toEqual([['P2', 2 * 3_600_000]]);
    expect(whatMoved(plan(), plan())).toEqual([]);
  });
});
