// Drives a real browser against a running `tackcloth serve`:
//   TACKCLOTH_URL=http://127.0.0.1:8420/ npm run browser
// Chromium is /usr/bin/chromium, or CHROMIUM. Pictures go to out/screens/. The last line is "N passed, N failed".
import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';
import { intakeChecks } from './intake.mjs';
import { daysChecks } from './days.mjs';
import { pinChecks } from './pin.mjs';
import { offlineChecks } from './offline.mjs';
import { languageChecks } from './language.mjs';
import { choiceChecks, lookChecks } from './looks.mjs';
import { deskAndApartChecks } from './apart.mjs';
import { cutChecks } from './cut.mjs';
import { readingChecks } from './reading.mjs';
import { toldChecks } from './told.mjs';
import { zoneChecks } from './zones.mjs';
import { fingersFit, inTime, must, noAxeFindings, noSidewaysScroll, openEverything, Tally } from './checks.mjs';

const url = process.env.TACKCLOTH_URL;
if (!url) {
  console.error('TACKCLOTH_URL is not set: start tackcloth serve and give its address');
  console.log('0 passed, 1 failed');
  process.exit(1);
}
const screens = fileURLToPath(new URL('../../../out/screens/', import.meta.url));
mkdirSync(screens, { recursive: true });

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: [
    '--headless',
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ],
});
const tally = new Tally();
// Whatever goes wrong between the checks is a failure too, and the last line is still printed.
process.on('unhandledRejection', (error) => {
  console.log(`FAIL  ${error?.message ?? error}\n${tally.passed} passed, ${tally.failed + 1} failed`);
  process.exit(1);
});
process.on('uncaughtException', (error) => {
  console.log(`FAIL  ${error?.message ?? error}\n${tally.passed} passed, ${tally.failed + 1} failed`);
  process.exit(1);
});
const sizes = { phone: { width: 360, height: 740 }, desktop: { width: 1280, height: 800 } };

// A page of its own profile that remembers what went wrong in it. Without the service worker, whose requests could not be
// answered by the checks themselves; offline.mjs is about it.
const fresh = (...how) => inTime(open(...how));
async function open(size, scheme = 'light', before = async () => {}, where = url) {
  const context = await browser.newContext({ viewport: size, colorScheme: scheme, locale: 'en-GB', reducedMotion: 'reduce', serviceWorkers: 'block' });
  const page = await context.newPage();
  page.troubles = [];
  page.on('console', (m) => m.type() === 'error' && page.troubles.push(m.text()));
  page.on('pageerror', (e) => page.troubles.push(String(e)));
  page.on('request', (r) => {
    if (!r.url().startsWith(new URL(where).origin) && !r.url().startsWith('data:')) page.troubles.push(`asks ${r.url()}`);
  });
  await before(page);
  await page.goto(where);
  return { page, close: () => context.close() };
}
const ready = (page) => page.waitForSelector('#now .nexts, #now .big', { timeout: 10_000 });
const live = (page) => page.waitForSelector('[data-link=live]', { timeout: 10_000 });
// The first thing that can be logged, gently: a step begun, else how a coat feels, else a test's result.
const firstAct = (page) => page.locator('#now .acts button:not(.quiet)').first();
const logLines = (page) => page.locator('[data-log] li').count();

for (const [name, size] of Object.entries(sizes)) {
  for (const scheme of ['light', 'dark']) {
    const { page, close } = await fresh(size, scheme);
    const label = `${name}, ${scheme}`;
    await tally.check(`${label}: opens with what to do now and stays linked`, async () => {
      await ready(page);
      await live(page);
      const top = await page.locator('#now').boundingBox();
      must(top.y < size.height * 0.6, `what to do now begins at ${top.y} px`);
    });
    await page.screenshot({ path: `${screens}${name}-${scheme}.png` });
    await tally.check(`${label}: axe finds nothing`, () => noAxeFindings(page));
    await tally.check(`${label}: no sideways scrolling`, () => noSidewaysScroll(page));
    await tally.check(`${label}: fingers fit`, () => fingersFit(page));
    await openEverything(page);
    await tally.check(`${label}, all opened: axe finds nothing`, () => noAxeFindings(page));
    await tally.check(`${label}, all opened: no sideways scrolling`, () => noSidewaysScroll(page));
    await page.screenshot({ path: `${screens}${name}-${scheme}-whole.png`, fullPage: true });
    await tally.check(`${label}: nothing was refused, nothing foreign was asked for`, () =>
      must(page.troubles.length === 0, page.troubles.join('\n')),
    );
    await close();
  }
}

