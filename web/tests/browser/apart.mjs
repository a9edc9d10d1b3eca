// A piece taken apart and put back, and the desk's own page: telephones let in, everything as one file.
import { fine, must, fingersFit } from './checks.mjs';

export async function deskAndApartChecks(tally, fresh, sizes, screens, url) {
  const opened = async (size, scheme, hash) => {
    const { page, close } = await fresh(size, scheme);
    await page.waitForSelector('#now .nexts, #now .big', { timeout: 10_000 });
    await page.waitForSelector('[data-link=live]', { timeout: 10_000 });
    await page.evaluate((to) => (location.hash = to), hash);
    return { page, close };
  };
  const stored = async () => (await (await fetch(new URL('/api/apart', url))).json()).pieces.find((p) => p.piece === 'cabinet' || p.id === 'cabinet');

  await tally.check('apart, phone: a part comes off with its screws and wire, and goes back on', async () => {
    const { page, close } = await opened(sizes.phone, 'light', '#apart=cabinet');
    await page.getByText('What comes off now?').waitFor();
    await page.getByLabel('Which part').selectOption({ index: 1 });
    const name = await page.getByLabel('Called').inputValue();
    await page.getByRole('button', { name: 'What held it' }).click();
    await page.getByLabel('How many').fill('4');
    await page.getByLabel('Size').fill('3.5 × 30, slotted');
    await page.getByRole('button', { name: 'A wire was taken off' }).click();
    await page.getByLabel('One end was on').fill('loudspeaker');
    await page.getByLabel('The other end was on').fill('chassis');
    await page.screenshot({ path: `${screens}phone-apart-off.png`, fullPage: true });
    await fine(page);
    await page.getByRole('button', { name: 'It is off' }).click();
    await page.getByText('Off so far').waitFor();
    await page.getByText('4 screw').first().waitFor();
    await page.getByRole('button', { name: /^Putting back/ }).click();
    await page.getByText('The last thing off goes on first.').waitFor();
    await page.waitForFunction(() => !document.body.innerText.includes('not sent yet'));
    await page.screenshot({ path: `${screens}phone-apart-back.png`, fullPage: true });
    await fine(page);
    await fingersFit(page);
    must((await page.getByText('Pull the plug').count()) > 0, 'the caution about mains is not there');
    must(JSON.stringify(await stored() ?? '').includes(name), `the service does not know of ${name}`);
    const labels = await page.getByRole('link', { name: 'Labels to print (PDF)' }).getAttribute('href');
    must((await fetch(new URL(labels, url))).headers.get('content-type') === 'application/pdf', 'no labels');
    await close();
  });

  for (const [name, size] of Object.entries(sizes)) {
    for (const scheme of ['light', 'dark']) {
      await tally.check(`desk, ${name}, ${scheme}: telephones and everything as one file`, async () => {
        const { page, close } = await opened(size, scheme, '#shop');
        await page.getByRole('heading', { name: 'Telephones at the bench' }).waitFor();
        await page.getByText('Save everything as one file').waitFor();
        await page.getByRole('heading', { name: 'Telephones at the bench' }).scrollIntoViewIfNeeded();
        await page.screenshot({ path: `${screens}${name}-${scheme}-desk.png` });
        await fine(page);
        await close();
      });
    }
  }
}
