// The service against its OpenAPI document: the document against the official schema of OpenAPI 3.1 (npm
// @seriousme/openapi-schema-validator), every answer against the document (npm ajv, JSON Schema 2020-12).
import { spawn, type ChildProcess } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { Validator } from '@seriousme/openapi-schema-validator';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { withChosen } from '../../src/look/chosen';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = resolve(import.meta.dirname, '../../..');
const program = process.env.TACKCLOTH_BIN ?? join(root, 'build/tackcloth');
const document = JSON.parse(readFileSync(join(root, 'docs/openapi.json'), 'utf8'));
const jobSchema = JSON.parse(readFileSync(join(root, 'docs/job.schema.json'), 'utf8'));

const ajv = new Ajv2020({ strict: false, allErrors: true });
ajv.addSchema({ ...jobSchema, $id: 'job.schema.json' }).addSchema({ ...document, $id: 'openapi.json' });
const escape = (text: string) => text.replaceAll('~', '~0').replaceAll('/', '~1');

let server: ChildProcess;
let base = '';
let directory = '';

let lan = '';
let home = ''; // where the data files are, if not the program's own
async function serve(data: string, ...more: string[]): Promise<void> {
  server = spawn(program, ['serve', '--port', '0', '--data', data, '--json', ...more], { stdio: ['ignore', 'pipe', 'pipe'], env: { ...process.env, ...(home && { TACKCLOTH_HOME: home }) } });
  base = await new Promise((done, fail) => {
    let text = '';
    server.stdout!.on('data', (bytes) => {
      text += bytes;
      const found = /"address":"(http:[^"]+)\/"/.exec(text);
      lan = /"lan":"(http:[^"]+)\/"/.exec(text)?.[1] ?? '';
      if (found && text.includes('}')) done(found[1]!);
    });
    server.on('exit', (code) => fail(new Error(`serve ended with ${code}`)));
  });
}

// Asks, and holds the answer against what the document says of that path, method and status.
async function ask(method: 'GET' | 'POST', path: string, body?: unknown, template = path, headers: Record<string, string> = {}): Promise<{ status: number; json: any; headers: Headers }> {
  const response = await fetch(base + path, {
    method,
    headers: body === undefined ? headers : { 'Content-Type': 'application/json', ...headers },
    body: body === undefined ? undefined : typeof body === 'string' ? body : JSON.stringify(body),
  });
  const operation = document.paths[template]?.[method.toLowerCase()];
  expect(operation, `${method} ${template} is not in docs/openapi.json`).toBeTruthy();
  const said = operation.responses[response.status];
  expect(said, `${method} ${template}: status ${response.status} is not in docs/openapi.json`).toBeTruthy();
  const text = await response.text();
  if (response.status === 304) return { status: 304, json: null, headers: response.headers };
  const json = JSON.parse(text);
  const pointer = said.$ref
    ? `openapi.json${said.$ref}/content/application~1json/schema`
    : `openapi.json#/paths/${escape(template)}/${method.toLowerCase()}/responses/${response.status}/content/application~1json/schema`;
  const check = ajv.getSchema(pointer) ?? ajv.compile({ $ref: pointer });
  expect(check(json), `${method} ${path}: ${ajv.errorsText(check.errors)}`).toBe(true);
  return { status: response.status, json, headers: response.headers };
}

// The next plan for which `is` holds; the service makes it in the background.
async function plan(is: (plan: any) => boolean): Promise<any> {
  for (let k = 0; k < 300; k += 1) {
    const answer = await ask('GET', '/api/plan');
    if (answer.status === 200 && is(answer.json)) return answer.json;
    await new Promise((r) => setTimeout(r, 100));
  }
  throw new Error('no such plan came');
}
const change = (key: string, body: unknown) => ask('POST', '/api/job', { key, change: body });

