// The plan as the service sends it (docs/plan-json.md), read with care: what is missing becomes empty, never a crash.

export interface Air {
  temp_c: number | null;
  rh: number | null;
}
export interface WaitFor {
  step: string;
  need: string;
}
export interface Step {
  id: string;
  zones: string;
  step: string;
  text: string;
  product: string;
  product_name: string;
  method: string;
  reason: string;
  ready_by_hand: string;
  grit: number;
  wet_um: number;
  area_m2: number;
  minutes: number;
  table_minutes: number; // as the table of paces has them; `minutes` may be at the shop's own pace
  took_minutes: number | null; // done, and its time was told
  people: number;
  who: string[];
  start: string;
  end: string;
  ready_p50: string;
  ready_p90: string;
  recoat_closes: string | null;
  turns: { start: string; end: string; who: string[] }[]; // stretches of hands-on time; more than one for long work
  waits_for: WaitFor[] | null; // null: the plan does not say
  room: string;
  air: Air;
  notes: string[];
  why_here: string;
  done: boolean;
  pinned: Pinned | null; // to an hour, by hand
}
export interface Pinned {
  start: string;
  kept: boolean;
  why: string; // it could not be kept
  next: string | null; // from then on it could be
}
export interface Zone {
  id: string;
  part: string;
  face: string;
  treatment: string;
  area_m2: number;
  tape_mm: number;
}
export interface Price {
  materials: string;
  labour: string;
  overhead: string;
  profit: string;
  fees?: string; // for waste, passed on
  tax: string;
  total: string;
  hours: number;
}
// Vapour of the busiest day of a piece's coats. null: not to be had (no fan does it, no hour is known).
export interface Vapour {
  worst_component: string;
  mixture_share: number; // of the limits for breathing over a shift: 1 is the limit
  lel_share: number; // of what can be set alight
  reentry_h: number | null;
  fan_needed_m3_h: number | null;
}
export interface Piece {
  id: string;
  name: string;
  owner: string;
  room: string;
  resting_units: number; // resting places it takes while a coat dries
  due: string | null;
  finish: string;
  late: boolean;
  late_reason: string;
  odds: number | null; // of keeping the promised date, 0 to 1
  promise_90: string | null; // the day to promise for nine in ten
  bench_hours: number;
  zones: Zone[];
  schedule: Step[];
  price: Price;
  vapour: Vapour | null; // null: the plan does not say
  care: string[];
}
export type Severity = 'note' | 'caution' | 'must-not';
export interface Finding {
  rule: string;
  severity: Severity;
  reason: string;
  mend: string;
  source: string;
  piece: string;
  zone: string;
}
export interface Purchase {
  product: string;
  name: string;
  unit: string;
  need: number;
  from_shelf: number;
  lines: { pack: number; count: number; each: string; total: string }[];
  total: string;
  left_over: number;
  optimal: boolean;
  note: string;
}
// What the log has taught about drying: factors on the label's time, and what that does to the dates.
export interface Learned {
  product: string;
  name: string;
  entries: number;
  factorBefore: number;
  factorAfter: number;
  planBefore_h: number; // hours to the next coat that the plan reckons with, at label conditions
  planAfter_h: number;
}
export interface Taught {
  products: Learned[];
  promises: Moved[];
  messages: string[];
  paces: Pace[];
  paceWanted: boolean;
  odd: string[]; // steps whose hours lie far from the rest
}
// How many times the hours of the table one kind of task takes here.
export interface Pace {
  kind: string;
  entries: number;
  factor: number;
  low: number;
  high: number;
  used: boolean;
}
export interface Person {
  id: string;
  name: string;
  hours: { start: string; end: string }[];
}
export interface Room {
  id: string;
  resting_places: number;
}
export interface Plan {
  shop: string;
  start: string;
  finish: string;
  lower_bound: string;
  gap_percent: number;
  proven: boolean;
  currency: string;
  units: 'metric' | 'us';
  people: Person[]; // empty in plans of an earlier version
  rooms: Room[];
  pieces: Piece[];
  findings: Finding[];
  purchases: Purchase[];
  cost: Price;
  taught: Taught;
}
export interface LogEntry {
  id: number;
  key: string;
  when: string;
  step: string;
  what: string;
  note: string;
  took_min?: number; // 0: not told
}

type Raw = Record<string, unknown>;
const record = (value: unknown): Raw =>
  typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Raw) : {};