{
  const { page, close } = await fresh({ width: 320, height: 640 });
  await ready(page);
  await openEverything(page);
  await tally.check('320 px: no sideways scrolling', () => noSidewaysScroll(page));
  await close();
}

{
  const { page, close } = await fresh(sizes.desktop);
  await ready(page);
  await tally.check('keyboard: the first stop skips to what to do now; buttons are reached and the focus is seen', async () => {
    await page.keyboard.press('Tab');
    must(await page.evaluate(() => document.activeElement?.classList.contains('skip')), 'the skip link is not first');
    await page.keyboard.press('Enter');
    let reached = false;
    for (let i = 0; i < 12 && !reached; i += 1) {
      await page.keyboard.press('Tab');
      reached = await page.evaluate(() => document.activeElement?.tagName === 'BUTTON' && document.activeElement.closest('#now') !== null);
    }
    must(reached, 'no button within 12 stops');
    const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle);
    must(outline !== 'none', 'no outline on the focused button');
  });
  await tally.check('measures: US and back', async () => {
    await openEverything(page);
    // Only what the page itself measures out; sentences of the plan keep the shop's own units.
    const text = async () => (await page.locator('.details, .more .fine').allInnerTexts()).join('\n');
    await page.getByLabel('US', { exact: true }).check();
    const us = await text();
    must(/ft²/.test(us) && !/ m²|µm/.test(us), 'metric left in the US view');
    await page.getByLabel('Metric', { exact: true }).check();
    const metric = await text();
    must(/ m²/.test(metric) && !/ft²| mil /.test(metric), 'US left in the metric view');
  });
  await close();
}

await tally.check('what would bring a date forward is worked out while the page stays live', async () => {
  const { page, close } = await fresh(sizes.phone);
  await ready(page);
  await live(page);
  await page.getByRole('button', { name: 'Try it out' }).click();
  await page.waitForSelector('[data-sooner="busy"], [data-sooner="ready"]', { timeout: 10_000 });
  await page.waitForSelector('[data-sooner="ready"]', { timeout: 80_000 });
  must((await page.locator('.helps li').count()) > 0, 'nothing helps the example');
  await page.locator('[data-sooner]').screenshot({ path: `${screens}phone-sooner.png` });
  await noAxeFindings(page);
  await noSidewaysScroll(page);
  await close();
});

await daysChecks(tally, fresh, sizes, screens);
await pinChecks(tally, fresh, sizes, screens);
await languageChecks(tally, browser, sizes, screens, url);
await offlineChecks(tally, browser, sizes, screens, url);
await lookChecks(tally, fresh, sizes, screens, url);
await intakeChecks(tally, fresh, sizes, screens);
await zoneChecks(tally, fresh, sizes, screens, url);
await deskAndApartChecks(tally, fresh, sizes, screens, url);
await cutChecks(tally, fresh, sizes, screens, url);
await readingChecks(tally, fresh, sizes, screens, url);
await toldChecks(tally, fresh, sizes, screens, url);
await choiceChecks(tally, fresh, sizes, screens, url);

await tally.check('a step logged is stored, arrives on another screen, and survives reloading', async () => {
  const one = await fresh(sizes.phone);
  const two = await fresh(sizes.desktop);
  await Promise.all([ready(one.page), ready(two.page)]);
  await Promise.all([live(one.page), live(two.page)]);
  const before = await logLines(two.page);
  await firstAct(one.page).click();
  await one.page.waitForSelector('.slip');
  await one.page.screenshot({ path: `${screens}phone-logged.png` });
  await two.page.waitForFunction((n) => document.querySelectorAll('[data-log] li').length === n, before + 1, { polling: 250, timeout: 60_000 });
  await two.page.screenshot({ path: `${screens}desktop-moved.png` });
  await one.page.waitForFunction((n) => document.querySelectorAll('[data-log] li').length === n, before + 1, { polling: 250, timeout: 60_000 });
  await one.page.reload();
  await ready(one.page);
  await one.page.waitForFunction((n) => document.querySelectorAll('[data-log] li').length === n, before + 1, { polling: 250, timeout: 10_000 });
  const stored = await (await fetch(new URL('/api/log', url))).json();
  must(stored.entries.length === before + 1, `${stored.entries.length} entries stored`);
  await one.close();
  await two.close();
});

