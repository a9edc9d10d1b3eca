// The looks: painted on the page, kept, taken back, set side by side.
import { chromium } from 'playwright-core';
import { must, noAxeFindings, noSidewaysScroll } from './checks.mjs';

const ready = (page) => page.waitForSelector('#now .nexts, #now .big', { timeout: 10_000 });

// The page turns down a WebGL that the processor plays; to test the painter, `played` has it taken for a chip.
const played = () => {
  const made = HTMLCanvasElement.prototype.getContext;
  HTMLCanvasElement.prototype.getContext = function (kind, how) {
    return made.call(this, kind, how && { ...how, failIfMajorPerformanceCaveat: false });
  };
};
export async function pageFor(browser, painter, viewport) {
  const page = await (await browser.newContext({ viewport })).newPage();
  if (painter === 'chip') await page.addInitScript(played);
  return page;
}
export async function openLooks(page) {
  await ready(page);
  await page.waitForSelector('[data-link=live]', { timeout: 10_000 });
  await page.getByRole('button', { name: 'Show the looks' }).click();
  await page.waitForSelector('#look[data-look="ready"]', { timeout: 60_000 });
  await page.locator('#look .picks select').first().selectOption('cabinet');
  await painted(page);
}
export const painted = (page) => page.waitForSelector('.face:has([aria-label*="radio cabinet"]) canvas[data-painted]', { timeout: 30_000 });
export const strokes = (page) => page.evaluate(() => Number(document.querySelector('.face canvas').dataset.painted));
// 160 x 120 means of what is on the canvas, or of an image.
export const small = (page, selector) =>
  page.evaluate((wanted) => {
    const sheet = document.createElement('canvas');
    sheet.width = 160;
    sheet.height = 120;
    const pen = sheet.getContext('2d');
    pen.imageSmoothingQuality = 'high';
    pen.drawImage(document.querySelector(wanted), 0, 0, 160, 120);
    return [...pen.getImageData(0, 0, 160, 120).data];
  }, selector);
export function difference(a, b) {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < a.length; i += 1) {
    if (i % 4 === 3) continue;
    sum += Math.abs(a[i] - b[i]);
    count += 1;
  }
  return sum / count;
}

// A browser without WebGL 2.
const withoutChip = (page) =>
  page.addInitScript(() => {
    const real = HTMLCanvasElement.prototype.getContext;
    HTMLCanvasElement.prototype.getContext = function (kind, ...more) {
      return kind === 'webgl2' ? null : real.call(this, kind, ...more);
    };
  });

