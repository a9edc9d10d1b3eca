// The days as lines: three ways of looking, a week at a time, and from a step to its line in the sheet.
import { fingersFit, must, noAxeFindings, noSidewaysScroll } from './checks.mjs';

const ready = (page) => page.waitForSelector('#days .day', { timeout: 10_000 });

export async function daysChecks(tally, fresh, sizes, screens) {
  for (const [name, size] of Object.entries(sizes)) {
    for (const scheme of ['light', 'dark']) {
      await tally.check(`days, ${name}, ${scheme}: by piece, by person, by resting place`, async () => {
        const { page, close } = await fresh(size, scheme);
        await ready(page);
        must((await page.locator('#days .day').count()) === 7, 'not a week');
        for (const look of ['piece', 'person', 'place']) {
          await page.locator(`#days input[value=${look}]`).check();
          must((await page.locator('#days .band').count()) > 0, `nothing to see by ${look}`);
          await noAxeFindings(page);
          await noSidewaysScroll(page);
          await fingersFit(page);
          const low = await page.evaluate(() => [...document.querySelectorAll('.words a')].filter((a) => a.getBoundingClientRect().height < 43.5).length);
          must(low === 0, `${low} steps too low for a finger`);
          // A line a day, one below the other, as wide as the room for them.
          const beside = await page.evaluate(() => {
            const room = document.querySelector('#days ol').getBoundingClientRect().width;
            return [...document.querySelectorAll('#days .day')].filter((d) => d.getBoundingClientRect().width < room - 2).length;
          });
          must(beside === 0, `${beside} days share their line`);
          await page.locator('#days').screenshot({ path: `${screens}${name}-${scheme}-days-${look}.png` });
        }
        must(page.troubles.length === 0, page.troubles.join('\n'));
        await close();
      });
    }
  }

  await tally.check('days: what dries runs on into the next line, and what is drawn is said', async () => {
    const { page, close } = await fresh(sizes.phone);
    await ready(page);
    const plan = await page.evaluate(async () => (await fetch('/api/plan')).json());
    // Through the whole plan, week by week: every step is found on the day the plan gives it.
    const wanted = new Set(plan.pieces.flatMap((p) => p.schedule.map((s) => `${s.start.slice(0, 10)} ${s.id}`)));
    const later = page.locator('#days').getByRole('button', { name: 'Later' });
    const earlier = page.locator('#days').getByRole('button', { name: 'Earlier' });
    while (!(await earlier.isDisabled())) await earlier.click();
    let over = 0;
    for (let week = 0; week < 60; week += 1) {
      const seen = await page.evaluate(() =>
        [...document.querySelectorAll('#days .day')].flatMap((d) =>
          [...d.querySelectorAll('.words a')].map((a) => `${d.querySelector('time').dateTime} ${a.hash.slice('#step-'.length)}`),
        ),
      );
      for (const one of seen) wanted.delete(one);
      over += await page.evaluate(() => {
        const days = [...document.querySelectorAll('#days .day')];
        const ends = (d, side) => [...d.querySelectorAll('path.wedge')].filter((w) => (side === 'left' ? /^M0\.0 / : /L1000\.0 0Z$/).test(w.getAttribute('d'))).length;
        return days.slice(1).filter((d, n) => ends(days[n], 'right') > 0 && ends(days[n], 'right') === ends(d, 'left')).length;
      });
      if (await later.isDisabled()) break;
      await later.click();
    }
    must(wanted.size === 0, `not shown: ${[...wanted].slice(0, 5).join('; ')}`);
    must(over > 0, 'no night is crossed');
    await close();
  });

  await tally.check('days: by keyboard to a step, and to its line in the sheet', async () => {
    const { page, close } = await fresh(sizes.desktop);
    await ready(page);
    const step = page.locator('#days .words a').first();
    const wanted = await step.evaluate((a) => a.hash.slice(1));
    await step.focus();
    await page.keyboard.press('Enter');
    const reached = await page.evaluate(() => ({ id: document.activeElement.parentElement.id, open: document.activeElement.parentElement.open }));
    must(reached.id === wanted && reached.open, `focus on ${JSON.stringify(reached)} instead of ${wanted}`);
    await close();
  });
}
