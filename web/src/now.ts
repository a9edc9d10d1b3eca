// What may be done at this hour, and why or why not. Pure: the plan, the log and the time in, an answer out.
import type { Finding, LogEntry, Piece, Plan, Step } from './plan';
import { parseWall, type Wall } from './time';

// go: nothing to wait for. feel: more than half of such coats are ready, nine in ten are not yet. wait: too early.
// hold: an earlier step is not done. later: allowed, but planned for another hour. stop: a must-not stands against it.
export type Answer = 'stop' | 'go' | 'feel' | 'wait' | 'hold' | 'later';

export interface Next {
  piece: Piece;
  step: Step;
  answer: Answer;
  begun: Wall | null; // when "started" was logged
  film: Step | null; // the coat that is waited for, or was last
  before: Step | null; // for hold: the step that comes first
  cautions: Finding[]; // must-nots first
  windowCloses: Wall | null;
}

const MINUTE = 60_000;
// A step within the next quarter of an hour is for now, not for later.
const SOON = 15 * MINUTE;

// A must-not stands against everything but looking at the piece and the test that may lift it.
export const HARMLESS = new Set(['take_in', 'lead_test']);

export const isFilm = (step: Step): boolean => step.wet_um > 0;

// The last words about each step, from the log.
export function lastWords(log: LogEntry[]): Map<string, LogEntry[]> {
  const words = new Map<string, LogEntry[]>();
  for (const entry of log) words.set(entry.step, [...(words.get(entry.step) ?? []), entry]);
  return words;
}

const loggedDone = (entries: LogEntry[] | undefined): boolean =>
  entries?.some((e) => e.what === 'done' || e.what === 'lead_negative' || e.what === 'lead_positive') ?? false;

// Logged as sanding to powder, with nothing logged against it since. Merely dry is not enough: the plan, made anew,
// says when.
function sandsToPowder(entries: LogEntry[] | undefined): boolean {
  const felt = (entries ?? []).filter((e) => ['dry', 'sands_to_powder', 'tacky', 'soft'].includes(e.what));
  return felt.at(-1)?.what === 'sands_to_powder';
}

function sharesZone(a: Step, b: Step): boolean {
  if (a.zones === '' || b.zones === '') return true;
  const ids = a.zones.split(',').map((z) => z.trim());
  return b.zones.split(',').some((z) => ids.includes(z.trim()));
}

// The steps this one waits for; without the plan's word, the one before it on the same surface.
function waitsFor(piece: Piece, step: Step): { step: Step; need: string }[] {
  if (step.waits_for !== null) {
    return step.waits_for.flatMap(({ step: id, need }) => {
      const found = piece.schedule.find((s) => s.id === id);
      return found ? [{ step: found, need }] : [];
    });
  }
  const at = piece.schedule.indexOf(step);
  const before = piece.schedule.slice(0, at).filter((s) => sharesZone(s, step)).at(-1);
  return before ? [{ step: before, need: 'ready' }] : [];
}

// Must-nots first, then what is about this piece, then what holds for all.
function cautionsFor(plan: Plan, piece: Piece, step: Step): Finding[] {
  const zones = step.zones.split(',').map((z) => z.trim());
  const weight = { 'must-not': 0, caution: 1, note: 2 } as const;
  return plan.findings
    .filter((f) => f.severity !== 'note')
    .filter((f) => f.piece === '' || f.piece === piece.id)
    .filter((f) => f.zone === '' || step.zones === '' || zones.includes(f.zone))
    .sort((a, b) => weight[a.severity] - weight[b.severity] || Number(a.piece === '') - Number(b.piece === ''));
}

function nextOf(plan: Plan, piece: Piece, words: Map<string, LogEntry[]>, now: Wall): Next | null {
  const open = piece.schedule.filter((s) => !s.done && !loggedDone(words.get(s.id)));
  const step = open[0];
  if (!step) return null;
  const begunAt = words.get(step.id)?.filter((e) => e.what === 'started').at(-1)?.when;
  const begun = begunAt === undefined ? null : parseWall(begunAt);
  const cautions = cautionsFor(plan, piece, step);
  const next: Next = { piece, step, answer: 'go', begun, film: null, before: null, cautions, windowCloses: null };

  let answer: Answer = 'go';
  let latest = -Infinity;
  for (const { step: before, need } of waitsFor(piece, step)) {
    if (open.includes(before)) {
      next.before = before;
      answer = 'hold';
      continue;
    }
    if (need === 'order') continue;
    const p50 = parseWall(before.ready_p50);
    const p90 = parseWall(before.ready_p90);
    if (p90 === null) continue;
    if (p90 > latest) {
      latest = p90;
      next.film = before;
    }
    const closes = before.recoat_closes === null ? null : parseWall(before.recoat_closes);
    if (closes !== null && (next.windowCloses === null || closes < next.windowCloses)) next.windowCloses = closes;
    if (answer === 'hold' || now >= p90 || (isFilm(before) && sandsToPowder(words.get(before.id)))) continue;
    if (p50 === null || now < p50) answer = 'wait';
    else if (answer === 'go') answer = 'feel';
  }
  const start = parseWall(step.start);
  if (answer === 'go' && begun === null && start !== null && start > now + SOON) answer = 'later';
  if (cautions.some((f) => f.severity === 'must-not') && !HARMLESS.has(step.step)) answer = 'stop';
  next.answer = answer;
  return next;
}

// One answer a piece that still has work, the most pressing first: what is begun, what may be done, what is to be felt,
// what is stopped, then what waits, by the hour.
// Every step of it is done: it is with its owner again.
export const isOver = (piece: Piece): boolean => piece.schedule.length > 0 && piece.schedule.every((step) => step.done);

export function whatNow(plan: Plan, log: LogEntry[], now: Wall): Next[] {
  const words = lastWords(log);
  const order: Record<Answer, number> = { go: 1, feel: 2, stop: 3, hold: 4, wait: 5, later: 5 };
  const rank = (n: Next) => (n.begun !== null && n.answer !== 'stop' ? 0 : order[n.answer]);
  return plan.pieces
    .map((piece) => nextOf(plan, piece, words, now))
    .filter((n): n is Next => n !== null)
    .sort((a, b) => rank(a) - rank(b) || (parseWall(a.step.start) ?? 0) - (parseWall(b.step.start) ?? 0));
}

export interface Move {
  piece: Piece;
  ms: number; // later: positive
}

// What a new plan changed in the dates that were promised to owners.
export function whatMoved(before: Plan, after: Plan): Move[] {
  return after.pieces.flatMap((piece) => {
    const old = before.pieces.find((p) => p.id === piece.id);
    const from = old ? parseWall(old.finish) : null;
    const to = parseWall(piece.finish);
    return from === null || to === null || from === to ? [] : [{ piece, ms: to - from }];
  });
}
