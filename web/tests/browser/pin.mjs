// A step pinned to an hour: carried by the mouse, carried by a finger, and without dragging by keyboard.
import { fingersFit, must, noAxeFindings, noSidewaysScroll } from './checks.mjs';

const ready = (page) => page.waitForSelector('#days .day', { timeout: 10_000 });
const stepsOf = async (page) => (await page.evaluate(async () => (await fetch('/api/plan')).json())).pieces.flatMap((p) => p.schedule);

// Waits for the plan in which a step is as wanted.
async function planned(page, id, is, what) {
  for (let k = 0; k < 150; k += 1) {
    const step = (await stepsOf(page)).find((s) => s.id === id);
    if (is(step)) return step;
    await page.waitForTimeout(100);
  }
  throw new Error(`${what}: never so planned`);
}
// To the week in which a step can be taken hold of.
async function find(page, id) {
  const later = page.locator('#days').getByRole('button', { name: 'Later', exact: true });
  const earlier = page.locator('#days').getByRole('button', { name: 'Earlier', exact: true });
  while (!(await earlier.isDisabled())) await earlier.click();
  for (let week = 0; week < 60; week += 1) {
    const grip = page.locator(`#days [data-grip="${id}"]`).first();
    if ((await grip.count()) > 0) return grip;
    if (await later.isDisabled()) break;
    await later.click();
  }
  throw new Error(`${id} is on no day`);
}
// The last steps of the plan may move without anything standing in their way.
const lastOpen = async (page) => (await stepsOf(page)).filter((s) => !s.done && s.people === 1).sort((a, b) => (a.start < b.start ? 1 : -1))[0].id;

const hourIn = (text) => /\d?\d:\d\d/.exec(text)?.[0].padStart(5, '0') ?? '';

