// Every sentence of real plans that the page shows is in each sentence book: the examples, and jobs made by chance from
// what the job file knows (repeatable by seed). What is missing is listed.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readBook } from '../../build/book';
import { readHelps, readPlan } from '../../src/plan';
import { Book } from '../../src/words/book';
import { shownOf } from '../unit/shown';

const root = resolve(import.meta.dirname, '../../..');
const program = process.env.TACKCLOTH_BIN ?? join(root, 'build/tackcloth');
const shelf = join(root, 'catalog/words');
const JOBS = 20;

// What is wrong comes back as text on the error stream; the page gets the same words as JSON.
function ask(command: 'plan' | 'sooner', file: string): { json: any; error: string } {
  // Ends with 1 where a must-not stands, its plan whole all the same.
  const { stdout, stderr } = spawnSync(program, [command, '--json', file], { encoding: 'utf8', maxBuffer: 1 << 26 });
  return stdout.startsWith('{') ? { json: JSON.parse(stdout), error: '' } : { json: null, error: stderr };
}
// "FILE:1:2: what. Expected: … To mend: …", one to a line (src/units/result.h).
function refusals(error: string, file: string): string[] {
  return error
    .split('\n')
    .filter((line) => line.startsWith(file))
    .flatMap((line) => {
      const found = /^(?::\d+)*: (.*?)(?:\. Expected: (.*?))?(?:\. To mend: (.*?))?\.?$/.exec(line.slice(file.length));
      expect(found, line).toBeTruthy();
      return found!.slice(1).filter((part) => part !== undefined);
    });
}

// Numerical Recipes' linear congruential generator: enough for a mix of jobs.
function chance(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}
const TREATMENTS: [string, string[]][] = [
  ['clear', ['varnish_wiping', 'varnish_brushing', 'urethane_oil', 'clear_water', 'lacquer_nitro', 'aerosol_clear']],
  ['stain_and_clear', ['clear_water', 'varnish_wiping']],
  ['paint', ['paint_acrylic', 'paint_acrylic_urethane', 'paint_chalk', 'paint_mineral', 'paint_milk', 'enamel_alkyd']],
  ['paint_inside', ['paint_acrylic', 'enamel_alkyd']],
  ['oil', ['hardwax_oil', 'oil_boiled_linseed', 'oil_tung']],
  ['wax', ['wax_paste', 'wax_furniture']],
  ['keep', []],
];
const MATERIALS = [
  'material = "solid_wood", species = "oak_white"',
  'material = "solid_wood", species = "pine_eastern_white"',
  'material = "solid_wood", species = "mahogany"',
  'material = "solid_wood", species = "teak"',
  'material = "solid_wood", species = "maple_hard"',
  'material = "veneer", species = "walnut_black", veneer = "0.3 mm"',
  'material = "veneer", species = "walnut_black", veneer = "unknown"',
  'material = "laminate"',
  'material = "board"',
  'material = "metal"',
];
const EXISTING = ['bare', 'unknown', 'shellac', 'lacquer', 'varnish', 'oil', 'wax', 'paint_oil', 'paint_water'];
const DAMAGE = ['scratches', 'white rings', 'loose joint', 'gouge', 'wax', 'grease', 'smoke', 'open pores', 'water stain', 'rust'];
const STUFF = Object.values(Object.fromEntries(TREATMENTS)).flat();

function job(seed: number): string {
  const pick = chance(seed);
  const of = <T>(list: readonly T[]): T => list[pick(list.length)]!;
  const us = pick(4) === 0;
  let text = `schema = 1\nstart = 2027-${String(1 + pick(12)).padStart(2, '0')}-04T08:00\n[shop]\nname = "S"\nunits = "${us ? 'us' : 'metric'}"\ncurrency = "EUR"\nhourly_rate = "30"\n`;
  if (seed % 3 === 0) text += `weather_file = "${join(root, 'examples/spring-weather.csv')}"\n`.replaceAll('start = 2027', 'start = 2027');
  if (seed % 3 === 0) text = text.replace(/start = 2027-\d\d-04/, 'start = 2027-04-05');
  text += `[[shop.room]]\nid = "bench"\nvolume_m3 = ${20 + pick(60)}\nair_changes_per_h = ${of(['0.3', '0.7', '2'])}\n${pick(2) ? `fan_m3_h = ${50 + pick(400)}\n` : ''}resting_places = 3\nspray_places = 1\n`;
  text += `set_point = { temperature = "${of([6, 9, 12, 18, 21, 28])} C", humidity = "${of([35, 50, 65, 84])}%" }\n`;
  if (seed % 3 === 0) text += '[[shop.room]]\nid = "garage"\nvolume_m3 = 60\nresting_places = 2\nfollows_outdoors = { time_constant_h = 8, gain_c = 3 }\n';
  text += '[[shop.person]]\nid = "mara"\nname = "Mara"\nhours = { mon = ["08:00-12:00"], tue = ["08:00-12:00"], wed = ["08:00-18:00"], sat = ["08:00-16:00"] }\n';
  text += '[[shelf]]\nproduct = "mineral_spirits"\namount = "0.6 l"\nopened = 2021-11-02\n';
  for (let p = 0; p < 1 + pick(2); p += 1) {
    text += `[[piece]]\nid = "piece-${p}"\nname = "Chair of Dr. Hill ${p}"\nroom = "${seed % 3 === 0 && pick(2) ? 'garage' : 'bench'}"\n`;
    if (pick(2)) text += `year = ${1920 + pick(100)}\n`;
    const tested = pick(4);
    if (tested < 2) text += `lead_test = "${tested ? 'negative' : 'positive'}"\n`;
    if (pick(2)) text += 'due = 2027-04-09\n';
    for (let k = 0; k < 1 + pick(3); k += 1) {
      const material = of(MATERIALS);
      text += `[[piece.part]]\nid = "part-${k}"\nkind = "panel"\nwidth = "60 cm"\nheight = "40 cm"\ndepth = "20 mm"\nsubstrate = { ${material} }\n`;
      text += `existing = "${material.includes('metal') ? 'bare_metal' : material.includes('laminate') ? 'laminate' : of(EXISTING)}"\n`;
      if (pick(3) === 0) text += `damage = ["${of(DAMAGE)}", "${of(DAMAGE)}"]\n`;
      for (const flag of ['has_wiring', 'old_glue', 'stubborn_finish', 'grimy']) if (pick(4) === 0) text += `${flag} = true\n`;
      const [treatment, products] = material.includes('metal') ? (['metal_spray', ['aerosol_metal_paint']] as [string, string[]]) : of(TREATMENTS);
      text += `[[piece.part.zone]]\nid = "z"\nface = "all"\ntreatment = "${treatment}"\n`;
      if (products.length > 0 && pick(3)) text += `product = "${of(products)}"\n`;
      else if (products.length > 0 && pick(2)) text += `wanted = ["${of(STUFF)}", "${of(STUFF)}"]\n`;
      if (treatment.startsWith('paint')) text += `color = "${of(['lab(66 -15 3)', 'warm grey', '#8a5a3c'])}"\n`;
    }
  }
  return text;
}

