// A look that the owner chose, put into the piece as it is written (docs/job-file.md). The same rules as look::with_look
// (src/look/look.cpp): another treatment is another build-up, so what was asked for by name no longer fits.
type Raw = Record<string, unknown>;
const rows = (v: unknown): Raw[] => (Array.isArray(v) ? (v as Raw[]) : []);
const MOST_LOOKS = 12;

// The piece with the look in its zones. What these zones were before becomes a look of its own, named `before`, so that
// it can still be set beside the others. The piece itself is not touched.
export function withChosen<T extends Raw>(piece: T, id: string, before: string): T {
  const out = structuredClone(piece) as Raw;
  const look = rows(out.look).find((l) => l.id === id);
  if (!look) return out as T;
  const was: Raw[] = [];
  for (const change of rows(look.zone)) {
    const part = rows(out.part).find((p) => p.id === change.part);
    const zone = rows(part?.zone).find((z) => z.id === change.zone);
    if (!zone) continue;
    const kept: Raw = { part: change.part, zone: change.zone, treatment: zone.treatment };
    for (const key of ['product', 'color']) if (zone[key] !== undefined) kept[key] = zone[key];
    was.push(kept);
    if (change.treatment) {
      zone.treatment = change.treatment;
      for (const key of ['product', 'wanted', 'coats', ...(change.color ? [] : ['color'])]) delete zone[key];
      if (change.treatment !== 'fabric') for (const key of ['swatch', 'repeat']) delete zone[key];
    }
    if (change.product) {
      zone.product = change.product;
      delete zone.wanted;
    }
    if (change.color) zone.color = change.color;
  }
  const looks = rows(out.look);
  if (was.length > 0 && looks.length < MOST_LOOKS && !looks.some((l) => l.id === 'before')) looks.push({ id: 'before', name: before, zone: was });
  out.chosen_look = id;
  return out as T;
}
