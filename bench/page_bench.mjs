// The page with many pieces: `node bench/page_bench.mjs [--pieces 40] [--json]`. The example's pieces, copied under new
// names and promised a week apart, are served; headless Chromium taps through the page. From a tap to what it
// changed being on the screen: Event Timing (W3C) durations, which the browser rounds to 8 ms. Phone and desk sizes.
import { spawn } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

const root = resolve(import.meta.dirname, '..');
const { chromium } = createRequire(join(root, 'web/package.json'))('playwright-core');
const at = process.argv.indexOf('--pieces');
const pieces = at < 0 ? 40 : Number(process.argv[at + 1]);

// The example's job with its pieces copied until there are enough; photos and looks only with the first of each.
function manyPieces(text, count) {
  const [shop, ...blocks] = text.split(/^(?=\[\[piece\]\]$)/m);
  const later = (date, weeks) => new Date(Date.parse(`${date}T00:00:00Z`) + weeks * 7 * 86_400_000).toISOString().slice(0, 10);
  // Evenings do not carry so many: both are there all day, with room to put things down.
  const day = '["08:00-12:00", "12:30-18:30"]';
  const week = `hours = { ${['mon', 'tue', 'wed', 'thu', 'fri', 'sat'].map((d) => `${d} = ${day}`).join(', ')} }`;
  const out = [shop.replace(/^hours = \{.*\}$/gm, week).replace(/^resting_places = (\d+)$/gm, (_, n) => `resting_places = ${4 * n}`)];
  for (let n = 0; n < count; n += 1) {
    const turn = Math.floor(n / blocks.length);
    let block = blocks[n % blocks.length];
    if (turn > 0) {
      block = block
        .split(/^(?=\[\[)/m)
        .filter((part) => !/^\[\[piece\.(photo|look)/.test(part))
        .join('')
        .replace(/^id = "([a-z-]+)"/m, `id = "$1-${turn}"`)
        .replace(/^name = "([^"]+)"/m, `name = "$1, number ${turn + 1}"`)
        .replace(/^(due|arrives) = (\d{4}-\d\d-\d\d)/gm, (_, key, date) => `${key} = ${later(date, turn)}`);
    }
    out.push(block);
  }
  return out.join('');
}

const work = mkdtempSync(join(tmpdir(), 'tackcloth-page-'));
cpSync(join(root, 'examples'), work, { recursive: true });
writeFileSync(join(work, 'many.toml'), manyPieces(readFileSync(join(root, 'examples/spring.toml'), 'utf8'), pieces));
const server = spawn(join(root, 'build/tackcloth'), ['serve', '--port', '0', '--data', join(work, 'b.db'), '--job', join(work, 'many.toml'), '--json'], { stdio: ['ignore', 'pipe', 'inherit'] });
const url = await new Promise((done, fail) => {
  server.stdout.on('data', (d) => {
    const found = /"address":"(http:[^"]+)"/.exec(String(d));
    if (found) done(found[1]);
  });
  server.on('exit', () => fail(new Error('serve ended')));
});

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run'] });
const rows = [];
for (const [size, viewport] of Object.entries({ phone: { width: 360, height: 740 }, desk: { width: 1280, height: 800 } })) {
  const page = await (await browser.newContext({ viewport })).newPage();
  const from = performance.now();
  await page.goto(url);
  await page.waitForSelector('#now .nexts, #now .big', { timeout: 60_000 });
  const shown = performance.now() - from;
  await page.evaluate(() => {
    window.taps = [];
    new PerformanceObserver((list) => window.taps.push(...list.getEntries().map((e) => ({ kind: e.name, ms: e.duration })))).observe({ type: 'event', durationThreshold: 16 });
    // The book of a language comes after the event has ended: to the frame after the page says it is in that language.
    new MutationObserver(() => {
      const from = window.tapped;
      requestAnimationFrame(() => setTimeout(() => (window.turned = Math.round(performance.now() - from))));
    }).observe(document.documentElement, { attributes: true, attributeFilter: ['lang'] });
  });
  const tap = async (name, locator) => {
    await locator.scrollIntoViewIfNeeded();
    await page.waitForTimeout(300);
    await page.evaluate(() => {
      window.taps = [];
      window.turned = 0;
      addEventListener('click', (e) => (window.tapped = e.timeStamp), { capture: true, once: true });
    });
    await locator.click();
    await page.waitForTimeout(700);
    const ms = await page.evaluate(() => Math.max(window.turned, 0, ...window.taps.filter((t) => /click|pointerup|pointerdown|keydown/.test(t.kind)).map((t) => t.ms)));
    rows.push({ size, what: name, ms });
  };
  rows.push({ size, what: 'page opened, first thing to do shown', ms: Math.round(shown) });
  const looks = page.locator('input[name="slate-look"]');
  for (let n = 0; n < (await looks.count()); n += 1) await tap(`days by ${await looks.nth(n).getAttribute('value')}`, looks.nth(n).locator('xpath=..'));
  await tap('US units', page.locator('input[name="measures"][value="us"]').locator('xpath=..'));
  await tap('metric units', page.locator('input[name="measures"][value="metric"]').locator('xpath=..'));
  await tap('German', page.locator('input[name="language"][value="de"]').locator('xpath=..'));
  await tap('English', page.locator('input[name="language"][value="en"]').locator('xpath=..'));
  const sheets = page.locator('#pieces details > summary');
  if ((await sheets.count()) > 0) await tap("a piece's schedule opened", sheets.first());
  const done = page.locator('#now .nexts button').first();
  if ((await done.count()) > 0) await tap('an entry logged', done);
  await page.context().close();
}
await browser.close();
server.kill();
rmSync(work, { recursive: true, force: true });
if (process.argv.includes('--json')) console.log(JSON.stringify({ pieces, rows }));
else for (const r of rows) console.log(`${r.size.padEnd(6)} ${r.what.padEnd(38)} ${r.ms <= 16 && !r.what.startsWith('page') ? '< 24' : r.ms} ms`);
