// Where the parts of a piece would stand, to draw it while it is being measured. A sketch: the job knows sizes, not
// places. x to the right, y to the back, z up, millimetres.
import { parseMm } from './length';
import type { Part } from './job';

export interface Solid {
  part: string;
  x: [number, number];
  y: [number, number];
  z: [number, number];
  hole?: number; // frames: width of the member
  soft?: boolean; // cloth
}
export interface Arranged {
  solids: Solid[];
  width: number;
  depth: number;
  height: number;
}

const mm = (part: Part, key: string, otherwise: number): number => {
  const read = typeof part[key] === 'string' ? parseMm(part[key] as string) : null;
  return read !== null && read > 0 ? read : otherwise;
};
const isLeg = (p: Part) => p.kind.endsWith('_leg');
const count = (p: Part) => Math.min(p.count ?? 1, 40);

function legSize(leg: Part): { w: number; d: number; h: number } {
  const round = mm(leg, 'diameter', mm(leg, 'top_diameter', 40));
  const profile = Array.isArray(leg.profile) ? (leg.profile as unknown[][]) : [];
  const widest = profile.reduce((most, row) => Math.max(most, typeof row?.[1] === 'number' ? row[1] * 2 : 0), 0);
  return { w: mm(leg, 'width', widest || round), d: mm(leg, 'depth', widest || round), h: mm(leg, 'height', 400) };
}

