// The installed page: opens without a line, says how old it is, and what was logged arrives once. The line is a proxy of
// our own that can be cut for good, so that the service worker's requests are cut with it.
import { request as ask, createServer } from 'node:http';
import { gzipSync } from 'node:zlib';
import { must, noAxeFindings, noSidewaysScroll } from './checks.mjs';

class Line {
  swallow = false; // take entries to the service, but lose its answer
  sockets = new Set();

  constructor(service) {
    this.service = new URL(service);
  }
  async mend(port = 0) {
    this.server = createServer((from, to) => this.pass(from, to));
    this.server.on('connection', (s) => (this.sockets.add(s), s.on('close', () => this.sockets.delete(s))));
    await new Promise((done) => this.server.listen(port, '127.0.0.1', done));
    this.port = this.server.address().port;
    this.url = `http://127.0.0.1:${this.port}/`;
  }
  async cut() {
    const closed = new Promise((done) => this.server.close(done));
    for (const s of this.sockets) s.destroy();
    await closed;
  }
  pass(from, to) {
    const headers = { ...from.headers, host: this.service.host };
    if (headers.origin) headers.origin = this.service.origin;
    const on = ask({ host: this.service.hostname, port: this.service.port, path: from.url, method: from.method, headers }, (answer) => {
      if (this.swallow && from.method === 'POST') return answer.resume(), to.destroy();
      to.writeHead(answer.statusCode, answer.headers);
      answer.pipe(to);
    });
    on.on('error', () => to.destroy());
    to.on('close', () => on.destroy());
    from.pipe(on);
  }
}

const live = (page) => page.waitForSelector('[data-link=live]', { timeout: 15_000 });
const ready = (page) => page.waitForSelector('#now .nexts, #now .big', { timeout: 15_000 });
const lost = (page) => page.waitForSelector('.notice.lost', { timeout: 15_000 });
const kept = (page) =>
  // A worker that is still activating when its last page closes may not be there for the next one.
  page.waitForFunction(async () => navigator.serviceWorker.controller?.state === 'activated' && (await caches.match('/api/plan')) && (await caches.match('/api/log')), undefined, {
    polling: 200,
    timeout: 20_000,
  });
const emptied = (page) => page.waitForFunction(() => localStorage.getItem('tackcloth.outbox') === '[]', undefined, { polling: 200, timeout: 30_000 });
const firstAct = (page) => page.locator('#now .acts button:not(.quiet)').first();

