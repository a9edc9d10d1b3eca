// Another product for a coat, and mends for a build-up that breaks a rule: both are the piece with other words in its
// zones. What becomes of dates and money is for a trial to say.
import type { Choices, Piece as JobPiece, Zone } from '../intake/job';
import type { Finding, Piece, Step } from '../plan';

const COATS = ['grain_fill', 'stain', 'barrier', 'seal', 'prime', 'paint', 'clear', 'oil', 'wax', 'metal_coat'];
// The coat that a zone's own `product` speaks of.
const OWN: Record<string, string> = { clear: 'clear', stain_and_clear: 'clear', paint: 'paint', paint_inside: 'paint', metal_spray: 'metal_coat', oil: 'oil', wax: 'wax' };

export const isCoat = (step: Step): boolean => COATS.includes(step.step) && step.product !== '';
export const zonesOf = (step: Step): string[] => step.zones.split(',').map((z) => z.trim()).filter(Boolean);

// The coats of a zone in their order, each as often as it is laid.
export function buildUp(schedule: readonly Step[], zone: string): string[] {
  return schedule.filter((s) => isCoat(s) && zonesOf(s).includes(zone)).map((s) => s.product);
}

// Products that do the same, the one in use left out.
export function alternatives(product: string, choices: Choices): Choices['products'] {
  const role = choices.products.find((p) => p.id === product)?.role;
  if (!role || role === 'supply') return [];
  return choices.products.filter((p) => p.role === role && p.id !== product);
}

function withZones(piece: JobPiece, change: (zone: Zone, place: string) => Zone): JobPiece {
  return { ...piece, part: piece.part.map((part) => ({ ...part, ...(part.zone ? { zone: part.zone.map((z) => change(z, `${part.id}/${z.id}`)) } : {}) })) };
}
function without(zone: Zone, ...keys: string[]): Zone {
  return Object.fromEntries(Object.entries(zone).filter(([key]) => !keys.includes(key))) as Zone;
}

// The piece with `product` in place of the one of that coat, wherever that coat is laid. A finish coat is the zone's own
// word; any other is told by the whole build-up.
export function swapped(piece: JobPiece, schedule: readonly Step[], step: Step, product: string): JobPiece {
  const places = zonesOf(step);
  return withZones(piece, (zone, place) => {
    if (!places.includes(place)) return zone;
    const instead = (list: string[]) => list.map((p) => (p === step.product ? product : p));
    if (Array.isArray(zone.wanted)) return { ...zone, wanted: instead(zone.wanted as string[]) };
    if (OWN[zone.treatment] === step.step) return { ...zone, product };
    return { ...without(zone, 'product'), wanted: instead(buildUp(schedule, place)) };
  });
}

export interface Mend {
  kind: 'planned' | 'last' | 'free';
  products: string[]; // what would be asked for
  body: JobPiece;
}
export interface Broken {
  zones: string[];
  findings: Finding[];
  mends: Mend[];
}

// Zones whose wanted build-up breaks a rule, alike ones together, with what would put each right: to ask for what the
// plan has made of it, to keep its last coat only, or to leave it to the plan.
export function brokenBuildUps(job: JobPiece, piece: Piece, findings: readonly Finding[]): Broken[] {
  const groups = new Map<string, { zones: string[]; wanted: string[] }>();
  for (const part of job.part)
    for (const zone of part.zone ?? []) {
      if (!Array.isArray(zone.wanted) || zone.wanted.length === 0) continue;
      const key = `${zone.treatment}|${zone.wanted.join(' ')}`;
      const group = groups.get(key) ?? { zones: [], wanted: zone.wanted as string[] };
      group.zones.push(`${part.id}/${zone.id}`);
      groups.set(key, group);
    }
  return [...groups.values()].flatMap(({ zones, wanted }) => {
    const about = findings.filter((f) => f.piece === piece.id && f.severity === 'must-not' && zones.includes(f.zone));
    if (about.length === 0) return [];
    const mends: Mend[] = [];
    const add = (kind: Mend['kind'], products: string[], change: (zone: Zone) => Zone) =>
      mends.push({ kind, products, body: withZones(job, (zone, place) => (zones.includes(place) ? change(zone) : zone)) });
    const planned = buildUp(piece.schedule, zones[0]!);
    if (planned.length > 0 && planned.join(' ') !== wanted.join(' ')) add('planned', planned, (zone) => ({ ...zone, wanted: planned }));
    const last = wanted[wanted.length - 1]!;
    add('last', [last], (zone) => ({ ...without(zone, 'wanted'), product: last }));
    add('free', [], (zone) => without(zone, 'wanted', 'product'));
    return [{ zones, findings: about, mends }];
  });
}