export function arrange(parts: Part[]): Arranged {
  const solids: Solid[] = [];
  const add = (part: Part, x: number, y: number, z: number, w: number, d: number, h: number, more: Partial<Solid> = {}) =>
    solids.push({ part: part.id, x: [x, x + w], y: [y, y + d], z: [z, z + h], ...more });
  const legs = parts.filter(isLeg);
  const box = parts.find((p) => p.kind === 'box');
  const panels = parts.filter((p) => p.kind === 'panel').sort((a, b) => mm(b, 'width', 1) * mm(b, 'height', 1) - mm(a, 'width', 1) * mm(a, 'height', 1));
  const legTall = legs.length > 0 ? Math.min(...legs.map((l) => legSize(l).h)) : 0;
  let [w, d, h, base] = [600, 400, 20, legTall];

  if (box) {
    [w, d, h] = [mm(box, 'width', 600), mm(box, 'depth', 400), mm(box, 'height', 500)];
    add(box, 0, 0, base, w, d, h);
    panels.forEach((panel, k) => {
      const thick = mm(panel, 'depth', 20);
      const onTop = k === 0 && mm(panel, 'width', 0) > w * 1.01;
      if (onTop) add(panel, (w - mm(panel, 'width', w)) / 2, (d - mm(panel, 'height', d)) / 2, base + h, mm(panel, 'width', w), mm(panel, 'height', d), thick);
      const n = onTop ? 0 : count(panel);
      for (let i = 0; i < n; i += 1)
        add(panel, Math.max(0, (w - mm(panel, 'width', w)) / 2), 1, base + (h * (i + 1)) / (n + 1), Math.min(w, mm(panel, 'width', w)), Math.min(d, mm(panel, 'height', d)), thick);
    });
  } else if (panels.length > 0 && legs.length > 0) {
    const top = panels[0]!;
    [w, d, h] = [mm(top, 'width', 600), mm(top, 'height', 400), mm(top, 'depth', 20)];
    add(top, 0, 0, base, w, d, h);
    panels.slice(1).forEach((panel, k) => add(panel, (w - mm(panel, 'width', w)) / 2, 0, base * (0.3 + 0.2 * k), mm(panel, 'width', w), Math.min(d, mm(panel, 'height', d)), mm(panel, 'depth', 20)));
  } else if (panels.length > 0) {
    let x = 0;
    for (const panel of panels)
      for (let i = 0; i < count(panel); i += 1) {
        add(panel, x, 0, 0, mm(panel, 'width', 600), mm(panel, 'depth', 20), mm(panel, 'height', 400));
        x += mm(panel, 'width', 600) + 40;
      }
    [w, d, h, base] = [Math.max(x - 40, 1), mm(panels[0]!, 'depth', 20), mm(panels[0]!, 'height', 400), 0];
  } else if (legs.length > 0) {
    h = 0;
  }

  // Legs at the corners: the taller of two groups stands at the back, and goes up past what it carries.
  const groups = [...legs].sort((a, b) => legSize(a).h - legSize(b).h);
  let backLegs: Part | null = null;
  groups.forEach((leg, g) => {
    const size = legSize(leg);
    const n = count(leg);
    const front: [number, number][] = [[0, 0], [w - size.w, 0]];
    const back: [number, number][] = [[0, d - size.d], [w - size.w, d - size.d]];
    const all = groups.length > 1 && n <= 2 ? (g === 0 ? front : back) : n === 1 ? [[(w - size.w) / 2, (d - size.d) / 2] as [number, number]] : [...front, ...back];
    if (g > 0 && n <= 2 && size.h > legTall * 1.2) backLegs = leg;
    all.slice(0, Math.max(n, 1)).forEach(([x, y]) => add(leg, x, y, 0, size.w, size.d, size.h));
  });

  // Rails: under what the legs carry, then between tall back legs, then low between the legs.
  const legW = legs.length > 0 ? legSize(legs[0]!).w : 0;
  const slots: ((rail: Part) => void)[] = [];
  const beam = (x: number, y: number, z: number, along: 'x' | 'y') => (rail: Part) => {
    const [l, t, tall] = [mm(rail, 'length', mm(rail, 'width', 300)), mm(rail, 'depth', 20), mm(rail, 'height', 60)];
    if (along === 'x') add(rail, x + (w - l) / 2, y, z - tall, l, t, tall);
    else add(rail, x, y + (d - l) / 2, z - tall, t, l, tall);
  };
  if (legs.length > 0) {
    slots.push(beam(0, legW / 4, base, 'x'), beam(0, d - legW * 0.75, base, 'x'), beam(legW / 4, 0, base, 'y'), beam(w - legW * 0.75, 0, base, 'y'));
    const tall = backLegs ? legSize(backLegs).h : 0;
    if (tall > 0) for (let k = 0; k < 6; k += 1) slots.push(beam(0, d - legW * 0.75, tall - k * 0.25 * (tall - base), 'x'));
    else slots.push(beam(legW / 4, 0, base * 0.35, 'y'), beam(w - legW * 0.75, 0, base * 0.35, 'y'), beam(0, legW / 4, base * 0.35, 'x'), beam(0, d - legW * 0.75, base * 0.35, 'x'));
  } else for (let k = 0; k < 6; k += 1) slots.push(beam(0, 0, 100 + k * 120, 'x'));
  let slot = 0;
  for (const rail of parts.filter((p) => p.kind === 'rail')) for (let i = 0; i < count(rail) && slot < slots.length; i += 1) slots[slot++]!(rail);

  // On the front: drawers one above the other, doors side by side, then frames and cloth.
  const drawers = parts.filter((p) => p.kind === 'drawer').flatMap((p) => Array.from({ length: count(p) }, () => p));
  const used = drawers.reduce((sum, p) => sum + mm(p, 'height', 150), 0);
  let z = base + h - Math.max(0, (h - used) / (drawers.length + 1));
  const fronts: Solid[] = [];
  for (const drawer of drawers) {
    const tall = mm(drawer, 'height', 150);
    add(drawer, (w - mm(drawer, 'width', w)) / 2, -1, z - tall, mm(drawer, 'width', w), Math.min(d, mm(drawer, 'depth', d)), tall);
    fronts.push(solids.at(-1)!);
    z -= tall + Math.max(0, (h - used) / (drawers.length + 1));
  }
  const doors = parts.filter((p) => p.kind === 'door').flatMap((p) => Array.from({ length: count(p) }, () => p));
  const wide = doors.reduce((sum, p) => sum + mm(p, 'width', 400), 0);
  let x = box ? Math.max(0, (w - wide) / (doors.length + 1)) : 0;
  for (const door of doors) {
    const tall = mm(door, 'height', 600);
    add(door, x, -2, box ? base + Math.max(0, (h - used - tall) / 2) : 0, mm(door, 'width', 400), mm(door, 'depth', 20), tall);
    fronts.push(solids.at(-1)!);
    x += mm(door, 'width', 400) + (box ? Math.max(0, (w - wide) / (doors.length + 1)) : 20);
  }
  for (const frame of parts.filter((p) => p.kind === 'frame'))
    add(frame, 0, -1, base, mm(frame, 'width', 500), mm(frame, 'depth', 20), mm(frame, 'height', 700), { hole: mm(frame, 'frame_width', 60) });
  for (const cloth of parts.filter((p) => p.kind === 'fabric_panel'))
    add(cloth, (w - mm(cloth, 'width', 300)) / 2, -3, base + Math.max(0, (h - mm(cloth, 'height', 300)) / 2), mm(cloth, 'width', 300), 2, mm(cloth, 'height', 300), { soft: true });
  for (const piece of parts.filter((p) => p.kind === 'hardware')) {
    const each = Math.max(1, Math.round(count(piece) / Math.max(1, fronts.length)));
    for (const front of fronts)
      for (let i = 0; i < Math.min(each, 4); i += 1) {
        const [hw, hh] = [mm(piece, 'width', 60), mm(piece, 'height', 20)];
        const cx = front.x[0] + ((front.x[1] - front.x[0]) * (i + 1)) / (each + 1);
        add(piece, cx - hw / 2, -5, (front.z[0] + front.z[1] - hh) / 2, hw, 3, hh);
      }
  }

  const low = (k: 'x' | 'y' | 'z') => Math.min(0, ...solids.map((s) => s[k][0]));
  const high = (k: 'x' | 'y' | 'z') => Math.max(1, ...solids.map((s) => s[k][1]));
  return { solids, width: high('x') - Math.max(low('x'), -1e9), depth: high('y') - Math.max(low('y'), 0), height: high('z') };
}
