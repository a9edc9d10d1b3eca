// Planned against told, the price agreed, what materials cost, and the year; on the screen and on paper.
import { fine, must, fingersFit } from './checks.mjs';

export async function toldChecks(tally, fresh, sizes, screens, url) {
  const opened = async (size, scheme, hash) => {
    const { page, close } = await fresh(size, scheme);
    await page.waitForSelector('[data-link=live]', { timeout: 10_000 });
    await page.evaluate((to) => (location.hash = to), hash);
    return { page, close };
  };
  const json = async (path) => (await fetch(new URL(path, url))).json();
  const piece = (await json('/api/plan')).pieces[0];
  const told = async () => (await json(`/api/actual?piece=${piece.id}`)).pieces[0];

  await tally.check('told: the price agreed and two purchases are written down, and taken out again', async () => {
    const { page, close } = await opened(sizes.phone, 'light', `#told=${piece.id}`);
    await page.waitForSelector('[data-told] table');
    await page.getByLabel('Agreed in all, tax included').fill('1,250.00');
    await page.getByRole('button', { name: /^Keep as agreed/ }).click();
    await page.getByRole('alert').filter({ hasText: 'thousands mark' }).waitFor();
    await page.getByLabel('Agreed in all, tax included').fill('1250');
    await page.getByRole('button', { name: /^Keep as agreed/ }).click();
    await page.getByText('Agreed with the owner: €1,250.00 in all.').waitFor();
    await page.getByText('The price is the one agreed').waitFor({ timeout: 20_000 });
    must((await told()).planned.total === '1250.00', 'the service has another price');
    for (const [what, amount] of [['Varnish', '21,50'], ['Pads', '3.05']]) {
      await page.getByLabel('What was bought').fill(what);
      await page.getByLabel('Paid for it').fill(amount);
      await page.getByRole('button', { name: 'Write it down' }).click();
      await page.locator('.told-bought li', { hasText: what }).waitFor();
    }
    await page.getByText('€24.55 in all.').waitFor();
    await page.waitForFunction(async (id) => (await (await fetch(`/api/actual?piece=${id}`)).json()).pieces[0].materials_bought === '24.55', piece.id, { polling: 300, timeout: 20_000 });
    await fine(page);
    await fingersFit(page);
    await page.screenshot({ path: `${screens}phone-told-written.png`, fullPage: true });
    // Written down with the shopping list, it is the same.
    await page.evaluate(() => (location.hash = '#buy'));
    await page.locator('[data-paid] summary').click();
    await page.locator('[data-paid] select').selectOption(piece.id);
    await page.locator('[data-paid]').getByText('€24.55 in all.').waitFor();
    await page.locator('[data-paid]').screenshot({ path: `${screens}phone-paid.png` });
    await fine(page);
    await page.getByRole('button', { name: /^Take out.*Varnish/ }).click();
    await page.getByRole('button', { name: /^Take out.*Pads/ }).click();
    await page.locator('[data-paid]').getByText('unknown, not nothing').waitFor();
    await page.evaluate((id) => (location.hash = `#told=${id}`), piece.id);
    await page.getByRole('button', { name: /^No longer agreed/ }).click();
    await page.getByText('No price is agreed yet.').waitFor();
    await page.waitForFunction(
      async (id) => {
        const now = (await (await fetch(`/api/actual?piece=${id}`)).json()).pieces[0];
        return !now.agreed && now.materials_bought === null;
      },
      piece.id,
      { polling: 300, timeout: 20_000 },
    );
    await close();
  });

  for (const [name, size] of Object.entries(sizes))
    for (const scheme of ['light', 'dark'])
      await tally.check(`told, ${name}, ${scheme}: hours nobody told are unknown; the year has its files`, async () => {
        const { page, close } = await opened(size, scheme, `#told=${piece.id}`);
        await page.waitForSelector('[data-told] table');
        const now = await told();
        const all = await page.locator('[data-told] tr.all').first().innerText();
        must(now.hours.took_hours === null ? /unknown/.test(all) : !/unknown/.test(all), `all steps: ${all}`);
        must((await page.locator('[data-told] table').first().locator('tbody tr').count()) === now.kinds.length + 1, 'a kind of work is missing');
        await fine(page);
        await page.screenshot({ path: `${screens}${name}-${scheme}-told.png`, fullPage: true });
        await page.evaluate(() => (location.hash = '#year'));
        await page.waitForSelector('[data-year] h2');
        await page.locator('[data-year] nav a').first().waitFor();
        await fine(page);
        await page.screenshot({ path: `${screens}${name}-${scheme}-year.png`, fullPage: true });
        for (const word of ['ODS', 'CSV']) {
          const file = await fetch(new URL(await page.getByRole('link', { name: new RegExp(word) }).getAttribute('href'), url));
          must(file.status === 200 && /attachment/.test(file.headers.get('content-disposition') ?? ''), `no ${word}`);
        }
        await close();
      });

  await tally.check('told: on paper there is what was asked for, and nothing to press', async () => {
    const { page, close } = await opened(sizes.desktop, 'light', `#told=${piece.id}`);
    await page.waitForSelector('[data-told] table');
    await page.emulateMedia({ media: 'print' });
    must((await page.locator('button:visible, input:visible, nav:visible').count()) === 0, 'there is something to press');
    must(await page.getByRole('heading', { name: 'Hours by kind of work' }).isVisible(), 'the hours are not printed');
    await page.pdf({ path: `${screens}told.pdf`, format: 'A4' });
    await close();
  });
}
