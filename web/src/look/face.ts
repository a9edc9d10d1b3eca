// A measured face on a photo: where a point in millimetres is, and the outline of a zone drawn on it.
export type Point = [number, number];

// The homography that takes the unit square's corners (left top, right top, right bottom, left bottom) to `c`
// (Heckbert 1989, "Fundamentals of Texture Mapping", the closed form for a square).
export function fromSquare(c: Point[]): number[] {
  const [p0, p1, p2, p3] = c as [Point, Point, Point, Point];
  const sx = p0[0] - p1[0] + p2[0] - p3[0];
  const sy = p0[1] - p1[1] + p2[1] - p3[1];
  const dx1 = p1[0] - p2[0];
  const dx2 = p3[0] - p2[0];
  const dy1 = p1[1] - p2[1];
  const dy2 = p3[1] - p2[1];
  const det = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / det;
  const h = (dx1 * sy - sx * dy1) / det;
  return [
    p1[0] - p0[0] + g * p1[0], p3[0] - p0[0] + h * p3[0], p0[0],
    p1[1] - p0[1] + g * p1[1], p3[1] - p0[1] + h * p3[1], p0[1],
    g, h, 1,
  ];
}

// From millimetres on the face (x right, y up, from its left bottom) to pixels.
export function toPhoto(corners: Point[], width: number, height: number): (p: Point) => Point {
  const m = fromSquare(corners) as [number, number, number, number, number, number, number, number, number];
  return ([x, y]) => {
    const u = x / width;
    const v = 1 - y / height;
    const w = m[6] * u + m[7] * v + m[8];
    return [(m[0] * u + m[1] * v + m[2]) / w, (m[3] * u + m[4] * v + m[5]) / w];
  };
}

const STEPS = 96; // chords of a full circle; the saved zone is computed with true arcs

export function arcPoints(cx: number, cy: number, r: number, from: number, sweep: number): Point[] {
  const n = Math.max(2, Math.ceil((STEPS * Math.abs(sweep)) / (2 * Math.PI)));
  return Array.from({ length: n + 1 }, (_, i) => {
    const t = from + (sweep * i) / n;
    return [cx + r * Math.cos(t), cy + r * Math.sin(t)];
  });
}

// The outline that the keys of a zone draw on its face, in mm; null for forms the page cannot draw by itself.
export function outlineOf(form: string, keys: Record<string, string | number>, width: number): Point[] | null {
  const n = (key: string, otherwise = 0) => (typeof keys[key] === 'number' ? keys[key] : otherwise);
  switch (form) {
    case 'half_circle': {
      const up = keys.opens !== 'down';
      return arcPoints(n('center_x'), n('base_y'), n('radius'), 0, up ? Math.PI : -Math.PI);
    }
    case 'circle':
      return arcPoints(n('center_x'), n('center_y'), n('radius'), 0, 2 * Math.PI);
    case 'band':
      return [
        [0, n('from')],
        [width, n('from')],
        [width, n('from') + n('height')],
        [0, n('from') + n('height')],
      ];
    case 'arch': {
      const left = n('left');
      const bottom = n('bottom');
      const wide = n('width');
      const spring = bottom + n('spring_height');
      const rise = Math.min(n('rise'), wide / 2);
      if (!(wide > 0) || !(rise > 0)) return null;
      const r = (wide * wide) / (8 * rise) + rise / 2; // intersecting chords, Euclid III.35
      const half = Math.asin(Math.min(1, wide / 2 / r));
      return [
        [left, bottom],
        [left + wide, bottom],
        ...arcPoints(left + wide / 2, spring + rise - r, r, Math.PI / 2 - half, 2 * half),
      ];
    }
    default:
      return null;
  }
}

// Lengths of a form that a slider may move, least and most in mm.
export function sliders(form: string, width: number, height: number): { key: string; low: number; high: number }[] {
  switch (form) {
    case 'half_circle':
      return [
        { key: 'radius', low: 10, high: Math.min(width / 2, height) },
        { key: 'center_x', low: 0, high: width },
        { key: 'base_y', low: 0, high: height },
      ];
    case 'circle':
      return [
        { key: 'radius', low: 5, high: Math.min(width, height) / 2 },
        { key: 'center_x', low: 0, high: width },
        { key: 'center_y', low: 0, high: height },
      ];
    case 'band':
      return [
        { key: 'from', low: 0, high: height },
        { key: 'height', low: 5, high: height },
      ];
    case 'arch':
      return [
        { key: 'width', low: 20, high: width },
        { key: 'spring_height', low: 0, high: height },
        { key: 'rise', low: 5, high: Math.min(width / 2, height) },
        { key: 'left', low: 0, high: width },
      ];
    default:
      return [];
  }
}

// Nearest of thirds, middle and ends within reach, and what it was.
export function snap(value: number, high: number, reach: number): { value: number; at: '' | 'third' | 'middle' | 'edge' } {
  const marks: [number, 'third' | 'middle' | 'edge'][] = [
    [0, 'edge'],
    [high, 'edge'],
    [high / 2, 'middle'],
    [high / 3, 'third'],
    [(2 * high) / 3, 'third'],
  ];
  let best: { value: number; at: '' | 'third' | 'middle' | 'edge' } = { value, at: '' };
  let near = reach;
  for (const [mark, at] of marks) {
    if (Math.abs(mark - value) <= near) {
      near = Math.abs(mark - value);
      best = { value: mark, at };
    }
  }
  return best;
}
