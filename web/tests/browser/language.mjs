// The second language: chosen by the browser's, or in the footer; longer words must not break a narrow screen.
import { fingersFit, must, noAxeFindings, noSidewaysScroll, openEverything } from './checks.mjs';

const ready = (page) => page.waitForSelector('#now .nexts, #now .big', { timeout: 10_000 });

export async function languageChecks(tally, browser, sizes, screens, url) {
  const german = async (viewport) => {
    const context = await browser.newContext({ viewport, locale: 'de-DE', reducedMotion: 'reduce', serviceWorkers: 'block' });
    const page = await context.newPage();
    await page.goto(url);
    await ready(page);
    return { context, page };
  };
  for (const [name, size] of Object.entries({ ...sizes, narrow: { width: 320, height: 640 } })) {
    await tally.check(`German, ${name}: fits, and axe finds nothing`, async () => {
      const { context, page } = await german(size);
      must((await page.evaluate(() => document.documentElement.lang)) === 'de', 'the page does not say that it is German');
      must((await page.locator('#now-title').innerText()) === 'Was jetzt zu tun ist', 'not German');
      await page.screenshot({ path: `${screens}${name}-german.png` });
      await openEverything(page);
      await noSidewaysScroll(page);
      await fingersFit(page);
      if (name !== 'narrow') await noAxeFindings(page);
      for (const look of ['person', 'place']) {
        await page.locator(`#days input[value=${look}]`).check();
        await noSidewaysScroll(page);
      }
      await page.screenshot({ path: `${screens}${name}-german-whole.png`, fullPage: true });
      await context.close();
    });
  }
  await tally.check('German: what the engines say is marked as English; dates and money are German', async () => {
    const { context, page } = await german(sizes.phone);
    const plan = await page.evaluate(async () => (await fetch('/api/plan')).json());
    const unmarked = await page.evaluate((reasons) => {
      const walker = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
      const found = [];
      while (walker.nextNode()) {
        const text = walker.currentNode.data.trim();
        if (reasons.some((r) => text.includes(r)) && walker.currentNode.parentElement.closest('[lang]').lang !== 'en') found.push(text.slice(0, 60));
      }
      return found;
    }, [...plan.findings.map((f) => f.reason), ...plan.pieces.flatMap((p) => p.schedule.map((s) => s.text))].filter((t) => t.length > 8));
    must(unmarked.length === 0, unmarked.slice(0, 5).join('\n'));
    must(/\d,\d\d\s€/.test(await page.locator('#cost').innerText()), await page.locator('#cost').innerText());
    must(/(Montag|Dienstag|Mittwoch|Donnerstag|Freitag|Samstag|Sonntag), \d+\. /.test(await page.locator('#days').innerText()), 'no German date');
    await context.close();
  });
  await tally.check('German: the choice in the footer changes the page at once and is kept', async () => {
    const { context, page } = await german(sizes.phone);
    await page.getByLabel('English', { exact: true }).check();
    must((await page.locator('#now-title').innerText()) === 'What to do now', 'not English');
    must((await page.evaluate(() => document.documentElement.lang)) === 'en', 'lang is not en');
    await page.reload();
    await ready(page);
    must((await page.locator('#now-title').innerText()) === 'What to do now', 'the choice is forgotten');
    await context.close();
  });
}
