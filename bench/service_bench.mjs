// The service under load: `node bench/service_bench.mjs [--streams 500] [--rate 200] [--seconds 10] [--busy] [--json]`.
// Starts build/tackcloth with the example, opens event streams, then reads at a fixed rate on loopback. With --busy papers,
// offers, the year and everything as one file are asked for meanwhile, and steps pinned and let go (each has the plan made
// anew), all without a pause.
// Latency is counted from the moment a request was due, so that a stalled service is not let off (coordinated omission;
// Tene, "How NOT to Measure Latency", 2013). Beside it the same rate against a bare HTTP server of Node in the same run.
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import http from 'node:http';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

const option = (name, otherwise) => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? otherwise : Number(process.argv[at + 1]);
};
const streams = option('streams', 500);
const rate_asked = option('rate', 200);
const seconds = option('seconds', 10);
const root = resolve(import.meta.dirname, '..');
const work = mkdtempSync(join(tmpdir(), 'tackcloth-bench-'));

const program = process.env.TACKCLOTH_BIN ?? join(root, 'build/tackcloth');
const server = spawn(program, ['serve', '--port', '0', '--data', join(work, 'b.db'), '--job', join(root, 'examples/spring.toml'), '--json'], { stdio: ['ignore', 'pipe', 'inherit'] });
const base = await new Promise((done, fail) => {
  server.stdout.on('data', (d) => {
    const found = /"address":"(http:[^"]+)\/"/.exec(String(d));
    if (found) done(found[1]);
  });
  server.on('exit', () => fail(new Error('serve ended')));
});
const resident = () => Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${server.pid}/status`, 'utf8'))[1]) / 1024;

const agent = new http.Agent({ keepAlive: true, maxSockets: 32 });
function get(url, headers = {}) {
  return new Promise((done, fail) => {
    http
      .get(url, { agent, headers }, (answer) => {
        answer.resume();
        answer.on('end', () => done(answer.statusCode));
      })
      .on('error', fail);
  });
}
async function load(url, rate = rate_asked) {
  const taken = [];
  const begun = performance.now();
  const waiting = [];
  for (let k = 0; k < rate * seconds; k += 1) {
    const due = begun + (1000 * k) / rate;
    const wait = due - performance.now();
    if (wait > 1) await new Promise((r) => setTimeout(r, wait));
    waiting.push(get(url).then((status) => (status === 200 ? taken.push(performance.now() - due) : taken.push(Infinity))));
  }
  await Promise.all(waiting);
  taken.sort((a, b) => a - b);
  const at = (share) => taken[Math.min(taken.length - 1, Math.floor(share * taken.length))];
  return { p50: at(0.5), p99: at(0.99), worst: taken.at(-1), failed: taken.filter((t) => t === Infinity).length };
}

let busy = process.argv.includes('--busy');
const made = {};
async function over_and_over(name, ask) {
  made[name] = { made: 0, other: 0 };
  while (busy) {
    const status = await ask();
    made[name][status === 200 ? 'made' : 'other'] += 1;
  }
}
function post(url, body) {
  return new Promise((done, fail) => {
    const headers = { 'Content-Type': 'application/json' };
    http
      .request(url, { method: 'POST', agent, headers }, (answer) => {
        answer.resume();
        answer.on('end', () => done(answer.statusCode));
      })
      .on('error', fail)
      .end(JSON.stringify(body));
  });
}
// The plan as JSON: what there is to ask for.
const first = await (await fetch(`${base}/api/plan`)).json();
const piece = first.pieces[0].id;
const step = first.pieces[0].schedule.at(-1);
let pins = 0;
const before = resident();
const background = [];
const papers = ['job-sheet', 'quote', 'care-card', 'safety-sheet', 'portfolio'];
if (busy) {
  let paper = 0;
  background.push(
    over_and_over('papers', () => get(`${base}/api/paper/${piece}/${papers[(paper += 1) % papers.length]}.pdf`)),
    over_and_over('offers and the year', () => get((pins + paper) % 2 ? `${base}/api/offer/${piece}` : `${base}/api/year?year=2026`)),
    over_and_over('everything', () => get(`${base}/api/everything`)),
    over_and_over('pins', () => post(`${base}/api/pin`, { key: `bench-${(pins += 1)}`, step: step.id, start: pins % 2 ? step.start : null })),
  );
}
const held = [];
for (let k = 0; k < streams; k += 1)
  held.push(
    await new Promise((done, fail) => {
      http.get(`${base}/api/events`, { agent: false }, (answer) => {
        answer.once('data', () => done(answer));
        if (answer.statusCode !== 200) fail(new Error(`stream ${k}: ${answer.statusCode}`));
      }).on('error', fail);
    }),
  );
const after = resident();
const plan = await load(`${base}/api/plan`);
const log = await load(`${base}/api/log`);
const choices = await load(`${base}/api/choices`);
const apart = await load(`${base}/api/apart`, rate_asked / 10); // asked when its view is opened
busy = false;
await Promise.all(background);
const at_most = Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${server.pid}/status`, 'utf8'))[1]) / 1024;
const bare = http.createServer((_, answer) => answer.end('{}'));
await new Promise((r) => bare.listen(0, '127.0.0.1', r));
const peer = await load(`http://127.0.0.1:${bare.address().port}/`);
const result = {
  streams: held.length,
  resident_mib_without: before,
  resident_mib_with: after,
  resident_mib_at_most: at_most,
  made_meanwhile: made,
  rate_per_s: rate_asked,
  plan_ms: plan,
  log_ms: log,
  choices_ms: choices,
  apart_ms: apart,
  bare_node_ms: peer,
};
if (process.argv.includes('--json')) console.log(JSON.stringify(result));
else {
  console.log(`${held.length} event streams: ${before.toFixed(0)} -> ${after.toFixed(0)} MiB resident, ${at_most.toFixed(0)} at most by the end`);
  for (const [name, n] of Object.entries(made)) console.log(`meanwhile ${name}: ${n.made} made, ${n.other} answered otherwise`);
  for (const [name, r] of [['GET /api/plan', plan], ['GET /api/log', log], ['GET /api/choices', choices], [`GET /api/apart (at ${rate_asked / 10}/s)`, apart], ['a bare Node server', peer]])
    console.log(`${name}: p50 ${r.p50.toFixed(2)} ms, p99 ${r.p99.toFixed(2)} ms, worst ${r.worst.toFixed(2)} ms, failed ${r.failed}`);
}
server.kill('SIGTERM');
rmSync(work, { recursive: true, force: true });
process.exit(0);
