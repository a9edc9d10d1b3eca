// Cutting layouts and papers: what there is to cut from is written down, the layout is drawn and can be had as files, and
// the papers of a piece open at the price asked.
import { fine, must, fingersFit } from './checks.mjs';

export async function cutChecks(tally, fresh, sizes, screens, url) {
  const opened = async (size, scheme) => {
    const { page, close } = await fresh(size, scheme);
    await page.waitForSelector('[data-link=live]', { timeout: 10_000 });
    await page.evaluate(() => (location.hash = '#cut'));
    await page.getByRole('heading', { name: 'Cutting', exact: true }).waitFor();
    return { page, close };
  };
  const cuts = async () => (await (await fetch(new URL('/api/cut/', url))).json()).cuts;

  await tally.check('cut, phone: a cloth is written down and its layout drawn', async () => {
    const { page, close } = await opened(sizes.phone, 'light');
    await page.getByRole('button', { name: 'Add what there is to cut from' }).click();
    await page.getByLabel('Called').fill('Moss check');
    await page.getByLabel('Width of the roll').fill('140 cm');
    await page.getByLabel('Round to the back, on each side').fill('25 mm');
    await page.getByLabel('Price of a metre, a yard or a sheet').fill('24.00');
    await page.screenshot({ path: `${screens}phone-cut-form.png`, fullPage: false });
    await fine(page);
    await page.getByRole('button', { name: 'Keep' }).click();
    await page.getByRole('heading', { name: 'Moss check' }).waitFor({ timeout: 30_000 });
    must((await cuts()).some((c) => c.id === 'moss-check' && c.parts > 0), 'the service knows of no part to cut');
    await page.getByRole('button', { name: /^Lay the parts out/ }).first().click();
    await page.locator('[data-buy]').waitFor();
    must(/Buy [\d.]+ m/.test(await page.locator('[data-buy]').innerText()), 'it does not say what to buy');
    must((await page.locator('.laid svg .cutout').count()) === (await page.locator('.places li').count()), 'drawing and list differ');
    for (const kind of ['PDF', 'SVG', 'DXF']) {
      const file = await page.getByRole('link', { name: new RegExp(`\\(${kind}\\)`) }).first().getAttribute('href');
      must((await fetch(new URL(file, url))).status === 200, `no ${kind}`);
    }
    await page.locator('.laid').scrollIntoViewIfNeeded();
    await page.screenshot({ path: `${screens}phone-cut.png` });
    await fine(page);
    await fingersFit(page);
    await close();
  });

  for (const [name, size] of Object.entries(sizes))
    for (const scheme of ['light', 'dark'])
      await tally.check(`cut, ${name}, ${scheme}: layout and papers`, async () => {
        const { page, close } = await opened(size, scheme);
        const start = page.getByRole('button', { name: /^Lay the parts out/ });
        await start.first().focus();
        await page.keyboard.press('Enter');
        await page.locator('[data-buy]').first().waitFor();
        await page.locator('#cut').scrollIntoViewIfNeeded();
        await page.locator('#cut').screenshot({ path: `${screens}${name}-${scheme}-cut.png` });
        await fine(page);
        await page.locator('.papers summary').first().click();
        await page.locator('[data-offer]').first().waitFor();
        await page.getByRole('button', { name: 'From the market' }).first().click();
        await page.getByLabel('The owner pays in all, tax included').first().fill('480');
        await page.getByText('480.00').first().waitFor();
        const quote = await page.getByRole('link', { name: /^Quote/ }).first().getAttribute('href');
        must(quote.includes('market=480'), `the quote is at another price: ${quote}`);
        must((await fetch(new URL(quote, url))).headers.get('content-type') === 'application/pdf', 'no quote');
        await page.locator('.papers').first().screenshot({ path: `${screens}${name}-${scheme}-papers.png` });
        await fine(page);
        await close();
      });
}