const text = (value: unknown): string => (typeof value === 'string' ? value : '');
const textOrNull = (value: unknown): string | null => (typeof value === 'string' && value !== '' ? value : null);
const number = (value: unknown): number => (typeof value === 'number' && Number.isFinite(value) ? value : 0);
const numberOrNull = (value: unknown): number | null =>
  typeof value === 'number' && Number.isFinite(value) ? value : null;
const list = (value: unknown): unknown[] => (Array.isArray(value) ? value : []);
const texts = (value: unknown): string[] => list(value).map(text).filter((t) => t !== '');

function readStep(value: unknown): Step {
  const raw = record(value);
  const air = record(raw.air);
  return {
    id: text(raw.id),
    zones: text(raw.zones),
    step: text(raw.step),
    text: text(raw.text),
    product: text(raw.product),
    product_name: text(raw.product_name),
    method: text(raw.method),
    reason: text(raw.reason),
    ready_by_hand: text(raw.ready_by_hand),
    grit: number(raw.grit),
    wet_um: number(raw.wet_um),
    area_m2: number(raw.area_m2),
    minutes: number(raw.minutes),
    table_minutes: number(raw.table_minutes) || number(raw.minutes),
    took_minutes: typeof raw.took_minutes === 'number' ? raw.took_minutes : null,
    people: number(raw.people),
    who: texts(raw.who),
    start: text(raw.start),
    end: text(raw.end),
    ready_p50: text(raw.ready_p50),
    ready_p90: text(raw.ready_p90),
    recoat_closes: textOrNull(raw.recoat_closes),
    turns: list(raw.turns).map((t) => ({ start: text(record(t).start), end: text(record(t).end), who: texts(record(t).who) })),
    waits_for: Array.isArray(raw.waits_for)
      ? raw.waits_for.map((w) => ({ step: text(record(w).step), need: text(record(w).need) }))
      : null,
    room: text(raw.room),
    air: { temp_c: numberOrNull(air.temp_c), rh: numberOrNull(air.rh) },
    notes: texts(raw.notes),
    why_here: text(raw.why_here),
    done: raw.done === true,
    pinned: readPinned(raw.pinned),
  };
}
function readPinned(value: unknown): Pinned | null {
  const raw = record(value);
  return text(raw.start) === '' ? null : { start: text(raw.start), kept: raw.kept === true, why: text(raw.why), next: textOrNull(raw.next) };
}

function readPrice(value: unknown): Price {
  const raw = record(value);
  return {
    materials: text(raw.materials),
    labour: text(raw.labour),
    overhead: text(raw.overhead),
    profit: text(raw.profit),
    tax: text(raw.tax),
    total: text(raw.total),
    hours: number(raw.hours),
  };
}

// Without both shares nothing is said of the air: half a word would read as an all-clear.
function readVapour(value: unknown): Vapour | null {
  const raw = record(value);
  const mixture = numberOrNull(raw.mixture_share);
  const lel = numberOrNull(raw.lel_share);
  if (mixture === null || lel === null) return null;
  return {
    worst_component: text(raw.worst_component),
    mixture_share: mixture,
    lel_share: lel,
    reentry_h: numberOrNull(raw.reentry_h),
    fan_needed_m3_h: numberOrNull(raw.fan_needed_m3_h),
  };
}

function readPiece(value: unknown): Piece {
  const raw = record(value);
  return {
    id: text(raw.id),
    name: text(raw.name) || text(raw.id),
    owner: text(raw.owner),
    room: text(raw.room),
    resting_units: Math.max(1, number(raw.resting_units)),
    due: textOrNull(raw.due),
    finish: text(raw.finish),
    late: raw.late === true,
    late_reason: text(raw.late_reason),
    odds: numberOrNull(raw.odds),
    promise_90: textOrNull(raw.promise_90),
    bench_hours: number(raw.bench_hours),
    zones: list(raw.zones).map((z) => {
      const zone = record(z);
      return {
        id: text(zone.id),
        part: text(zone.part),
        face: text(zone.face),
        treatment: text(zone.treatment),
        area_m2: number(zone.area_m2),
        tape_mm: number(zone.tape_mm),
      };
    }),
    schedule: list(raw.schedule).map(readStep),
    price: readPrice(raw.price),
    vapour: readVapour(raw.air),
    care: texts(raw.care),
  };
}

