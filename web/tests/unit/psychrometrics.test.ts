/// <reference types="node" />
// The engine's moist air against an independent library of the same handbook's equations (ASHRAE Fundamentals 2017,
// ch. 1), over 10,000 states. The engine answers through the command a shop uses for its logger.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
// @ts-expect-error the library has no types
import psychrolib from 'psychrolib';

const binary = resolve(process.env.TACKCLOTH_BIN ?? '../build/tackcloth');
const steps = (from: number, to: number, count: number) =>
  Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));

const states: [number, number, number][] = [];
for (const temp of steps(-15, 45, 25))
  for (const rh of steps(1, 100, 25)) for (const pressure of steps(70_000, 107_500, 16)) states.push([temp, rh, pressure]);

const columns = ['dew_point_c', 'wet_bulb_c', 'humidity_ratio', 'vapour_pressure_pa', 'enthalpy_j_kg', 'density_kg_m3'] as const;
type Row = Record<(typeof columns)[number] | 'temp_c' | 'rh_percent' | 'pressure_pa', number>;

let folder = '';
let rows: Row[] = [];
let theirs: Row[] = [];

beforeAll(() => {
  if (!existsSync(binary)) return; // every test below then fails and says so
  folder = mkdtempSync(join(tmpdir(), 'tackcloth-air-'));
  const file = join(folder, 'grid.csv');
  writeFileSync(file, 'temp_c,rh_percent,pressure_pa\n' + states.map((s) => s.join(',')).join('\n') + '\n');
  const asked = performance.now();
  const lines = execFileSync(binary, ['climate', '--readings', file, '--csv'], { encoding: 'utf8', maxBuffer: 1 << 26 })
    .trim()
    .split('\n')
    .map((line) => line.split(','));
  const done = performance.now();
  const names = lines[0]!;
  rows = lines.slice(1).map((line) => Object.fromEntries(names.map((name, i) => [name, Number(line[i])])) as Row);
  psychrolib.SetUnitSystem(psychrolib.SI);
  const began = performance.now();
  theirs = states.map(([temp_c, rh_percent, pressure_pa]) => {
    const rh = rh_percent / 100;
    const humidity_ratio = psychrolib.GetHumRatioFromRelHum(temp_c, rh, pressure_pa);
    return {
      temp_c,
      rh_percent,
      pressure_pa,
      humidity_ratio,
      dew_point_c: psychrolib.GetTDewPointFromRelHum(temp_c, rh),
      wet_bulb_c: psychrolib.GetTWetBulbFromRelHum(temp_c, rh, pressure_pa),
      vapour_pressure_pa: psychrolib.GetVapPresFromRelHum(temp_c, rh),
      enthalpy_j_kg: psychrolib.GetMoistAirEnthalpy(temp_c, humidity_ratio),
      density_kg_m3: psychrolib.GetMoistAirDensity(temp_c, humidity_ratio, pressure_pa)
    };
  });
  const ended = performance.now();
  console.info(
    `${states.length} states: the engine ${(done - asked).toFixed(0)} ms with starting, reading and writing; ` +
      `the library ${(ended - began).toFixed(0)} ms in memory`
  );
}, 60_000);

afterAll(() => {
  if (folder) rmSync(folder, { recursive: true });
});

const answered = () => {
  expect(existsSync(binary), `${binary} is not built; set TACKCLOTH_BIN`).toBe(true);
  expect(rows.length).toBe(states.length);
};

describe('moist air against the reference library, 10,000 states', () => {
  it('answers every state asked, in order', () => {
    answered();
    expect(states.length).toBe(10_000);
    rows.forEach((row, i) => {
      expect(row.temp_c).toBeCloseTo(states[i]![0], 6);
      expect(row.rh_percent).toBeCloseTo(states[i]![1], 6);
      expect(row.pressure_pa).toBeCloseTo(states[i]![2], 4);
    });
  });

  for (const column of ['dew_point_c', 'wet_bulb_c'] as const)
    it(`${column} to 0.05 K`, () => {
      answered();
      let worst = 0;
      let at = 0;
      rows.forEach((row, i) => {
        const miss = Math.abs(row[column] - theirs[i]![column]);
        if (!(miss <= worst)) [worst, at] = [miss, i];
      });
      console.info(`${column}: ${worst.toExponential(1)} K at worst`);
      expect(worst, `at ${states[at]}: ${rows[at]![column]} against ${theirs[at]![column]}`).toBeLessThanOrEqual(0.05);
    });

  for (const column of ['humidity_ratio', 'vapour_pressure_pa', 'density_kg_m3'] as const)
    it(`${column} to 0.1 %`, () => {
      answered();
      let worst = 0;
      let at = 0;
      rows.forEach((row, i) => {
        const miss = Math.abs(row[column] / theirs[i]![column] - 1);
        if (!(miss <= worst)) [worst, at] = [miss, i];
      });
      console.info(`${column}: ${(100 * worst).toExponential(1)} % at worst`);
      expect(worst, `at ${states[at]}: ${rows[at]![column]} against ${theirs[at]![column]}`).toBeLessThanOrEqual(0.001);
    });

  // Enthalpy passes through zero, where a share means nothing: 0.05 K of dry air is 50 J/kg.
  it('enthalpy_j_kg to 0.1 % or 0.05 K', () => {
    answered();
    rows.forEach((row, i) => {
      const other = theirs[i]!.enthalpy_j_kg;
      const miss = Math.abs(row.enthalpy_j_kg - other);
      if (!(miss <= Math.max(50, 0.001 * Math.abs(other)))) expect.fail(`at ${states[i]}: ${row.enthalpy_j_kg} against ${other}`);
    });
  });
});
