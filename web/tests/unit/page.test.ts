// @vitest-environment jsdom
import { cleanup, render, screen, fireEvent } from '@testing-library/svelte';
import { afterEach, describe, expect, it, vi } from 'vitest';
import Findings from '../../src/parts/Findings.svelte';
import NextStep from '../../src/parts/NextStep.svelte';
import PieceSheet from '../../src/parts/PieceSheet.svelte';
import { whatNow } from '../../src/now';
import { openStep } from '../../src/slate/open';
import { readPlan } from '../../src/plan';
import { parseWall } from '../../src/time';
import { View } from '../../src/view';
import fixture from '../fixture/plan.json';

const plan = readPlan(fixture)!;
const now = parseWall('2026-03-04T09:30')!;
const view = new View('metric', 'en-GB', now, 'EUR');
const next = (id: string) => whatNow(plan, [], now).find((n) => n.piece.id === id)!;
const show = (id: string, onlog = vi.fn()) => {
  render(NextStep, { next: next(id), view, outgoing: [], onlog, ontakeback: vi.fn() });
  return onlog;
};

afterEach(cleanup);

describe('a strip of what to do now', () => {
  it('offers no way to do what may not be done', () => {
    show('P5');
    expect(screen.getByText('Stop')).toBeTruthy();
    expect(screen.queryByRole('button', { name: /^Done/ })).toBeNull();
    expect(screen.getByText(/Strip chemically instead of sanding/)).toBeTruthy();
  });
  it('says how long a coat still needs and asks how it feels', async () => {
    const onlog = show('P1');
    expect(screen.getByText('Not yet')).toBeTruthy();
    expect(screen.getByText(/10:00 \(in 30 min\).*12:30 \(in 3 h\)/)).toBeTruthy();
    await fireEvent.click(screen.getByRole('button', { name: /^Still tacky/ }));
    expect(onlog).toHaveBeenCalledWith('P1-02', expect.stringContaining('First thin coat'), 'tacky');
  });
  it('asks for the result of a lead test, never for a bare "done"', async () => {
    const onlog = show('P2');
    expect(screen.queryByRole('button', { name: /^Done/ })).toBeNull();
    await fireEvent.click(screen.getByRole('button', { name: /^No lead found/ }));
    expect(onlog).toHaveBeenCalledWith('P2-01', expect.anything(), 'lead_negative');
  });
  it('takes a problem with its note', async () => {
    const onlog = show('P3');
    await fireEvent.click(screen.getByRole('button', { name: /^Something is wrong/ }));
    await fireEvent.input(screen.getByRole('textbox'), { target: { value: ' runs on the left leg ' } });
    await fireEvent.submit(screen.getByRole('textbox').closest('form')!);
    expect(onlog).toHaveBeenCalledWith('P3-02', expect.anything(), 'problem', 'runs on the left leg');
  });
});

describe('names and findings', () => {
  it('shows script in a name as text', () => {
    const { container } = render(PieceSheet, { piece: plan.pieces[0]!, view, log: [] });
    expect(container.querySelector('script, img')).toBeNull();
    expect(screen.getByRole('heading', { name: /<script>/ })).toBeTruthy();
  });
  it('folds a sheet among many, and unfolds it for the step that is looked for', () => {
    const { container } = render(PieceSheet, { piece: plan.pieces[0]!, view, log: [], folded: true });
    const step = plan.pieces[0]!.schedule.find((s) => !s.done)!.id;
    expect(container.querySelector(`#step-${step}`)).toBeNull();
    Element.prototype.scrollIntoView = vi.fn(); // jsdom has none
    expect(openStep('no-such-step')).toBe(false);
    expect(openStep(step)).toBe(true);
    expect(container.querySelector(`#step-${step}`)).toBeTruthy();
    expect(container.querySelector<HTMLDetailsElement>('[data-fold]')!.open).toBe(true);
  });
  it('puts what must not be done first, with its mend and source', () => {
    const { container } = render(Findings, { plan });
    const items = [...container.querySelectorAll('.findings > li')];
    expect(items).toHaveLength(4);
    expect(items[0]?.textContent).toMatch(/Must not.*veneer.*To mend: Strip.*Source: common practice/s);
    expect(items[3]?.textContent).toMatch(/^\s*Note/);
  });
});
