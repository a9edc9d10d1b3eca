// The job as the service tells it (docs/service.md, docs/job.schema.json), and how a new piece begins.
export interface Substrate {
  material: string;
  species?: string;
  veneer?: string;
}
export interface Zone {
  id: string;
  face: string;
  treatment: string;
  color?: string;
  product?: string;
  [key: string]: unknown;
}
export interface Part {
  id: string;
  kind: string;
  count?: number;
  substrate?: Substrate;
  existing?: string;
  zone?: Zone[];
  [key: string]: unknown;
}
export interface Piece {
  id: string;
  name?: string;
  owner?: string;
  year?: number | 'unknown';
  due?: string;
  arrives?: string;
  room?: string;
  part: Part[];
  [key: string]: unknown;
}
export interface Room {
  id: string;
  volume_m3: number;
  set_point?: { temperature: string; humidity: string; air_speed?: string };
  follows_outdoors?: Record<string, unknown>;
  [key: string]: unknown;
}
export interface Person {
  id: string;
  name?: string;
  hours?: Record<string, string[]>;
  exception?: { day: string; hours: string[] }[];
}
export interface ShopData {
  name?: string;
  units?: 'metric' | 'us';
  currency?: string;
  hourly_rate: string;
  weather_file?: string;
  outdoors?: { day: string; low: string; high: string; humidity: string }[];
  own_pace?: boolean; // left out: plan at the pace the log has taught
  room: Room[];
  person: Person[];
  [key: string]: unknown;
}
export interface ShelfItem {
  product: string;
  amount: string | number;
  bought?: string;
  opened?: string;
}
export interface Contested {
  key: string;
  when: string;
  chapter: string;
  body: Record<string, unknown> | null;
}
export interface StoredStep {
  key: string;
  when: string;
  chapter: string;
  gone: boolean;
  takes_back: string;
  chooses: string;
  stands: boolean;
  contested: boolean;
}
export interface JobPage {
  version: number;
  assumed: boolean; // nothing about the shop has been said yet
  job: { shop: ShopData; shelf?: ShelfItem[]; piece?: Piece[]; cut?: unknown[] };
  heads: Record<string, string>;
  contested: Contested[];
  changes: StoredStep[];
  readings?: { room: string; at: string; temp_c: number; rh: number }[]; // missing in an answer kept from before
}
export interface Choices {
  kinds: { kind: string; sizes: string[]; faces: string[] }[];
  materials: string[];
  existing: string[];
  treatments: string[];
  species: { id: string; name: string }[];
  products: { id: string; name: string; role: string; unit: string }[];
  patterns: { id: string; name: string; part: Part[] }[];
}
export interface Measured {
  area_m2: number;
  parts: { id: string; count: number; faces: { face: string; area_m2: number; hidden: boolean }[]; zones: { id: string; area_m2: number }[] }[];
  hazards: { rule: string; severity: string; reason: string; mend: string }[];
  problems: { what: string; expected: string; remedy: string }[];
}

const isObject = (x: unknown): x is Record<string, unknown> => typeof x === 'object' && x !== null && !Array.isArray(x);

export function readJobPage(json: unknown): JobPage | null {
  if (!isObject(json) || !isObject(json.job) || !isObject(json.job.shop) || !isObject(json.heads)) return null;
  if (!Array.isArray(json.contested) || !Array.isArray(json.changes)) return null;
  return json as unknown as JobPage;
}
export function readChoices(json: unknown): Choices | null {
  if (!isObject(json)) return null;
  for (const list of ['kinds', 'materials', 'existing', 'treatments', 'species', 'products', 'patterns'])
    if (!Array.isArray(json[list])) return null;
  return json as unknown as Choices;
}
export function readMeasured(json: unknown): Measured | null {
  if (!isObject(json) || !Array.isArray(json.parts) || !Array.isArray(json.problems) || !Array.isArray(json.hazards)) return null;
  return json as unknown as Measured;
}

// Small letters and digits; never a number at the end after a dash, since that is how steps are counted (chair-07).
export function idFor(name: string, taken: string[]): string {
  const plain = name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/(-\d+)+$/, '')
    .replace(/^-+|-+$/g, '')
    .slice(0, 30);
  const base = plain || 'piece';
  if (!taken.includes(base)) return base;
  for (let k = 0; ; k += 1) {
    const letters = k < 25 ? String.fromCharCode(98 + k) : `${String.fromCharCode(97 + ((Math.floor(k / 25) - 1) % 26))}${String.fromCharCode(98 + (k % 25))}`;
    if (!taken.includes(`${base}-${letters}`)) return `${base}-${letters}`;
  }
}

const WOODEN = (kind: string) => kind !== 'hardware' && kind !== 'fabric_panel';

export interface Answers {
  material: string;
  species: string;
  existing: string;
  treatment: string;
  color: string;
}

// The answers given for the piece as a whole, written into its parts: what a part says for itself already stays.
export function answered(part: Part, a: Answers): Part {
  const wooden = WOODEN(part.kind);
  const substrate: Substrate = wooden
    ? { material: a.material, ...(a.species && (a.material === 'solid_wood' || a.material === 'veneer') ? { species: a.species } : {}) }
    : { material: part.kind === 'hardware' ? 'metal' : 'fabric' };
  const treatment = wooden ? a.treatment : part.kind === 'hardware' ? 'keep' : 'fabric';
  const zone: Zone = { id: 'all', face: 'all', treatment };
  if (a.color && ['paint', 'stain_and_clear'].includes(treatment)) zone.color = a.color;
  return {
    ...part,
    substrate,
    existing: wooden ? a.existing : part.kind === 'hardware' ? 'bare_metal' : 'bare',
    ...(part.kind === 'fabric_panel' ? { grimy: false, sand: false } : {}),
    zone: [zone],
  };
}

// What differs between two versions, for the one who has to choose: paths of keys, at most `most`.
export function differences(a: unknown, b: unknown, most = 12, path = ''): string[] {
  if (JSON.stringify(a) === JSON.stringify(b)) return [];
  if (isObject(a) && isObject(b)) {
    const keys = [...new Set([...Object.keys(a), ...Object.keys(b)])];
    return keys.flatMap((k) => differences(a[k], b[k], most, path ? `${path} ${k}` : k)).slice(0, most);
  }
  if (Array.isArray(a) && Array.isArray(b) && a.length === b.length)
    return a.flatMap((item, k) => differences(item, b[k], most, `${path} ${(isObject(item) && typeof item.id === 'string' && item.id) || k + 1}`)).slice(0, most);
  const told = (x: unknown) => (x === undefined ? '–' : typeof x === 'object' ? '…' : String(x));
  return [`${path}: ${told(a)} / ${told(b)}`];
}