await tally.check('an entry can be taken back before it is sent', async () => {
  const { page, close } = await fresh(sizes.phone);
  const posts = [];
  page.on('request', (r) => r.method() === 'POST' && posts.push(r.url()));
  await ready(page);
  await live(page);
  await firstAct(page).click();
  await page.getByRole('button', { name: 'Take back' }).first().click();
  must((await page.locator('.slip').count()) === 0, 'the slip is still there');
  const kept = await page.evaluate(() => localStorage.getItem('tackcloth.outbox'));
  must(kept === '[]', `still in the outbox: ${kept}`);
  must(posts.length === 0, 'it was sent all the same');
  await close();
});

await tally.check('without a connection it says so, keeps what is logged, and sends it once afterwards', async () => {
  const { page, close } = await fresh(sizes.phone);
  await ready(page);
  await live(page);
  const before = (await (await fetch(new URL('/api/log', url))).json()).entries.length;
  await page.context().setOffline(true);
  await page.waitForSelector('.notice.lost', { timeout: 10_000 });
  await firstAct(page).click();
  await page.waitForSelector('.slip.kept', { timeout: 15_000 });
  await page.screenshot({ path: `${screens}phone-offline.png` });
  await noAxeFindings(page);
  await noSidewaysScroll(page);
  await page.context().setOffline(false);
  await page.waitForSelector('.notice.lost', { state: 'detached', timeout: 20_000 });
  await page.waitForFunction(() => localStorage.getItem('tackcloth.outbox') === '[]', undefined, { timeout: 20_000 });
  const after = (await (await fetch(new URL('/api/log', url))).json()).entries.length;
  must(after === before + 1, `${after - before} entries stored`);
  await close();
});

const HOSTILE = '<img src=x onerror="globalThis.owned=1"><script>globalThis.owned=1</script>';
await tally.check('script in names is shown as text, and long names stay within the page', async () => {
  const { page, close } = await fresh(sizes.phone, 'light', (p) =>
    p.route('**/api/plan', async (route) => {
      const { 'if-none-match': _, ...headers } = route.request().headers();
      const response = await route.fetch({ headers });
      const plan = await response.json();
      plan.shop = HOSTILE;
      for (const piece of plan.pieces) {
        piece.name = HOSTILE + 'Donaudampfschifffahrtsgesellschaftskapitän'.repeat(6);
        piece.owner = HOSTILE;
        for (const step of piece.schedule) {
          step.text = HOSTILE + step.text + 'x'.repeat(120);
          step.reason = HOSTILE;
        }
      }
      for (const finding of plan.findings) finding.reason = HOSTILE;
      for (const item of plan.purchases) item.name = HOSTILE + 'y'.repeat(90);
      await route.fulfill({ response, json: plan });
    }),
  );
  await ready(page);
  await openEverything(page);
  must(await page.evaluate(() => globalThis.owned === undefined), 'a script ran');
  must((await page.locator('main img, main script').count()) === 0, 'a name became an element');
  must((await page.locator('h3', { hasText: '<script>' }).count()) > 0, 'the name is not shown');
  await noSidewaysScroll(page);
  await close();
});

await tally.check('no plan: says so and what to do', async () => {
  const { page, close } = await fresh(sizes.phone, 'light', (p) =>
    p.route('**/api/plan', (route) => route.fulfill({ status: 404, json: { what: 'no plan yet', expected: 'a job', remedy: 'x' } })),
  );
  await page.getByRole('heading', { name: 'No plan yet' }).waitFor({ timeout: 10_000 });
  await page.screenshot({ path: `${screens}phone-empty.png` });
  await noAxeFindings(page);
  await noSidewaysScroll(page);
  await close();
});

for (const [name, answer] of Object.entries({
  'a failing service': { status: 500, json: { what: 'the disk is full', expected: 'room', remedy: 'free some space' } },
  'an answer that is no plan': { status: 200, body: '{"pieces":', contentType: 'application/json' },
})) {
  await tally.check(`${name}: says what is wrong and how to mend it`, async () => {
    const { page, close } = await fresh(sizes.phone, 'light', (p) => p.route('**/api/plan', (route) => route.fulfill(answer)));
    await page.getByRole('heading', { name: 'The plan cannot be shown' }).waitFor({ timeout: 10_000 });
    must(/To mend: /.test(await page.locator('main').innerText()), 'no remedy');
    await page.screenshot({ path: `${screens}phone-error.png` });
    await noAxeFindings(page);
    await close();
  });
}

await browser.close();
console.log(`${tally.passed} passed, ${tally.failed} failed`);
process.exit(tally.failed === 0 ? 0 : 1);
