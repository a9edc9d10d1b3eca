// The plan as lines of days: what hands do lies above the line, what dries hangs below it and runs on through the night
// into the next line. Three ways of looking at the same plan: by piece, by person, by resting place. Pure.
import { HARMLESS, isFilm } from '../now';
import type { Finding, Piece, Plan, Step } from '../plan';
import { dayOf, parseWall, type Wall } from '../time';
import { mark } from './marks';
import { DAY_MS, ruleOf, type Rule, type Stretch } from './rule';

export type Look = 'piece' | 'person' | 'place';
export const LOOKS: readonly Look[] = ['piece', 'person', 'place'];

export interface Hand extends Stretch {
  piece: Piece;
  mark: string;
  step: Step;
  who: string[];
  turn: number; // 1 and up, of `turns`
  turns: number;
  stop: Finding | null; // a must-not that stands against it
}
export interface Drying {
  piece: Piece;
  mark: string;
  step: Step;
  room: string;
  on: Wall;
  half: Wall; // P50
  ready: Wall; // P90
  film: boolean; // else washed wood or glue that rests
  slot: number; // the layer below the line, the same on every day
  layers: number; // resting places it takes
}
export interface Band {
  id: string;
  name: string;
  mark: string; // of a piece
  open: Stretch[]; // when somebody is there; outside of it the line is closed
  hands: Hand[];
  drying: Drying[];
  layers: number; // drawn below the line
  places: number; // resting places there are; 0 where that is not the question
  stop: Finding | null;
}
export interface Day {
  start: Wall;
  there: { name: string; hours: Stretch[] }[];
  bands: Band[];
  promised: Piece[];
  finished: Piece[];
}
export interface Choice {
  id: string;
  name: string;
}

const overlaps = (s: Stretch, from: Wall, to: Wall) => s.start < to && s.end > from;
const within = (all: Stretch[], from: Wall, to: Wall): Stretch[] =>
  all
    .filter((s) => overlaps(s, from, to))
    .map((s) => ({ start: Math.max(s.start, from), end: Math.min(s.end, to) }));

export function joined(all: Stretch[]): Stretch[] {
  const out: Stretch[] = [];
  for (const s of [...all].sort((a, b) => a.start - b.start)) {
    const last = out.at(-1);
    if (last && s.start <= last.end) last.end = Math.max(last.end, s.end);
    else out.push({ ...s });
  }
  return out;
}

export class Slate {
  readonly hands: Hand[] = [];
  readonly drying: Drying[] = [];
  readonly rule: Rule;
  readonly first: number; // days, as in dayOf
  readonly last: number;
  private readonly people: { id: string; name: string; hours: Stretch[] }[];
  private readonly anyone: Stretch[];
  private readonly rooms: { id: string; places: number }[];

  constructor(private readonly plan: Plan) {
    this.people = plan.people.map((p) => ({
      id: p.id,
      name: p.name,
      hours: p.hours.flatMap((h) => stretchOf(h.start, h.end)),
    }));
    plan.pieces.forEach((piece, n) => this.take(piece, mark(n + 1)));
    this.hands.sort((a, b) => a.start - b.start);
    this.drying.sort((a, b) => a.on - b.on);
    for (const { who } of this.hands)
      for (const name of who)
        if (!this.people.some((p) => p.name === name)) this.people.push({ id: name, name, hours: [] });
    this.rooms = plan.rooms.map((r) => ({ id: r.id, places: r.resting_places }));
    for (const { room } of this.drying) if (!this.rooms.some((r) => r.id === room)) this.rooms.push({ id: room, places: 0 });
    this.anyone = joined(this.people.flatMap((p) => p.hours));
    this.rule = ruleOf([...this.anyone, ...this.hands]);
    const days = [plan.start, plan.finish, ...plan.pieces.map((p) => p.due ?? '')].flatMap((t) => parseWall(t) ?? []).map(dayOf);
    for (const d of this.drying) days.push(dayOf(d.ready));
    this.first = days.length > 0 ? Math.min(...days) : 0;
    this.last = days.length > 0 ? Math.max(...days) : 0;
  }