it('is a valid OpenAPI 3.1 document', async () => {
  // The library looks up references inside the document only; those to the job's schema are followed by ajv below.
  const alone = JSON.parse(JSON.stringify(document).replaceAll(/"job\.schema\.json#[^"]*"/g, '"#/components/schemas/Instant"'));
  const read = await new Validator().validate(alone);
  expect(read.errors ?? []).toEqual([]);
  expect(read.valid).toBe(true);
});

describe('from an empty data file', () => {
  let chair: any;
  beforeAll(async () => {
    expect(existsSync(program), `${program} is not built; set TACKCLOTH_BIN`).toBe(true);
    directory = mkdtempSync(join(tmpdir(), 'tackcloth-api-'));
    await serve(join(directory, 'shop.db'));
  });
  afterAll(() => {
    server?.kill('SIGTERM');
    rmSync(directory, { recursive: true, force: true });
  });

  it('says that there is no plan, and what it assumes of the shop', async () => {
    expect((await ask('GET', '/api/plan')).status).toBe(404);
    const { json } = await ask('GET', '/api/job');
    expect(json.assumed).toBe(true);
    expect(json.job.piece).toBeUndefined();
    expect((await ask('GET', '/healthz')).json.plan).toBe(0);
    expect((await ask('GET', '/api/log')).json.entries).toEqual([]);
  });

  it('takes the shop, and has a plan without pieces', async () => {
    const { json } = await ask('GET', '/api/job');
    const shop = { ...json.job.shop, name: 'Bench <b>of</b> mine', hourly_rate: '31.50' };
    expect((await change('s1', { put: 'shop', body: shop, after: '' })).json.new).toBe(true);
    expect((await change('s1', { put: 'shop', body: shop, after: '' })).json.new).toBe(false);
    const made = await plan((p) => p.shop === shop.name);
    expect(made.pieces).toEqual([]);
    expect((await ask('GET', '/api/job')).json.assumed).toBe(false);
  });

  it('measures a piece that is not stored, and says what is wrong with it', async () => {
    const choices = (await ask('GET', '/api/choices')).json;
    const pattern = choices.patterns.find((p: any) => p.id === 'chair');
    chair = {
      id: 'chair',
      name: 'Chair',
      year: 'unknown',
      part: pattern.part.map((p: any) => ({ ...p, substrate: { material: 'solid_wood' }, existing: 'varnish', zone: [{ id: 'all', face: 'all', treatment: 'clear' }] })),
    };
    const good = (await ask('POST', '/api/measure', chair)).json;
    expect(good.problems).toEqual([]);
    // The seat: its upper face and four edges (its back is hidden), by hand.
    const seat = good.parts.find((p: any) => p.id === 'seat').zones[0].area_m2;
    expect(seat).toBeCloseTo(0.42 * 0.4 + 0.02 * 2 * (0.42 + 0.4), 9);
    expect(good.hazards.some((h: any) => /lead/i.test(h.reason))).toBe(true);
    const bad = (await ask('POST', '/api/measure', { ...chair, part: [{ ...chair.part[0], width: '42' }] })).json;
    expect(bad.problems[0].what).toMatch(/42/);
    expect((await ask('POST', '/api/measure', 'not json')).status).toBe(422);
    expect((await ask('GET', '/api/job')).json.job.piece).toBeUndefined();
  });

  it('takes a piece in and dates its schedule', async () => {
    await change('c1', { put: 'piece/chair', body: chair, after: '' });
    const made = await plan((p) => p.pieces.length === 1);
    expect(made.pieces[0].schedule.length).toBeGreaterThan(5);
    expect(Number(made.cost.labour)).toBeGreaterThan(0);
    const tag = (await ask('GET', '/api/plan')).headers.get('ETag')!;
    expect((await ask('GET', '/api/plan', undefined, '/api/plan', { 'If-None-Match': tag })).status).toBe(304);
  });

  it('stores an entry once and keeps what was done when the piece is changed', async () => {
    const before = await plan((p) => p.pieces.length === 1);
    const step = before.pieces[0].schedule[0];
    const entry = { key: 'e1', step: step.id, what: 'done', took_min: 25 };
    expect((await ask('POST', '/api/log', entry)).json.new).toBe(true);
    expect((await ask('POST', '/api/log', entry)).json.new).toBe(false);
    const { entries } = (await ask('GET', '/api/log')).json;
    expect(entries).toHaveLength(1);
    expect(entries[0].took_min).toBe(25);
    const changed = structuredClone(chair);
    changed.part.unshift({ id: 'arm', kind: 'rail', count: 2, length: '38 cm', height: '30 mm', depth: '40 mm', substrate: { material: 'solid_wood' }, existing: 'varnish', zone: [{ id: 'all', face: 'all', treatment: 'clear' }] });
    await change('c2', { put: 'piece/chair', body: changed, after: 'c1' });
    const after = await plan((p) => p.pieces[0].zones.some((z: any) => z.part === 'arm'));
    expect(after.pieces[0].schedule.filter((s: any) => s.done).map((s: any) => s.step)).toEqual([step.step]);
  });

  it('keeps both when two write at once, and lets one be chosen', async () => {
    const { json } = await ask('GET', '/api/job');
    const head = json.heads['piece/chair'];
    const mine = { ...json.job.piece[0], name: 'Mine' };
    const theirs = { ...json.job.piece[0], name: 'Theirs' };
    await change('m', { put: 'piece/chair', body: mine, after: head });
    await change('t', { put: 'piece/chair', body: theirs, after: head });
    let now = (await ask('GET', '/api/job')).json;
    expect(now.job.piece[0].name).toBe('Mine');
    expect(now.contested).toMatchObject([{ key: 't', chapter: 'piece/chair', body: { name: 'Theirs' } }]);
    await change('x', { choose: 't' });
    now = (await ask('GET', '/api/job')).json;
    expect(now.job.piece[0].name).toBe('Theirs');
    expect(now.contested).toEqual([]);
    await change('y', { take_back: 'x' });
    expect((await ask('GET', '/api/job')).json.job.piece[0].name).toBe('Mine');
    await change('z', { take_back: 't' });
    expect((await ask('GET', '/api/job')).json.contested).toEqual([]);
  });

  it('is taken apart by two at once, and tells what stands in the way back', async () => {
    const apart = async () => (await ask('GET', '/api/apart')).json.pieces.find((p: any) => p.id === 'chair');
    expect((await apart()).next_bag).toBe('A1');
    await change('a1', { piece: 'chair', taken_off: 'plate', set: { name: 'Plate', held_by: [{ what: 'screw', count: 2, size: '3 x 12' }], bag: 'A1' } });
    await change('a2', { piece: 'chair', taken_off: 'lamp', set: { name: 'Lamp', under: ['plate'], cable: [{ name: 'Ak1', from: 'lamp', to: 'switch' }] } });
    let now = await apart();
    expect(now.taken_off.map((r: any) => r.id)).toEqual(['plate', 'lamp']);
    expect(now.back.map((b: any) => [b.id, b.may])).toEqual([['lamp', true], ['plate', false]]);
    expect([now.next_bag, now.next_cable, now.wires]).toEqual(['A2', 'Ak2', true]);
    await change('a3', { piece: 'chair', taken_off: 'lamp', tick: 'on' });
    await change('a4', { piece: 'chair', taken_off: 'lamp', tick: 'Ak1/from' });
    now = await apart();
    expect(now.back[1].findings[0].reason).toContain('switch');
    await change('a5', { piece: 'chair', taken_off: 'lamp', tick: 'Ak1/to' });
    expect((await apart()).back[1]).toMatchObject({ id: 'plate', may: true });
    await change('a6', { take_back: 'a5' });
    expect((await apart()).back[1].may).toBe(false);
    expect((await apart()).changes.find((c: any) => c.key === 'a5').stands).toBe(false);
    // The piece may be changed by one who has seen nothing of it.
    const { json } = await ask('GET', '/api/job');
    const { taken_off: _, ...body } = json.job.piece[0];
    await change('a7', { put: 'piece/chair', body, after: json.heads['piece/chair'] });
    expect((await apart()).taken_off).toHaveLength(2);
    for (const bad of [
      { piece: 'chair', taken_off: 'ghost', tick: 'on' },
      { piece: 'chair', taken_off: 'x', set: { under: ['ghost'] } },
      { piece: 'chair', taken_off: 'plate', tick: 'Ak9/to' },
      { piece: 'chair', taken_off: 'x', set: { bag: 'a box' } },
    ]) {
      const refused = await ask('POST', '/api/job', { key: `bad${JSON.stringify(bad).length}`, change: bad });
      expect(refused.status, JSON.stringify(bad)).toBe(422);
      expect(refused.json.remedy).not.toBe('');
    }
    // What it was taken off for cannot be undone under it.
    expect((await ask('POST', '/api/job', { key: 'a8', change: { take_back: 'a1' } })).status).toBe(422);
    const labels = '/api/labels/{piece}';
    const sheets = await fetch(`${base}/api/labels/chair?paper=letter&to=${encodeURIComponent('http://127.0.0.1:8420/')}`);
    expect(sheets.headers.get('Content-Type')).toBe('application/pdf');
    expect((await ask('GET', '/api/labels/never', undefined, labels)).status).toBe(422);
    expect((await ask('GET', '/api/labels/chair?to=javascript:1', undefined, labels)).status).toBe(422);
  });

  it('tries a change without storing it', async () => {
    const { json } = await ask('GET', '/api/job');
    const body = structuredClone(json.job.piece[0]);
    for (const part of body.part) for (const zone of part.zone) if (zone.treatment === 'clear') zone.treatment = 'oil';
    const trial = await ask('POST', '/api/trial', { change: { put: 'piece/chair', body, after: json.heads['piece/chair'] ?? '' } });
    expect(trial.status).toBe(200);
    let answer = await ask('GET', `/api/trial/${trial.json.trial}`, undefined, '/api/trial/{trial}');
    for (let k = 0; k < 300 && answer.status === 202; k += 1) {
      await new Promise((r) => setTimeout(r, 100));
      answer = await ask('GET', `/api/trial/${trial.json.trial}`, undefined, '/api/trial/{trial}');
    }
    expect(answer.status).toBe(200);
    const [chair] = answer.json.pieces;
    // Not the finish: which evening it falls on depends on the day the test runs.
    expect(chair.after.total).not.toBe(chair.before.total);
    expect(chair.after.hours).not.toBe(chair.before.hours);
    expect((await ask('GET', '/api/job')).json.version).toBe(json.version);
    // What was tried comes true when it is applied.
    await change('t1', { put: 'piece/chair', body, after: json.heads['piece/chair'] });
    const applied = await plan((p) => p.cost.total === answer.json.cost.after);
    expect(applied.pieces[0].price.total).toBe(chair.after.total);
    await change('t2', { take_back: 't1' });
    expect((await ask('POST', '/api/trial', { change: { put: 'piece/chair', body: { ...body, part: [] }, after: '' } })).status).toBe(422);
    expect((await ask('POST', '/api/trial', { other: 1 })).status).toBe(422);
  }, 120_000);

  it('pins a step to an hour, says why not, and lets it go', async () => {
    const stepsOf = (p: any): any[] => p.pieces.flatMap((one: any) => one.schedule);
    // What was tried before has been taken back.
    const standing = await plan((p) => p.pieces.length === 1 && p.pieces[0].zones.some((z: any) => z.treatment === 'clear'));
    const open = stepsOf(standing).filter((s) => !s.done);
    const last = open.at(-1);
    const there = standing.people[0].hours.filter((h: any) => h.start > last.start).at(-1);
    expect(there, 'nobody is there after the last step').toBeTruthy();
    const start = there.start;
    const pin = (key: string, body: object) => ask('POST', '/api/pin', { key, ...body });
    const sent = await pin('p1', { step: last.id, start, seen: null });
    expect(sent.json).toMatchObject({ key: 'p1', new: true });
    expect((await pin('p1', { step: last.id, start, seen: null })).json).toMatchObject({ id: sent.json.id, new: false });
    const kept = await plan((p) => stepsOf(p).some((s) => s.pinned));
    const now = stepsOf(kept).find((s) => s.id === last.id);
    expect(now.start).toBe(start);
    expect(now.pinned).toEqual({ start, kept: true, why: '', next: null });
    expect(now.why_here).toContain('you pinned it');
    // Refused, with what to do instead.
    for (const [body, says] of [
      [{ step: last.id, start: `${start.slice(0, 10)}T03:00` }, 'not there'],
      [{ step: last.id, start: '2001-01-01T10:00' }, 'has passed'],
      [{ step: 'chair-99', start }, 'no step'],
      [{ step: stepsOf(kept).find((s) => s.done).id, start }, 'done already'],
      [{ step: last.id, start: 'soon' }, 'an hour cannot be read'],
      [{ step: last.id }, "'start' is missing"],
      [{ step: last.id, start, by: 'me' }, 'unknown field'],
    ] as const) {
      const refused = await pin(`no${JSON.stringify(body).length}`, body);
      expect(refused.status, JSON.stringify(body)).toBe(422);
      expect(`${refused.json.what} ${refused.json.expected}`).toContain(says);
      expect(refused.json.remedy).not.toBe('');
    }
    expect((await ask('POST', '/api/pin', '{')).status).toBe(400);
    expect((await change('p2', { pin: last.id, mark: { piece: 'chair' }, start: null })).status).toBe(422);
    // Two at once: whoever had not seen the pin that stands does not write over it; both are kept until one is chosen.
    await pin('p3', { step: last.id, start: null, seen: null });
    const page = (await ask('GET', '/api/job')).json;
    expect(page.contested).toMatchObject([{ key: 'p3', chapter: `pin/${last.id}`, body: { start: null } }]);
    expect(stepsOf((await ask('GET', '/api/plan')).json).find((s) => s.id === last.id).pinned.kept).toBe(true);
    await change('p4', { choose: 'p3' });
    const loose = await plan((p) => !stepsOf(p).some((s) => s.pinned));
    expect(stepsOf(loose).find((s) => s.id === last.id).start).toBe(last.start);
    expect((await ask('GET', '/api/job')).json.contested).toEqual([]);
    // Undone as any change.
    await change('p5', { take_back: 'p4' });
    await plan((p) => stepsOf(p).some((s) => s.pinned));
    await change('p6', { take_back: 'p3' });
    await change('p7', { take_back: 'p1' });
    await plan((p) => !stepsOf(p).some((s) => s.pinned));
  }, 120_000);

  it('keeps the shelf: counted, told again, refused, taken back', async () => {
    const line = async () => (await ask('GET', '/api/stock')).json.lines.find((one: any) => one.product === 'soap_wash');
    const tell = (key: string, body: object) => ask('POST', '/api/stock', { key, ...body });
    const count = { stock: 'counted', lines: [{ product: 'soap_wash', amount: 0.6 }] };
    const sent = await tell('shelf-1', count);
    expect(sent.json).toMatchObject({ key: 'shelf-1', new: true });
    expect((await tell('shelf-1', count)).json).toMatchObject({ id: sent.json.id, new: false });
    expect((await line()).on_shelf).toBe(0.6);
    await tell('shelf-2', { stock: 'came', lines: [{ product: 'soap_wash', amount: 1, packs: 2 }] });
    expect((await line()).on_shelf).toBe(2.6);
    for (const [body, says] of [
      [{ stock: 'counted', lines: [{ product: 'soap_wash', amount: -1 }] }, 'below zero'],
      [{ stock: 'counted', lines: [{ product: 'no_such', amount: 1 }] }, 'no product'],
      [{ stock: 'used', lines: [{ product: 'soap_wash', amount: 1 }] }, 'nothing that is known'],
      [{ stock: 'came', on: '2999-01-01', lines: [{ product: 'soap_wash', amount: 1 }] }, 'future'],
      [{ stock: 'came', lines: [] }, 'lines'],
    ] as const) {
      const refused = await tell(`no${JSON.stringify(body)}`.slice(0, 90), body);
      expect(refused.status, JSON.stringify(body)).toBe(422);
      expect(`${refused.json.what} ${refused.json.expected}`).toContain(says);
    }
    expect((await ask('POST', '/api/stock', '{')).status).toBe(400);
    // Not by the way of other changes, but taken back as they are.
    expect((await change('shelf-3', count)).status).toBe(422);
    await change('shelf-4', { take_back: 'shelf-2' });
    expect((await line()).on_shelf).toBe(0.6);
    expect((await ask('GET', '/api/stock')).json.told.map((one: any) => [one.key, one.stands])).toEqual([['shelf-1', true], ['shelf-2', false]]);
    await change('shelf-5', { take_back: 'shelf-1' });
  }, 60_000);

  it('refuses in words what cannot be', async () => {
    const refused = async (body: unknown) => {
      const answer = await ask('POST', '/api/job', body);
      expect(answer.status).toBeGreaterThanOrEqual(400);
      expect(answer.json.remedy).not.toBe('');
    };
    await refused('{');
    await refused({ key: 'r1' });
    await refused({ key: 'r2', change: { put: 'barn', body: {}, after: '' } });
    await refused({ key: 'r3', change: { put: 'piece/b', body: { id: 'b', part: [] }, after: '' } });
    await refused({ key: 'r4', change: { put: 'shop', body: { hourly_rate: '-3' }, after: 's1' } });
    await refused({ key: 'r5', change: { take_back: 'never' } });
    await refused({ key: 'r6', change: { choose: 'never' } });
    const plain = await fetch(`${base}/api/job`, { method: 'POST', body: '{}', headers: { 'Content-Type': 'text/plain' } });
    expect(plain.status).toBe(415);
    const foreign = await fetch(`${base}/api/job`, { method: 'POST', body: '{}', headers: { 'Content-Type': 'application/json', Origin: 'http://elsewhere.example' } });
    expect(foreign.status).toBe(403);
    expect((await ask('POST', '/api/log', { key: 'r7', step: 'chair-99', what: 'done' })).status).toBe(422);
  });

  it('answers what takes longer by and by', async () => {
    for (const [path, template] of [['/api/looks', '/api/looks'], ['/api/boards/chair', '/api/boards/{piece}'], ['/api/sooner', '/api/sooner']] as const) {
      let status = 202;
      for (let k = 0; k < 300 && status === 202; k += 1) {
        status = (await ask('GET', path, undefined, template)).status;
        if (status === 202) await new Promise((r) => setTimeout(r, 100));
      }
      expect(status, path).toBe(200);
    }
  }, 60_000);

  // The page puts the look into the piece by itself (src/look/chosen.ts); the program plans each look by its own rules
  // (look::with_look). What the look was said to cost before is what the piece costs after.
  it('keeps the look the owner chose', async () => {
    const boards = async (is: (looks: any[]) => boolean): Promise<any[]> => {
      for (let k = 0; k < 600; k += 1) {
        const answer = await ask('GET', '/api/boards/chair', undefined, '/api/boards/{piece}');
        if (answer.status === 200 && is(answer.json.looks)) return answer.json.looks;
        await new Promise((r) => setTimeout(r, 100));
      }
      throw new Error('no such boards came');
    };
    const standing = async () => {
      const page = (await ask('GET', '/api/job')).json;
      return { chair: page.job.piece.find((p: any) => p.id === 'chair'), after: page.heads['piece/chair'] ?? '' };
    };
    let { chair, after } = await standing();
    const seat = chair.part.find((p: any) => p.id === 'seat').zone[0];
    const zone = { part: 'seat', zone: seat.id };
    chair.look = [
      { id: 'green', name: 'Green seat', zone: [{ ...zone, treatment: 'paint', color: 'lab(50 -30 20)' }] },
      { id: 'plain', name: 'Waxed seat', zone: [{ ...zone, treatment: seat.treatment === 'wax' ? 'oil' : 'wax' }] },
    ];
    expect((await change('w1', { put: 'piece/chair', body: chair, after })).status).toBe(200);
    const before = await boards((looks) => looks.length === 3);
    expect(before.map((b) => b.chosen)).toEqual([false, false, false]);
    const said = before.find((b) => b.id === 'green');
    expect(said.price).not.toBe(before[0].price);
    ({ chair, after } = await standing());
    expect((await change('w2', { put: 'piece/chair', body: withChosen(chair, 'green', 'As planned before'), after })).status).toBe(200);
    const now = await boards((looks) => looks.length === 4);
    const cost = (b: any) => ({ price: b.price, hours: b.bench_hours });
    expect(now.filter((b) => b.chosen).map((b) => b.id)).toEqual(['green']);
    expect(cost(now[0])).toEqual(cost(said));
    expect(cost(now.find((b) => b.id === 'before'))).toEqual(cost(before[0]));
    // And back again, as any change.
    expect((await change('w3', { take_back: 'w2' })).status).toBe(200);
    expect((await change('w4', { take_back: 'w1' })).status).toBe(200);
  }, 120_000);

  it('lays out what is cut, better while it is asked, and gives it as files', async () => {
    const list = await ask('GET', '/api/cut/');
    expect(list.json.cuts).toEqual([]);
    const cut = { id: 'moss', name: 'Moss check', roll_width: '140 cm', price: '24.00', part: [{ id: 'seat', width: '60 cm', height: '50 cm', count: 4, piece: 'chair' }] };
    expect((await change('cut1', { put: 'cut', body: [{ ...cut, roll_width: '40 cm' }], after: '' })).status).toBe(422);
    expect((await change('cut2', { put: 'cut', body: [cut], after: '' })).json.new).toBe(true);
    const made = await plan((p) => p.purchases.some((one: any) => one.product === 'cut_moss'));
    expect(made.purchases.find((one: any) => one.product === 'cut_moss')).toMatchObject({ unit: 'm', total: '24.00' });
    expect((await ask('GET', '/api/cut/')).json.cuts[0]).toMatchObject({ id: 'moss', parts: 4 });
    const state = (await ask('GET', '/api/cut/moss', undefined, '/api/cut/{cut}')).json;
    expect(state.layout).toMatchObject({ height_mm: 1000, proven: true, buy_m: 1 });
    expect(state.layout.places).toHaveLength(4);
    expect((await ask('GET', '/api/cut/moss?stop', undefined, '/api/cut/{cut}')).json.trouble).toBeNull();
    for (const [kind, type, start] of [['pdf', 'application/pdf', '%PDF'], ['svg', 'image/svg+xml', '<?xml'], ['dxf', 'image/vnd.dxf', '']]) {
      const file = await fetch(`${base}/api/cut/moss.${kind}`);
      expect(file.headers.get('content-type')).toBe(type);
      expect((await file.text()).startsWith(start!)).toBe(true);
    }
    expect((await ask('GET', '/api/cut/never', undefined, '/api/cut/{cut}')).status).toBe(422);
    expect((await ask('GET', '/api/cut/moss.doc', undefined, '/api/cut/{cut}')).status).toBe(422);
    expect((await ask('GET', '/api/cut/moss?fast', undefined, '/api/cut/{cut}')).status).toBe(422);
  });

  it('opens the papers of a piece, at the price asked', async () => {
    const paper = '/api/paper/{piece}/{paper}';
    for (const name of ['job-sheet', 'quote', 'care-card', 'safety-sheet']) {
      const sheet = await fetch(`${base}/api/paper/chair/${name}.pdf?paper=letter`);
      expect(sheet.headers.get('content-type'), name).toBe('application/pdf');
      expect((await sheet.text()).startsWith('%PDF')).toBe(true);
    }
    expect((await fetch(`${base}/api/paper/chair/invoice.pdf?number=7&paid=20.00&market=480.00`)).status).toBe(200);
    // The bytes differ by the language; what is on the sheets is held in tests/sheet/language_test.cpp.
    const quote = async (query: string) => (await (await fetch(`${base}/api/paper/chair/quote.pdf?${query}`)).arrayBuffer()).byteLength;
    expect(await quote('language=de-CH')).not.toBe(await quote('language=en'));
    for (const wrong of ['chair/quote.pdf?language=xx', 'chair/quote.pdf?language=../words/de', 'chair/invoice.pdf', 'chair/portfolio.pdf', 'never/quote.pdf', 'chair/letter.pdf', 'chair/quote.pdf?market=much', 'chair/quote.pdf?market=9&earn=9', 'chair/quote.pdf?until=2001-01-01'])
      expect((await ask('GET', `/api/paper/${wrong}`, undefined, paper)).status, wrong).toBe(422);
    const offer = (await ask('GET', '/api/offer/chair?market=480.00', undefined, '/api/offer/{piece}')).json;
    expect(offer.offer.total).toBe('480.00');
    expect(offer.portfolio).toBe(false);
  });

  it('sets planned against told, and sums a year up', async () => {
    const told = async () => (await ask('GET', '/api/actual?piece=chair', undefined, '/api/actual')).json.pieces[0];
    const before = await told();
    expect(before.agreed).toBe(false);
    expect(before.materials_bought).toBeNull();
    expect(before.hours.steps).toBeGreaterThan(before.hours.done);
    // Of one step the time was told; of the kinds nobody told it is unknown, not 0.
    expect(before.hours.timed).toBe(1);
    expect(before.hours.took_hours).toBeGreaterThan(0);
    for (const kind of before.kinds) expect(kind.took_hours === null, kind.kind).toBe(kind.timed === 0);
    expect(before.kinds.some((k: any) => k.took_hours === null)).toBe(true);
    expect((await ask('GET', '/api/actual')).json.pieces).toHaveLength(1);
    expect((await ask('GET', '/api/actual?piece=never', undefined, '/api/actual')).status).toBe(422);
    expect((await ask('GET', '/api/actual?who=me', undefined, '/api/actual')).status).toBe(422);

    const page = (await ask('GET', '/api/job')).json;
    const now = page.job.piece.find((p: any) => p.id === 'chair');
    const bought = [{ what: 'oil, 1 l', amount: '21.50' }, { what: 'pads', amount: '3.05' }];
    await change('told-1', { put: 'piece/chair', body: { ...now, agreed: '480.00', bought }, after: page.heads['piece/chair'] });
    const after = await told();
    expect(after).toMatchObject({ agreed: true, materials_bought: '24.55' });
    expect(after.planned.total).toBe('480.00');
    expect(after.as_it_went.materials).toBe('24.55');
    await change('told-2', { take_back: 'told-1' });
    expect((await told()).agreed).toBe(false);

    const year = (await ask('GET', '/api/year?year=2001', undefined, '/api/year')).json;
    expect(year).toMatchObject({ year: 2001, pieces: [], missing: [] });
    expect(year.total.left_per_hour).toBeNull();
    expect((await ask('GET', '/api/year')).json.year).toBe(Number((await ask('GET', '/healthz')).json.now.slice(0, 4)));
    for (const wrong of ['year=never', 'year=99', 'year=2026&as=doc', 'when=2026']) expect((await ask('GET', `/api/year?${wrong}`, undefined, '/api/year')).status, wrong).toBe(422);
    const csv = await fetch(`${base}/api/year?year=2001&as=csv`);
    expect(csv.headers.get('content-type')).toBe('text/csv; charset=utf-8');
    expect(csv.headers.get('content-disposition')).toContain('year-2001.csv');
    expect((await csv.text()).split('\r\n')[0]).toMatch(/income/);
    const ods = new Uint8Array(await (await fetch(`${base}/api/year?year=2001&as=ods`)).arrayBuffer());
    expect(String.fromCharCode(...ods.slice(0, 2))).toBe('PK');
  });

  it('judges a piece before it is taken on', async () => {
    const asked = 'width=90cm&height=75%20cm&depth=16%20in&fronts=3&year=1936&existing=varnish&wanted=clear';
    const judged = (await ask('GET', `/api/worth?${asked}`, undefined, '/api/worth')).json;
    expect(judged.per_hour).toBeNull();
    for (const span of [judged.hours, judged.days]) expect(span.p10 <= span.p50 && span.p50 <= span.p90).toBe(true);
    expect(judged.hours.p10).toBeGreaterThan(1);
    expect(judged.readings).toContain('varnish');
    expect(judged.hazards.some((h: any) => /lead/i.test(h.reason)), 'of 1936: lead').toBe(true);
    const paid = (await ask('GET', `/api/worth?${asked}&market=480.00`, undefined, '/api/worth')).json;
    expect(Number(paid.per_hour.p10)).toBeLessThan(Number(paid.per_hour.p90));
    expect(judged.verdict).toBeNull();
    expect(['yes', 'no', 'maybe']).toContain(paid.verdict);
    expect({ ...paid, per_hour: null, verdict: null }).toEqual(judged);
    for (const wrong of ['width=90cm', `${asked}&wanted=gold`, `${asked}&fronts=61`, `${asked}&market=much`, `${asked}&shop=x`, asked.replace('90cm', '90km')])
      expect((await ask('GET', `/api/worth?${wrong}`, undefined, '/api/worth')).status, wrong).toBe(422);
  });

  it('keeps a reading of the air for every device', async () => {
    const page = (await ask('GET', '/api/job')).json;
    expect(page.readings).toEqual([]);
    const room = page.job.shop.room[0].id;
    const at = (await ask('GET', '/healthz')).json.now;
    const reading = { reading: room, at, temp_c: 18.5, rh: 0.52 };
    expect((await change('air-1', reading)).json.new).toBe(true);
    expect((await change('air-1', reading)).json.new).toBe(false);
    const heads = (await ask('GET', '/api/job')).json;
    expect(heads.readings).toMatchObject([{ room, temp_c: 18.5, rh: 0.52 }]);
    expect(heads.heads).toEqual(page.heads);
    expect((await change('air-2', { ...reading, reading: 'cellar' })).status).toBe(422);
    expect((await change('air-3', { ...reading, rh: 52 })).status).toBe(422);
    expect((await change('air-4', { ...reading, at: '2199-01-01T08:00' })).status).toBe(422);
    await change('air-5', { take_back: 'air-1' });
    expect((await ask('GET', '/api/job')).json.readings).toEqual([]);
  });

  it('makes a template, or says why not', async () => {
    const sheets = await fetch(`${base}/api/template/chair/seat/all?paper=a4`);
    expect(Object.keys(document.paths['/api/template/{piece}/{part}/{zone}'].get.responses)).toContain(String(sheets.status));
    if (sheets.status === 200) expect(sheets.headers.get('Content-Type')).toBe('application/pdf');
    const template = '/api/template/{piece}/{part}/{zone}';
    expect((await ask('GET', '/api/template/chair/seat/never', undefined, template)).status).toBe(422);
    expect((await ask('GET', '/api/template/chair/seat/all?paper=wall', undefined, template)).status).toBe(422);
  });

  it('has it all again after a restart, and a piece can be taken out', async () => {
    server.removeAllListeners('exit');
    const over = new Promise((done) => server.once('exit', done));
    server.kill('SIGKILL');
    await over;
    await serve(join(directory, 'shop.db'));
    const { json } = await ask('GET', '/api/job');
    expect(json.job.piece[0].name).toBe('Mine');
    await change('out', { put: 'piece/chair', body: null, after: json.heads['piece/chair'] });
    const made = await plan((p) => p.pieces.length === 0);
    expect(made.findings).toEqual([]);
    await change('back', { take_back: 'out' });
    const again = await plan((p) => p.pieces.length === 1);
    expect(again.pieces[0].schedule.some((s: any) => s.done)).toBe(true);
  }, 60_000);
});

// Ends the one before, so that a failed check leaves no server behind.
async function stop(): Promise<void> {
  server.removeAllListeners('exit');
  const over = new Promise((done) => server.once('exit', done));
  server.kill('SIGTERM');
  await over;
}
async function asPhone(method: 'GET' | 'POST', path: string, cookie = '', body?: unknown): Promise<{ status: number; json: any; cookie: string; text: string }> {
  const response = await fetch(lan + path, {
    method,
    headers: { ...(body === undefined ? {} : { 'Content-Type': 'application/json' }), ...(cookie ? { Cookie: cookie } : {}) },
    body: body === undefined ? undefined : JSON.stringify(body),
  });
  const text = await response.text();
  if (path === '/api/pair') {
    const said = document.paths[path].post.responses[response.status];
    const pointer = said.$ref ? `openapi.json${said.$ref}/content/application~1json/schema` : `openapi.json#/paths/~1api~1pair/post/responses/200/content/application~1json/schema`;
    const check = ajv.getSchema(pointer) ?? ajv.compile({ $ref: pointer });
    expect(check(JSON.parse(text)), ajv.errorsText(check.errors)).toBe(true);
  }
  return { status: response.status, json: text.startsWith('{') ? JSON.parse(text) : null, cookie: response.headers.get('Set-Cookie')?.split(';')[0] ?? '', text };
}

describe('a telephone on the local network', () => {
  beforeAll(async () => {
    directory = mkdtempSync(join(tmpdir(), 'tackcloth-api-'));
    await serve(join(directory, 'shop.db'), '--lan', '127.0.0.2');
  });
  afterAll(async () => {
    await stop();
    rmSync(directory, { recursive: true, force: true });
  });

  it('is let in by a code, and out again', async () => {
    expect(lan).toMatch(/^http:\/\/127\.0\.0\.2:\d+$/);
    for (const path of ['/api/job', '/api/log', '/healthz', '/api/everything']) expect((await asPhone('GET', path)).status, path).toBe(401);
    let now = (await ask('GET', '/api/pairing')).json;
    expect(now).toMatchObject({ address: `${lan}/`, state: 'open', tries_left: 5, phones: [] });
    expect((await asPhone('POST', '/api/pair', '', { code: now.code === '000000' ? '111111' : '000000', name: 'Bench' })).status).toBe(401);
    now = (await ask('POST', '/api/pairing/code', {})).json;
    expect(now.tries_left).toBe(5);
    expect((await fetch(`${base}/api/pairing/picture`)).headers.get('Content-Type')).toBe('image/svg+xml');
    const paired = await asPhone('POST', '/api/pair', '', { code: now.code, name: 'Bench' });
    expect(paired.status).toBe(200);
    expect((await asPhone('GET', '/api/job', paired.cookie)).json.assumed).toBe(true);
    expect((await asPhone('GET', '/api/pairing', paired.cookie)).status).toBe(403);
    now = (await ask('GET', '/api/pairing')).json;
    expect(now).toMatchObject({ state: 'used', code: '', phones: [{ name: 'Bench' }] });
    expect((await ask('POST', '/api/pairing/forget', { id: 99 })).status).toBe(422);
    expect((await ask('POST', '/api/pairing/forget', { id: now.phones[0].id })).json.phones).toEqual([]);
    expect((await asPhone('GET', '/api/job', paired.cookie)).status).toBe(401);
    expect((await ask('GET', '/api/pairing/picture')).status).toBe(404);
  });
});

describe('everything as one file', () => {
  beforeAll(() => {
    directory = mkdtempSync(join(tmpdir(), 'tackcloth-api-'));
  });
  afterAll(async () => {
    await stop();
    rmSync(directory, { recursive: true, force: true });
  });
  const send = async (bytes: Uint8Array, from: number, to: number, size = bytes.length) => {
    const response = await fetch(`${base}/api/everything?size=${size}&offset=${from}`, { method: 'POST', headers: { 'Content-Type': 'application/octet-stream' }, body: bytes.slice(from, to) });
    const json: any = await response.json();
    const said = document.paths['/api/everything'].post.responses[response.status];
    expect(said, String(response.status)).toBeTruthy();
    const pointer = said.$ref ? `openapi.json${said.$ref}/content/application~1json/schema` : `openapi.json#/paths/~1api~1everything/post/responses/200/content/application~1json/schema`;
    const check = ajv.getSchema(pointer) ?? ajv.compile({ $ref: pointer });
    expect(check(json), ajv.errorsText(check.errors)).toBe(true);
    return { status: response.status, json };
  };

  it('goes out, and comes back into an empty store only', async () => {
    await serve(join(directory, 'one.db'));
    const { json } = await ask('GET', '/api/job');
    await change('s1', { put: 'shop', body: { ...json.job.shop, name: 'Kept shop' }, after: '' });
    await plan((p) => p.shop === 'Kept shop');
    const saved = await fetch(`${base}/api/everything`);
    expect(saved.status).toBe(200);
    expect(saved.headers.get('Content-Type')).toBe('application/gzip');
    expect(saved.headers.get('Content-Disposition')).toMatch(/^attachment; filename="tackcloth-everything-\d{4}-\d\d-\d\d\.tar\.gz"$/);
    const bytes = new Uint8Array(await saved.arrayBuffer());
    const full = await send(bytes, 0, bytes.length);
    expect(full.status).toBe(422);
    expect(full.json.what).toContain('something in this store already');

    await stop();
    await serve(join(directory, 'two.db'));
    const spoilt = bytes.slice();
    spoilt[spoilt.length >> 1]! ^= 0xff;
    expect((await send(spoilt, 0, spoilt.length)).status).toBe(422);
    expect((await ask('GET', '/api/job')).json.assumed).toBe(true);
    const half = bytes.length >> 1;
    expect((await send(bytes, 0, half)).json).toEqual({ size: bytes.length, have: half, brought_back: false });
    expect((await send(bytes, half + 1, bytes.length)).status).toBe(409);
    expect((await send(bytes, half, bytes.length)).json.brought_back).toBe(true);
    await plan((p) => p.shop === 'Kept shop');
    expect((await change('s1', { put: 'shop', body: {}, after: '' })).json.new, 'its key is there').toBe(false);
    expect((await ask('POST', '/api/everything', undefined, '/api/everything')).status).toBe(415);
  }, 60_000);
});

describe('the data files of the catalogue', () => {
  beforeAll(async () => {
    directory = mkdtempSync(join(tmpdir(), 'tackcloth-data-'));
    cpSync(join(root, 'catalog'), join(directory, 'catalog'), { recursive: true });
    home = directory;
    await serve(join(directory, 'shop.db'));
  });
  afterAll(async () => {
    await stop();
    home = '';
    rmSync(directory, { recursive: true, force: true });
  });

  it('are read anew once one has changed, and a mistake in one is told until it is mended', async () => {
    const path = join(directory, 'catalog/species.toml');
    const before = readFileSync(path, 'utf8');
    let minute = Math.floor(Date.now() / 60_000);
    const write = (text: string) => {
      writeFileSync(path, text);
      utimesSync(path, (minute += 1) * 60, minute * 60);
    };
    const names = async () => (await ask('GET', '/api/choices')).json.species.map((one: any) => one.name);
    expect(await names()).toContain('Red alder');
    write(before.replace('name = "Red alder"', 'name = "Our alder"'));
    expect(await names()).toContain('Our alder');
    expect(await names()).not.toContain('Red alder');
    write(before.replace('name = "Red alder"', 'name = Red alder'));
    for (const path of ['/api/choices', '/api/choices', '/api/apart']) {
      const broken = await fetch(base + path);
      expect(broken.status, path).toBe(500);
      expect((await broken.json()).what).toBeTruthy();
    }
    expect((await ask('GET', '/healthz')).status).toBe(200);
    write(before);
    expect(await names()).toContain('Red alder');
  });
});