describe.each(readdirSync(shelf).filter((f) => f.endsWith('.po')))('the book %s', (file) => {
  const book = new Book(readBook(join(shelf, file)), file.replace('.po', ''));
  // A name that swallowed half a sentence would pass as typed: no English may be left in what is said.
  const ENGLISH = /\b(?:the|waits|until|before|with|which|cannot|has|its|busy)\b/;
  const missing = (said: string[]) => said.filter((text) => ENGLISH.test(book.whole(text) ?? 'the'));
  let directory = '';
  beforeAll(() => {
    expect(existsSync(program), `${program} is not built; set TACKCLOTH_BIN`).toBe(true);
    directory = mkdtempSync(join(tmpdir(), 'tackcloth-sentences-'));
  });
  afterAll(() => rmSync(directory, { recursive: true, force: true }));

  it.each(readdirSync(join(root, 'examples')).filter((f) => f.endsWith('.toml')))('knows all of %s', (example) => {
    const { json, error } = ask('plan', join(root, 'examples', example));
    expect(error).toBe('');
    const said = shownOf(readPlan(json)!);
    expect(said.length).toBeGreaterThan(200);
    expect(missing(said)).toEqual([]);
    const helps = ask('sooner', join(root, 'examples', example));
    expect(helps.error).toBe('');
    const changes = readHelps(helps.json).list.flatMap((h) => [h.what, h.heed]).filter((t) => t !== '');
    expect(changes.length).toBeGreaterThan(0);
    expect(missing(changes)).toEqual([]);
  }, 240_000);

  it(`knows all of ${JOBS} jobs made by chance`, () => {
    const said = new Set<string>();
    let plans = 0;
    for (let seed = 1; seed <= JOBS; seed += 1) {
      const at = join(directory, `${seed}.toml`);
      writeFileSync(at, job(seed));
      const { json, error } = ask('plan', at);
      // Some cannot be dated: a cold or a damp room, and that is told.
      const told = json === null ? refusals(error, at) : shownOf(readPlan(json)!);
      expect(told.length, `job ${seed}: ${error}`).toBeGreaterThan(0);
      for (const text of told) said.add(text);
      plans += json === null ? 0 : 1;
    }
    expect(plans).toBeGreaterThan(JOBS / 2);
    expect(said.size).toBeGreaterThan(400);
    expect(missing([...said])).toEqual([]);
  }, 600_000);

  // What may be written wrong on the page's forms.
  it.each([
    ['no size', /width = "60 cm"\n/, ''],
    ['no unit', 'width = "60 cm"', 'width = "60"'],
    ['too long', 'width = "60 cm"', 'width = "90 m"'],
    ['no such face', 'face = "all"', 'face = "underneath"'],
    ['no such product', 'treatment = ', 'product = "varnish_wipping"\ntreatment = '],
    ['no such treatment', /treatment = "[a-z_]*"/, 'treatment = "shine"'],
    ['no room of that name', 'room = "bench"', 'room = "barn"'],
    ['hours the wrong way', '"08:00-16:00"', '"16:00-08:00"'],
    ['hours that overlap', '"08:00-16:00"', '"08:00-16:00", "15:00-17:00"'],
    ['no such word', 'depth = "20 mm"', 'depht = "20 mm"'],
    ['a rate that is none', 'hourly_rate = "30"', 'hourly_rate = "thirty"'],
    ['no zone left', 'face = "all"', 'face = "front"\nform = "circle"\ncenter_x = "1 cm"\ncenter_y = "1 cm"\nradius = "20 cm"'],
    ['a year that is none', /year = \d+/, 'year = "old"'],
    ['no existing finish of that name', /existing = "[a-z_]*"/, 'existing = "tar"'],
    ['a temperature without unit', /temperature = "\d+ C"/, 'temperature = "20"'],
  ])('says in the language what is wrong: %s', (_, right, wrong) => {
    const at = join(directory, 'wrong.toml');
    const text = job(2);
    expect(text.replace(right, wrong)).not.toBe(text);
    writeFileSync(at, text.replace(right, wrong));
    const { json, error } = ask('plan', at);
    expect(json).toBeNull();
    const said = refusals(error, at);
    expect(said.length).toBeGreaterThan(1);
    expect(missing(said)).toEqual([]);
  });
});