  private take(piece: Piece, cut: string): void {
    const must = this.plan.findings.filter((f) => f.severity === 'must-not' && (f.piece === '' || f.piece === piece.id));
    for (const step of piece.schedule) {
      const zones = step.zones.split(',').map((z) => z.trim());
      const stop = HARMLESS.has(step.step) || step.done
        ? null
        : (must.find((f) => f.zone === '' || step.zones === '' || zones.includes(f.zone)) ?? null);
      const turns = step.turns.flatMap((t) => stretchOf(t.start, t.end).map((s) => ({ ...s, who: t.who.map((id) => this.nameOf(id)) })));
      const whole = stretchOf(step.start, step.end).map((s) => ({ ...s, who: step.who }));
      const parts = turns.length > 0 ? turns : whole;
      parts.forEach((p, n) =>
        this.hands.push({ ...p, who: p.who.length > 0 ? p.who : step.who, piece, mark: cut, step, turn: n + 1, turns: parts.length, stop }),
      );
      const on = parseWall(step.end);
      const half = parseWall(step.ready_p50);
      const ready = parseWall(step.ready_p90);
      if (on === null || ready === null || ready <= on) continue;
      const layers = Math.max(1, piece.resting_units);
      const room = step.room || piece.room;
      this.drying.push({ piece, mark: cut, step, room, on, half: Math.min(ready, Math.max(on, half ?? on)), ready, film: isFilm(step), slot: 0, layers });
    }
  }
  private nameOf(id: string): string {
    return this.people.find((p) => p.id === id)?.name ?? id;
  }

  // Today, or the day of the plan that is nearest to it.
  nearest(now: Wall): number {
    return Math.min(this.last, Math.max(this.first, dayOf(now)));
  }
  choices(look: Look): Choice[] {
    if (look === 'piece') return this.plan.pieces.map((p, n) => ({ id: p.id, name: `${mark(n + 1)} ${p.name}` }));
    if (look === 'person') return this.people.map((p) => ({ id: p.name, name: p.name }));
    return this.rooms.map((r) => ({ id: r.id, name: r.id }));
  }

  // `only`: the id of one choice, or empty for all.
  days(look: Look, only: string, first: number, count: number): Day[] {
    const bands = this.bands(look).filter((b) => only === '' || b.id === only);
    return Array.from({ length: count }, (_, n) => {
      const start = (first + n) * DAY_MS;
      const end = start + DAY_MS;
      return {
        start,
        there: this.people.map((p) => ({ name: p.name, hours: within(p.hours, start, end) })).filter((p) => p.hours.length > 0),
        bands: bands
          .map((b) => ({
            ...b,
            open: within(b.open, start, end),
            hands: b.hands.filter((h) => overlaps(h, start, end)),
            drying: b.drying.filter((d) => overlaps({ start: d.on, end: d.ready }, start, end)),
          }))
          .filter((b) => b.hands.length > 0 || b.drying.length > 0 || (look === 'person' && b.open.length > 0)),
        promised: this.plan.pieces.filter((p) => onDay(p.due, first + n)),
        finished: this.plan.pieces.filter((p) => onDay(p.finish, first + n)),
      };
    });
  }

  private bands(look: Look): Band[] {
    const band = (id: string, name: string, rest: Partial<Band>): Band => {
      const drying = layered(rest.drying ?? []);
      const deep = drying.reduce((most, d) => Math.max(most, d.slot + (look === 'place' ? d.layers : 1)), 0);
      return { id, name, mark: '', open: this.anyone, hands: [], places: 0, stop: null, ...rest, drying, layers: Math.max(deep, rest.places ?? 0) };
    };
    if (look === 'piece') {
      return this.plan.pieces.map((piece, n) => {
        const hands = this.hands.filter((h) => h.piece === piece);
        return band(piece.id, piece.name, {
          mark: mark(n + 1),
          hands,
          drying: this.drying.filter((d) => d.piece === piece).map((d) => ({ ...d, layers: 1 })),
          stop: hands.find((h) => h.stop !== null)?.stop ?? null,
        });
      });
    }
    if (look === 'person') {
      return this.people.map((p) => band(p.name, p.name, { open: p.hours, hands: this.hands.filter((h) => h.who.includes(p.name)) }));
    }
    return this.rooms.map((r) => band(r.id, r.id, { drying: this.drying.filter((d) => d.room === r.id), places: r.places }));
  }
}

function onDay(text: string | null, day: number): boolean {
  const wall = parseWall(text ?? '');
  return wall !== null && dayOf(wall) === day;
}
function stretchOf(start: string, end: string): Stretch[] {
  const from = parseWall(start);
  const to = parseWall(end);
  return from === null || to === null || to <= from ? [] : [{ start: from, end: to }];
}
// Each thing that dries gets the highest free layers, and keeps them until it is ready.
function layered(all: Drying[]): Drying[] {
  const busyUntil: Wall[] = [];
  return [...all].sort((a, b) => a.on - b.on).map((d) => {
    let slot = 0;
    const free = (from: number) => Array.from({ length: d.layers }, (_, k) => busyUntil[from + k] ?? -Infinity).every((t) => t <= d.on);
    while (!free(slot)) slot += 1;
    for (let k = 0; k < d.layers; k += 1) busyUntil[slot + k] = d.ready;
    return { ...d, slot };
  });
}
