// The zones of one face as they stand: what each covers, its area and its tape, and what does not fit.
import { areaMm2, intersect, subtract, tapeMm, type Region } from './region';
import { isDrawn, regionOf, type Keys, type Plane } from './forms';

export interface Placed {
  id: string;
  face: string; // its name, or "all"
  form: string;
  keys: Keys;
}
export interface Covered {
  region: Region; // empty: nothing of this face
  areaMm2: number;
  tapeMm: number;
  trouble: '' | 'noShape' | 'leaves' | 'overlaps';
  other: string; // the zone it overlaps
}

const TOUCH_MM2 = 10; // less is a matter of the pencil line; as src/piece/measure.cpp has it

// Zones that lie on face `name`. Of one part; the order of the job file.
export function cover(zones: Placed[], name: string, plane: Plane): Map<string, Covered> {
  const found = new Map<string, Covered>();
  const nothing = (): Covered => ({ region: [], areaMm2: 0, tapeMm: 0, trouble: '', other: '' });
  const here = zones.filter((z) => z.face === name || z.face === 'all');
  const shaped: { id: string; region: Region }[] = [];
  for (const zone of here.filter((z) => isDrawn(z.form))) {
    const one = nothing();
    found.set(zone.id, one);
    const region = regionOf(zone.form, zone.keys, plane);
    if (!region) {
      one.trouble = 'noShape';
      continue;
    }
    one.region = region;
    one.areaMm2 = areaMm2(region);
    one.tapeMm = tapeMm(region, plane.region);
    if (areaMm2(subtract(region, plane.region)) > TOUCH_MM2) one.trouble = 'leaves';
    for (const other of shaped) {
      if (areaMm2(intersect(region, other.region)) <= TOUCH_MM2) continue;
      one.trouble = 'overlaps';
      one.other = other.id;
    }
    shaped.push({ id: zone.id, region });
  }
  // A rest named for this face goes before a rest of all faces.
  const pick = (form: string) => here.filter((z) => z.form === form).sort((p, q) => Number(p.face === 'all') - Number(q.face === 'all'))[0];
  const whole = pick('whole');
  const rest = pick('rest');
  if (whole) {
    const one = { ...nothing(), region: plane.region, areaMm2: areaMm2(plane.region) };
    if (shaped[0]) Object.assign(one, { trouble: 'overlaps', other: shaped[0].id });
    found.set(whole.id, one);
  }
  if (rest && !whole) {
    let region = plane.region;
    for (const other of shaped) region = subtract(region, other.region);
    found.set(rest.id, { ...nothing(), region, areaMm2: Math.max(0, areaMm2(region)), tapeMm: tapeMm(region, plane.region) });
  }
  return found;
}