export async function lookChecks(tally, fresh, sizes, screens, url) {
  for (const [name, size] of Object.entries(sizes)) {
    for (const scheme of ['light', 'dark']) {
      await tally.check(`looks, ${name}, ${scheme}: the piece with its colours on it`, async () => {
        const { page, close } = await fresh(size, scheme);
        await openLooks(page);
        await page.locator('#look').screenshot({ path: `${screens}${name}-${scheme}-look.png` });
        await noAxeFindings(page);
        await noSidewaysScroll(page);
        must(page.troubles.length === 0, page.troubles.join('\n'));
        await close();
      });
    }
  }

  let plain = null;
  await tally.check('looks: what the page paints is what the program paints', async () => {
    const { page, close } = await fresh(sizes.desktop, 'light', withoutChip);
    await openLooks(page);
    must((await page.locator('.face canvas').getAttribute('data-painter')) === 'plain', 'the plain painter was to be tested here');
    await page.getByRole('button', { name: 'Set the looks side by side' }).click();
    await page.waitForSelector('.boards img', { timeout: 60_000 });
    await page.waitForFunction(() => [...document.querySelectorAll('.boards img')].every((i) => i.complete && i.naturalWidth > 0));
    plain = await small(page, '.face canvas');
    const board = await small(page, '.boards img');
    const photo = await small(page, '.boards li:last-child img'); // nothing painted: all clear
    // Where the board shows paint: the pixels in which it differs from the unpainted look.
    const inside = board.map((v, i) => i % 4 !== 3 && Math.abs(v - photo[i]) > 20);
    const paint = inside.filter(Boolean).length;
    must(paint > 500, `only ${paint} values of paint`);
    const pick = (values) => values.filter((_, i) => inside[i]);
    const off = difference(plain, board);
    const wanted = pick(board);
    const offInside = pick(plain).reduce((sum, v, i) => sum + Math.abs(v - wanted[i]), 0) / paint;
    must(off < 2 && offInside < 4, `${off.toFixed(2)} codes a channel apart, ${offInside.toFixed(2)} in the paint`);
    must((await page.locator('.boards li').count()) === 5, 'five looks of the cabinet');
    await page.locator('[data-boards]').screenshot({ path: `${screens}desktop-boards.png` });
    await noAxeFindings(page);
    const sheet = await page.getByRole('link', { name: /one sheet/ }).getAttribute('href');
    must((await fetch(new URL(sheet, url))).headers.get('content-type') === 'image/png', 'no sheet');
    await close();
  });

  await tally.check('looks: a radius moved and a colour chosen are kept, taken back and put back', async () => {
    const { page, close } = await fresh(sizes.phone);
    await openLooks(page);
    const zone = page.locator('[data-panel="sunrise"]');
    const keep = page.getByRole('button', { name: 'Keep what is new' });
    const before = await strokes(page);
    await zone.getByRole('slider', { name: 'Radius' }).focus();
    for (let i = 0; i < 30; i += 1) await page.keyboard.press('ArrowLeft');
    must((await zone.getByLabel('Radius', { exact: true }).first().inputValue()) === '16 cm', 'thirty millimetres by keys');
    await zone.getByLabel('As measured').fill('lab(40 -10 -30)');
    await page.waitForFunction((n) => Number(document.querySelector('.face canvas').dataset.painted) > n, before);
    await page.locator('#look').screenshot({ path: `${screens}phone-look-moved.png` });
    await keep.click();
    await page.waitForSelector('[data-changes] li', { timeout: 60_000 });
    const job = await (await fetch(new URL('/api/look', url))).json();
    must(job.changes.at(-1).change.set.color === 'lab(40 -10 -30)', JSON.stringify(job.changes.at(-1)));
    await page.locator('[data-changes]').getByRole('button', { name: 'Take back' }).first().click();
    await page.waitForSelector('[data-changes] s', { timeout: 60_000 });
    await page.locator('[data-changes]').getByRole('button', { name: 'Put back' }).first().click();
    await page.waitForSelector('[data-changes] s', { state: 'detached', timeout: 60_000 });
    await noAxeFindings(page);
    // Leaves the face: refused in words, nothing stored.
    const stored = (await (await fetch(new URL('/api/look', url))).json()).changes.length;
    await zone.getByRole('slider', { name: 'From below' }).or(zone.getByRole('slider', { name: /^Base/ })).first().focus();
    await page.keyboard.press('End');
    await page.locator('[data-trouble]').waitFor();
    await keep.click();
    await page.getByText('Not kept:').waitFor({ timeout: 20_000 });
    must((await (await fetch(new URL('/api/look', url))).json()).changes.length === stored, 'it was stored all the same');
    // Back to the job file's own look, for the checks that follow.
    await page.getByRole('button', { name: 'Back to what is kept' }).click();
    await page.locator('[data-changes]').getByRole('button', { name: 'Take back' }).first().click();
    await page.waitForSelector('[data-changes] s', { timeout: 60_000 });
    await close();
  });

  await tally.check('looks: on the graphics chip the same', async () => {
    const browser = await chromium.launch({
      executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
      args: ['--headless', '--no-sandbox', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', '--disable-quic', '--no-first-run'],
    });
    try {
      const page = await pageFor(browser, 'chip', sizes.desktop);
      await page.goto(url);
      await openLooks(page);
      if ((await page.locator('.face canvas').getAttribute('data-painter')) !== 'chip') {
        console.log('SKIP  no WebGL 2 in this browser: the painter on the chip was NOT checked');
        return;
      }
      const chip = await small(page, '.face canvas');
      const off = difference(plain, chip);
      must(off < 1.5, `${off.toFixed(2)} codes a channel from the plain painter`);
    } finally {
      await browser.close();
    }
  });
}

// Last of all: a change that was taken back stays in the list of changes, which other checks look at.
export async function choiceChecks(tally, fresh, sizes, screens, url) {
  await tally.check('looks: the one the owner chose is kept, and taken back', async () => {
    const { page, close } = await fresh(sizes.phone, 'light', withoutChip);
    await openLooks(page);
    await page.getByRole('button', { name: 'Set the looks side by side' }).click();
    await page.getByRole('button', { name: /The owner chose this.*Night blue/ }).click({ timeout: 60_000 });
    await page.locator('.boards').getByText('Chosen by the owner').waitFor({ timeout: 30_000 });
    const cabinet = async () => (await (await fetch(new URL('/api/job', url))).json()).job.piece.find((p) => p.id === 'cabinet');
    const sunrise = (piece) => piece.part.find((p) => p.id === 'case').zone.find((z) => z.id === 'sunrise').color;
    must(sunrise(await cabinet()) === 'lab(24 2 -24)', 'the look is not in its zone');
    await page.locator('[data-boards]').scrollIntoViewIfNeeded();
    await page.screenshot({ path: `${screens}phone-owner-chose.png` });
    await noAxeFindings(page);
    await page.locator('.boards').getByRole('button', { name: 'Undo' }).click();
    for (let k = 0; k < 100 && (await cabinet()).chosen_look; k += 1) await new Promise((done) => setTimeout(done, 100));
    must(!(await cabinet()).chosen_look, 'it was not taken back');
    await close();
  });
}
