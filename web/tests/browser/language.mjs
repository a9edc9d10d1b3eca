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
  await tally.check('German: what the engines say is German, but for what somebody typed; dates and money too', async () => {
    const { context, page } = await german(sizes.phone);
    await openEverything(page);
    await page.waitForFunction(() => !document.querySelector('#now [lang=en]'), null, { timeout: 10_000 });
    const left = await page.evaluate(() => [...document.querySelectorAll('main [lang=en]')].map((e) => e.textContent.slice(0, 90)));
    must(left.length === 0, `still English: ${left.slice(0, 8).join(' | ')}`);
    // The steps of the plan are said, not left out.
    const plan = await page.evaluate(async () => (await fetch('/api/plan')).json());
    const text = await page.locator('main').innerText();
    const english = plan.pieces.flatMap((p) => p.schedule.flatMap((s) => [s.text, s.reason])).filter((t) => t.length > 12 && text.includes(t));
    must(english.length === 0, `English, and not even marked: ${english.slice(0, 5).join(' | ')}`);
    must(/Schleifen mit P\d+/.test(text), 'no step is said in German');
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