function readFinding(value: unknown): Finding {
  const raw = record(value);
  const severity = text(raw.severity).replace('_', '-');
  return {
    rule: text(raw.rule),
    // What cannot be read is shown as a caution, not hidden as a note.
    severity: severity === 'must-not' || severity === 'note' ? severity : 'caution',
    reason: text(raw.reason),
    mend: text(raw.mend),
    source: text(raw.source),
    piece: text(raw.piece),
    zone: text(raw.zone),
  };
}

function readPurchase(value: unknown): Purchase {
  const raw = record(value);
  return {
    product: text(raw.product),
    name: text(raw.name) || text(raw.product),
    unit: text(raw.unit),
    need: number(raw.need),
    from_shelf: number(raw.from_shelf),
    lines: list(raw.lines).map((l) => {
      const line = record(l);
      return { pack: number(line.pack), count: number(line.count), each: text(line.each), total: text(line.total) };
    }),
    total: text(raw.total),
    left_over: number(raw.left_over),
    optimal: raw.optimal === true,
    note: text(raw.note),
  };
}

function readTaught(value: unknown): Taught {
  const raw = record(value);
  const shopBefore = number(raw.shop_prior_mean);
  const shopAfter = number(raw.shop_posterior_mean);
  return {
    products: list(raw.products).map((p) => {
      const one = record(p);
      return {
        product: text(one.product),
        name: text(one.product_name) || text(one.product),
        entries: number(one.entries),
        factorBefore: Math.exp(shopBefore + number(one.prior_mean)),
        factorAfter: Math.exp(shopAfter + number(one.posterior_mean)),
        planBefore_h: number(one.recoat_p90_before_h),
        planAfter_h: number(one.recoat_p90_after_h),
      };
    }),
    promises: readMoved(raw.promises),
    messages: texts(raw.messages),
    paces: list(record(raw.pace).kinds).map((p) => {
      const one = record(p);
      return {
        kind: text(one.kind),
        entries: number(one.entries),
        factor: number(one.factor),
        low: number(one.low),
        high: number(one.high),
        used: one.used === true,
      };
    }),
    paceWanted: record(raw.pace).wanted !== false,
    odd: texts(record(raw.pace).odd),
  };
}

// null when it is not a plan at all.
export function readPlan(value: unknown): Plan | null {
  const raw = record(value);
  if (!Array.isArray(raw.pieces)) return null;
  return {
    shop: text(raw.shop),
    start: text(raw.start),
    finish: text(raw.finish),
    lower_bound: text(raw.lower_bound),
    gap_percent: number(raw.gap_percent),
    proven: raw.proven === true,
    currency: text(raw.currency),
    units: raw.units === 'us' ? 'us' : 'metric',
    people: list(raw.people).map((p) => {
      const one = record(p);
      return {
        id: text(one.id),
        name: text(one.name) || text(one.id),
        hours: list(one.hours).map((h) => ({ start: text(record(h).start), end: text(record(h).end) })),
      };
    }),
    rooms: list(raw.rooms).map((r) => ({ id: text(record(r).id), resting_places: number(record(r).resting_places) })),
    pieces: raw.pieces.map(readPiece),
    findings: list(raw.findings).map(readFinding),
    purchases: list(raw.purchases).map(readPurchase),
    cost: readPrice(raw.cost),
    taught: readTaught(raw.taught),
  };
}

export interface Moved {
  piece: string;
  before: string;
  after: string;
}
// One change to the job and what it does to the dates.
export interface Help {
  what: string;
  heed: string;
  pieces: Moved[];
}
export interface Helps {
  hurried: Moved[]; // planned, and hurried with nothing changed
  list: Help[];
}

const readMoved = (value: unknown): Moved[] =>
  list(value).map((p) => {
    const one = record(p);
    return { piece: text(one.piece), before: text(one.finish_before), after: text(one.finish_after) };
  });

export function readHelps(value: unknown): Helps {
  const raw = record(value);
  return {
    hurried: readMoved(raw.hurried),
    list: list(raw.helps).map((h) => {
      const one = record(h);
      return { what: text(one.what), heed: text(one.heed), pieces: readMoved(one.pieces) };
    }),
  };
}

export function readLog(value: unknown): LogEntry[] {
  return list(record(value).entries).map((e) => {
    const raw = record(e);
    return {
      id: number(raw.id),
      key: text(raw.key),
      when: text(raw.when),
      step: text(raw.step),
      what: text(raw.what),
      note: text(raw.note),
      took_min: number(raw.took_min),
    };
  });
}