export async function offlineChecks(tally, browser, sizes, screens, url) {
  const entries = async () => (await (await fetch(new URL('/api/log', url))).json()).entries;
  const phone = async (line) => {
    const context = await browser.newContext({ viewport: sizes.phone, locale: 'en-GB', reducedMotion: 'reduce' });
    const page = await context.newPage();
    await page.goto(line.url);
    await ready(page);
    await live(page);
    await kept(page);
    return { context, page };
  };

  await tally.check('offline: opens without a line, says how old it is; an entry made there survives closing and arrives once', async () => {
    const line = new Line(url);
    await line.mend();
    const { context, page } = await phone(line);
    const before = (await entries()).length;
    await line.cut();
    await lost(page);
    await firstAct(page).click();
    await page.waitForSelector('.slip.kept', { timeout: 15_000 });
    await page.close();

    const again = await context.newPage();
    await again.goto(line.url);
    await ready(again);
    await lost(again);
    must(/What you see is from \d/.test(await again.locator('.notice.lost').innerText()), 'it does not say of when it is');
    must((await again.locator('[data-link=live]').count()) === 0, 'it claims to be up to date');
    must((await again.locator('.slip.kept').count()) === 1, 'the entry is not shown');
    must((await entries()).length === before, 'stored without a line?');
    await again.screenshot({ path: `${screens}phone-reopened-offline.png` });
    await noAxeFindings(again);
    await noSidewaysScroll(again);
    // The other language and its book of sentences are kept, too.
    await again.locator('input[name="language"][value="de"]').locator('xpath=..').click();
    await again.waitForFunction(() => document.documentElement.lang === 'de');
    must((await again.locator('#now [lang=en]').count()) === 0, 'English left: the book was not kept');
    await again.locator('input[name="language"][value="en"]').locator('xpath=..').click();
    await again.close();

    await line.mend(line.port);
    const third = await context.newPage();
    await third.goto(line.url);
    await ready(third);
    await live(third);
    await emptied(third);
    await third.reload();
    await live(third);
    const now = await entries();
    must(now.length === before + 1, `${now.length - before} entries stored`);
    must(new Set(now.map((e) => e.key)).size === now.length, 'one key twice');
    await context.close();
    await line.cut();
  });

  await tally.check('offline: when the answer to an entry is lost, it is sent again and stored once', async () => {
    const line = new Line(url);
    await line.mend();
    const { context, page } = await phone(line);
    const before = (await entries()).length;
    line.swallow = true;
    await firstAct(page).click();
    await page.waitForSelector('.slip.kept', { timeout: 15_000 });
    must((await entries()).length === before + 1, 'it did not arrive');
    await page.close();
    line.swallow = false;
    const again = await context.newPage();
    await again.goto(line.url);
    await live(again);
    await emptied(again);
    must((await entries()).length === before + 1, 'stored twice');
    await context.close();
    await line.cut();
  });

  await tally.check('offline: a plan from before is never shown as up to date, and gives way to the new one', async () => {
    const line = new Line(url);
    await line.mend();
    const { context, page } = await phone(line);
    // What is kept is made older and other, as if the shop had planned on while the line was down.
    await page.evaluate(async () => {
      for (const name of await caches.keys()) {
        const cache = await caches.open(name);
        const answer = await cache.match('/api/plan');
        if (!answer) continue;
        const headers = new Headers(answer.headers);
        headers.set('Tackcloth-Kept', String(Date.now() - 26 * 3600 * 1000));
        headers.set('ETag', '"plan-0"');
        const plan = await answer.json();
        await cache.put(new URL('/api/plan', location.href).href, new Response(JSON.stringify({ ...plan, shop: 'As it was' }), { headers }));
      }
    });
    await line.cut();
    const again = await context.newPage();
    await again.goto(line.url);
    await lost(again);
    await again.locator('h1', { hasText: /^As it was$/ }).waitFor({ timeout: 30_000 });
    // More than a day ago: told with its day.
    must(/from \w{3},? \d+ \w+/.test(await again.locator('.notice.lost').innerText()), await again.locator('.notice.lost').innerText());
    await line.mend(line.port);
    await again.waitForFunction(() => document.querySelector('h1').textContent !== 'As it was', undefined, { polling: 200, timeout: 30_000 });
    await live(again);
    await context.close();
    await line.cut();
  });

  // 200 kB: what the design allows the first load, without photos.
  await tally.check('installing: the first load is below 200 kB, compressed', async () => {
    const context = await browser.newContext({ viewport: sizes.phone, serviceWorkers: 'block' });
    const page = await context.newPage();
    const bodies = [];
    page.on('response', (r) => r.request().url().includes('/api/') || bodies.push(r.body()));
    await page.goto(url);
    await ready(page);
    const packed = (await Promise.all(bodies)).map((b) => gzipSync(b).length);
    const sum = packed.reduce((a, b) => a + b, 0);
    must(packed.length >= 3 && sum < 200_000, `${sum} bytes in ${packed.length} files`);
    await context.close();
  });

  await tally.check('installing: the manifest, its icons and the worker are served, and nothing of it is refused by the policy', async () => {
    const manifest = await (await fetch(new URL('/manifest.webmanifest', url))).json();
    for (const { src, type, sizes: size } of manifest.icons) {
      const answer = await fetch(new URL(src, url));
      must(answer.ok && answer.headers.get('content-type') === type, `${src}: ${answer.status} ${answer.headers.get('content-type')}`);
      if (type !== 'image/png') continue;
      const png = Buffer.from(await answer.arrayBuffer());
      must(`${png.readUInt32BE(16)}x${png.readUInt32BE(20)}` === size, `${src} is not ${size}`);
    }
    const context = await browser.newContext({ viewport: sizes.phone });
    const page = await context.newPage();
    const troubles = [];
    page.on('console', (m) => ['error', 'warning'].includes(m.type()) && troubles.push(m.text()));
    await page.goto(url);
    await kept(page);
    const session = await context.newCDPSession(page);
    const { errors } = await session.send('Page.getAppManifest');
    const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
    must(errors.length === 0, JSON.stringify(errors));
    // A private window, as the checks use, is the one thing that stands against it.
    const against = installabilityErrors.filter((e) => e.errorId !== 'in-incognito');
    must(against.length === 0, JSON.stringify(against));
    must(troubles.length === 0, troubles.join('\n'));
    await context.close();
  });
}