export async function pinChecks(tally, fresh, sizes, screens) {
  await tally.check('pin: carried by the mouse to a later hour; the hour stands under it, and it stays there', async () => {
    const { page, close } = await fresh(sizes.desktop);
    await ready(page);
    const id = await lastOpen(page);
    const before = (await stepsOf(page)).find((s) => s.id === id);
    const grip = await find(page, id);
    await grip.scrollIntoViewIfNeeded();
    await page.evaluate(() => window.scrollBy(0, 200));
    const box = await grip.boundingBox();
    await page.mouse.move(box.x + 6, box.y + 12);
    await page.mouse.down();
    await page.mouse.move(box.x + 20, box.y + 12, { steps: 3 });
    // A little later on the same line, until the label says another quarter than the plan has.
    let said = '';
    for (let dx = 16; dx < 160; dx += 8) {
      await page.mouse.move(box.x + 6 + dx, box.y + 12);
      said = await page.locator('[data-pin-under]').innerText();
      if (hourIn(said) !== before.start.slice(11, 16)) break;
    }
    must(/:(00|15|30|45)$/.test(hourIn(said)), `no quarter under the pointer: ${said}`);
    must(hourIn(said) !== before.start.slice(11, 16), 'it did not move');
    await noSidewaysScroll(page);
    await page.screenshot({ path: `${screens}desktop-light-pin-carried.png` });
    await page.mouse.up();
    must((await page.locator('[data-pin-under]').count()) === 0, 'the label stayed');
    const row = page.locator(`[data-pin-row="${id}"]`).first();
    await page.waitForFunction((of) => [...document.querySelectorAll(`[data-pin-row="${of}"]`)].some((r) => /Pinned to this hour|Not pinned/.test(r.textContent)), id, { timeout: 15_000 });
    if (/Not pinned/.test(await row.innerText())) throw new Error(`refused: ${await row.innerText()}`);
    const now = await planned(page, id, (s) => s.pinned?.kept === true, 'pinned');
    must(now.start.slice(11, 16) === hourIn(said), `dropped at ${said}, planned ${now.start}`);
    must(now.why_here.includes('you pinned it'), now.why_here);
    await noAxeFindings(page);
    await fingersFit(page);
    // What moved is said, and it can be undone where it was done.
    await page.locator('[data-moved]').waitFor({ timeout: 10_000 });
    await page.locator('[data-pin-stored]').getByRole('button', { name: 'Undo' }).click();
    await planned(page, id, (s) => s.pinned === undefined && s.start === before.start, 'undone');
    must(page.troubles.length === 0, page.troubles.join('\n'));
    await close();
  });

  for (const scheme of ['light', 'dark']) {
    await tally.check(`pin, phone, ${scheme}: by keyboard to an hour nobody is there, refused in words; to the next one; let go`, async () => {
      const { page, close } = await fresh(sizes.phone, scheme);
      await ready(page);
      const id = await lastOpen(page);
      await find(page, id);
      const row = () => page.locator(`[data-pin-row="${id}"]`).first();
      await row().getByRole('button', { name: /^Pin to an hour/ }).focus();
      await page.keyboard.press('Enter');
      must(await page.evaluate(() => document.activeElement?.type === 'time'), 'the hour is not in focus');
      const hour = row().locator('input[type=time]');
      const first = await hour.inputValue();
      await page.keyboard.press('ArrowUp');
      must((await hour.inputValue()) !== first, 'the arrow key does nothing');
      await noAxeFindings(page);
      await noSidewaysScroll(page);
      await fingersFit(page);
      await row().screenshot({ path: `${screens}phone-${scheme}-pin-form.png` });
      await hour.fill('03:00');
      await page.keyboard.press('Enter');
      await row().locator('.slip.refused').waitFor({ timeout: 15_000 });
      const why = await row().locator('.slip.refused').innerText();
      must(/there for all of it/.test(why) && /next hour/.test(why), why);
      await noAxeFindings(page);
      await noSidewaysScroll(page);
      await page.locator('#days').screenshot({ path: `${screens}phone-${scheme}-pin-refused.png` });
      // Where it stands: kept for sure.
      await row().getByRole('button', { name: /^Pin to an hour/ }).press('Enter');
      await page.keyboard.press('Enter');
      await planned(page, id, (s) => s.pinned?.kept === true, 'pinned');
      await row().getByText('Pinned to this hour.').waitFor({ timeout: 10_000 });
      must((await row().locator('.slip.refused').count()) === 0, 'the old refusal is still there');
      await noAxeFindings(page);
      await noSidewaysScroll(page);
      await page.locator('#days').screenshot({ path: `${screens}phone-${scheme}-pinned.png` });
      await row().getByRole('button', { name: /^Let it go/ }).press('Enter');
      await planned(page, id, (s) => s.pinned === undefined, 'let go');
      await row().getByRole('button', { name: /^Pin to an hour/ }).waitFor({ timeout: 10_000 });
      must(page.troubles.filter((t) => !/422/.test(t)).length === 0, page.troubles.join('\n'));
      await close();
    });
  }

  await tally.check('pin, phone: a finger that moves at once scrolls, one that rests first carries', async () => {
    const { page, close } = await fresh(sizes.phone);
    await ready(page);
    const id = await lastOpen(page);
    const grip = await find(page, id);
    await grip.scrollIntoViewIfNeeded();
    const box = await grip.boundingBox();
    const touch = await page.context().newCDPSession(page);
    const at = (type, x, y) => touch.send('Input.dispatchTouchEvent', { type, touchPoints: type === 'touchEnd' ? [] : [{ x, y }] });
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await at('touchStart', x, y);
    await at('touchMove', x, y - 30);
    must((await page.locator('[data-pin-under]').count()) === 0, 'it was carried at once');
    await at('touchMove', x, y - 60);
    await at('touchEnd');
    const now = await (await find(page, id)).boundingBox();
    const [x2, y2] = [now.x + now.width / 2, now.y + now.height / 2];
    await at('touchStart', x2, y2);
    await page.locator('[data-pin-under]').waitFor({ timeout: 5_000 });
    const scrolled = await page.evaluate(() => scrollY);
    await at('touchMove', x2 + 30, y2);
    await at('touchMove', x2 + 40, y2 + 20);
    must((await page.evaluate(() => scrollY)) === scrolled, 'the page scrolled under what is carried');
    must((await page.locator('[data-pin-under]').count()) === 1, 'it was let fall');
    await noSidewaysScroll(page);
    await page.keyboard.press('Escape');
    must((await page.locator('[data-pin-under]').count()) === 0, 'Escape does not put it back');
    await at('touchEnd');
    await page.waitForTimeout(300);
    must((await stepsOf(page)).every((s) => s.pinned === undefined), 'it was pinned all the same');
    await close();
  });
}
