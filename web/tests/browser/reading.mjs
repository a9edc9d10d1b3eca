// A reading of the air is written down on one device and seen on another; without a line it waits, and is sent once.
import { must, noAxeFindings, noSidewaysScroll } from './checks.mjs';

export async function readingChecks(tally, fresh, sizes, screens, url) {
  const readings = async () => (await (await fetch(new URL('/api/job', url))).json()).readings;
  const opened = async (size, scheme) => {
    const { page, close } = await fresh(size, scheme);
    await page.waitForSelector('[data-link=live]', { timeout: 10_000 });
    await page.locator('[data-reading]').waitFor();
    await page.locator('[data-reading]').evaluate((d) => (d.open = true));
    return { page, close };
  };
  const write = async (page, temp, damp) => {
    await page.getByLabel('Temperature, °C').fill(temp);
    await page.getByLabel('Humidity, %').fill(damp);
    await page.getByRole('button', { name: 'Keep this reading' }).click();
  };

  await tally.check('reading: one device writes it down, another shows it; it can be undone', async () => {
    const one = await opened(sizes.phone, 'dark');
    const two = await opened(sizes.desktop, 'light');
    await write(one.page, '31', '33');
    await two.page.getByText('31 °C, 33 % humidity').waitFor({ timeout: 60_000 });
    for (const { page } of [one, two]) {
      await noAxeFindings(page);
      await noSidewaysScroll(page);
      must(page.troubles.length === 0, page.troubles.join('\n'));
    }
    await two.page.locator('[data-reading]').screenshot({ path: `${screens}desktop-reading.png` });
    await one.page.locator('[data-reading]').screenshot({ path: `${screens}phone-dark-reading.png` });
    await one.page.getByRole('button', { name: 'Undo' }).first().click();
    await two.page.getByText('31 °C, 33 % humidity').waitFor({ state: 'detached', timeout: 60_000 });
    await one.close();
    await two.close();
  });

  await tally.check('reading: without a line it is shown here, waits, and is sent once', async () => {
    const { page, close } = await opened(sizes.phone, 'light');
    await page.context().setOffline(true);
    await page.waitForSelector('.notice.lost', { timeout: 10_000 });
    await write(page, '7', '81');
    await page.getByText('7 °C, 81 % humidity').waitFor();
    must(!(await readings()).some((r) => r.temp_c === 7), 'it was sent without a line');
    await page.context().setOffline(false);
    for (let k = 0; k < 60 && !(await readings()).some((r) => r.temp_c === 7); k += 1) await new Promise((r) => setTimeout(r, 250));
    must((await readings()).filter((r) => r.temp_c === 7).length === 1, 'it did not arrive');
    const stored = (await (await fetch(new URL('/api/look', url))).json()).changes.filter((c) => c.change.temp_c === 7);
    must(stored.length === 1, `stored ${stored.length} times`);
    await fetch(new URL('/api/job', url), { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ key: `undo-${stored[0].key}`, change: { take_back: stored[0].key } }) });
    await close();
  });
}
