// Zones drawn on the face: put on, dragged, measured, kept, undone, printed at full size.
import { chromium } from 'playwright-core';
import { must, noAxeFindings, noSidewaysScroll } from './checks.mjs';
import { difference, openLooks, pageFor, painted, small, strokes } from './looks.mjs';

const changesOf = async (url) => (await (await fetch(new URL('/api/look', url))).json()).changes;
const settled = (page) => page.waitForSelector('#look[data-look="ready"]', { timeout: 60_000 });
// What the page says of a zone, and what the program says of it in the plan.
const amountOf = (page, zone) => page.locator(`[data-panel="${zone}"] [data-amount]`).innerText();

async function looksOf(url) {
  for (let i = 0; i < 240; i += 1) {
    const response = await fetch(new URL('/api/looks', url));
    if (response.status === 200) return response.json();
    await new Promise((done) => setTimeout(done, 250));
  }
  throw new Error('no looks within a minute');
}
async function storedZone(url, piece, part, zone) {
  const looks = await looksOf(url);
  return looks.pieces.find((p) => p.id === piece).zones.find((z) => z.part === part && z.zone === zone);
}
// Sent, and come back from the service.
async function keepAll(page) {
  await page.getByRole('button', { name: 'Keep what is new' }).click();
  await page.waitForFunction(
    () => !document.querySelector('#look .tools')?.textContent.includes('not kept yet') && document.querySelector('#look').dataset.look === 'ready',
    undefined,
    { timeout: 60_000 },
  );
}
const dragTo = async (page, handle, dx, dy) => {
  await page.locator('.face svg').scrollIntoViewIfNeeded();
  const box = await page.locator(`[data-handle="${handle}"] .knob`).boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + dx / 2, y + dy / 2, { steps: 3 });
  await page.mouse.move(x + dx, y + dy, { steps: 3 });
  const said = await page.locator('[data-snapped]').innerText();
  await page.mouse.up();
  return said;
};
async function putOn(page, shape, name, treatment = 'paint') {
  const details = page.locator('.new-zone');
  if (!(await details.evaluate((d) => d.open))) await details.locator('summary').click();
  await details.getByLabel(shape, { exact: true }).check();
  await details.getByLabel('Name').fill(name);
  await details.getByLabel('Treatment').selectOption(treatment);
  await details.getByRole('button', { name: 'Put it on the face' }).click();
}
const sheetTo = async (page, label) => {
  await page.locator('#look .picks select').nth(1).selectOption({ label });
};

const HEADLESS = ['--headless', '--no-sandbox', '--disable-quic', '--no-first-run'];
const PAINTERS = { chip: ['--use-angle=swiftshader', '--enable-unsafe-swiftshader'], plain: ['--disable-gpu', '--disable-3d-apis'] };

// What is on the canvas once two frames in a row have brought nothing new.
async function stilled(page) {
  for (let last = -1; ; ) {
    const now = await strokes(page);
    if (now === last) return small(page, '.face canvas');
    last = now;
    await page.evaluate(() => new Promise((done) => setTimeout(done, 150)));
  }
}
// A cloth in four colours, 32 x 32 pixels, as PNG.
async function checked(page) {
  const png = await page.evaluate(() => {
    const sheet = document.createElement('canvas');
    sheet.width = sheet.height = 32;
    const pen = sheet.getContext('2d');
    ['#c02020', '#f0f0f0', '#204080', '#d0a030'].forEach((colour, i) => {
      pen.fillStyle = colour;
      pen.fillRect(16 * (i % 2), 16 * Math.floor(i / 2), 16, 16);
    });
    return sheet.toDataURL('image/png').split(',')[1];
  });
  return Buffer.from(png, 'base64');
}

export async function zoneChecks(tally, fresh, sizes, screens, url) {
  await tally.check('zones: every shape goes on a face, is seen, measured and kept; the program says the same', async () => {
    const { page, close } = await fresh(sizes.desktop);
    await openLooks(page);
    await sheetTo(page, 'Drawing: case, left');
    // left is one whole zone: it becomes what the others leave.
    for (const [shape, name] of [['Circle', 'moon'], ['Rounded rectangle', 'pane']]) {
      await putOn(page, shape, name);
      await page.waitForSelector(`[data-panel="${name}"]`);
    }
    // The rectangle lies over the circle until it is moved away: told at once, by name.
    must((await page.locator('[data-trouble]').innerText()).includes('moon'), 'the overlap is not told');
    const pane = page.locator('[data-panel="pane"]');
    const set = async (panel, label, text) => {
      const field = panel.getByLabel(label, { exact: true }).first();
      await field.fill(text);
      await field.press('Enter');
    };
    await set(pane, 'Width', '8 cm');
    await set(pane, 'Height', '6.5');
    await set(pane, 'Corner radius', '15 mm');
    await set(pane, 'From below', '2 cm');
    must((await page.locator('[data-trouble]').count()) === 0, 'still in the way');
    await page.screenshot({ path: `${screens}desktop-zones-drawn.png` });
    const amounts = {};
    for (const zone of ['moon', 'pane', 'left']) {
      await page.locator(`.zone-pick[data-zone="${zone}"] input`).check();
      amounts[zone] = await amountOf(page, zone);
    }
    const before = (await changesOf(url)).length;
    await keepAll(page);
    must((await changesOf(url)).length === before + 3, 'not one change for each zone');
    const stored = await storedZone(url, 'cabinet', 'case', 'pane');
    const wanted = (80 * 65 - (4 - Math.PI) * 15 * 15) / 1e6;
    must(Math.abs(stored.area_m2 - wanted) < 1e-6, `${stored.area_m2} m², not ${wanted}`);
    // What is on the screen has not changed by being kept: the page had computed what the program does.
    for (const zone of ['moon', 'pane', 'left']) {
      await page.locator(`.zone-pick[data-zone="${zone}"] input`).check();
      must((await amountOf(page, zone)) === amounts[zone], `${zone}: ${amounts[zone]} became ${await amountOf(page, zone)}`);
    }
    await close();
  });

  await tally.check('zones: the template of a kept zone is a PDF at full size, on both papers', async () => {
    const { page, close } = await fresh(sizes.phone);
    await openLooks(page);
    await page.locator('.zone-pick[data-zone="sunrise"] input').check();
    const links = await page.locator('[data-template] a').evaluateAll((all) => all.map((a) => a.getAttribute('href')));
    must(links.length === 2, `${links.length} links`);
    for (const [k, size] of [['a4', [595, 842]], ['letter', [612, 792]]]) {
      const response = await fetch(new URL(links.find((l) => l.endsWith(k)), url));
      must(response.headers.get('content-type') === 'application/pdf', response.headers.get('content-type'));
      must(/attachment; filename="cabinet-case-sunrise\.pdf"/.test(response.headers.get('content-disposition')), 'no file name');
      const pdf = Buffer.from(await response.arrayBuffer()).toString('latin1');
      must(pdf.startsWith('%PDF-'), pdf.slice(0, 20));
      const box = /\/MediaBox \[\s*0 0 ([\d.]+) ([\d.]+)/.exec(pdf);
      const sides = [Number(box[1]), Number(box[2])].sort((a, b) => a - b);
      must(sides.every((s, i) => Math.abs(s - size[i]) < 1), `paper ${sides}`);
    }
    await page.locator('[data-panel="sunrise"]').getByLabel('As a stencil').check();
    const held = await fetch(new URL(await page.locator('[data-template] a').first().getAttribute('href'), url));
    must(/filename="cabinet-case-sunrise-stencil\.pdf"/.test(held.headers.get('content-disposition')), 'no stencil');
    must(Buffer.from(await held.arrayBuffer()).toString('latin1').startsWith('%PDF-'), 'the stencil is no PDF');
    for (const bad of ['cabinet/case/none?paper=a4', 'cabinet/case/sunrise?paper=a3', 'cabinet']) {
      const refused = await fetch(new URL(`/api/template/${bad}`, url));
      must(refused.status === 422 && (await refused.json()).remedy !== '', `${bad}: ${refused.status}`);
    }
    await close();
  });

  await tally.check('zones: dragged on the photo with a finger or a mouse it snaps and says to what; undo, do again', async () => {
    const { page, close } = await fresh(sizes.desktop);
    await openLooks(page);
    await page.locator('.zone-pick[data-zone="sunrise"] input').check();
    const panel = page.locator('[data-panel="sunrise"]');
    const radius = () => panel.getByLabel('Radius', { exact: true }).first().inputValue();
    must((await radius()) === '19 cm', await radius());
    const photo = await page.locator('.face svg').boundingBox();
    // To two thirds of the face's height, 273.33 mm, over its middle.
    const knob = await page.locator('[data-handle="crown"] .knob').boundingBox();
    const perMm = (await page.locator('[data-handle="move"] .knob').boundingBox()).y - knob.y;
    const said = await dragTo(page, 'crown', 0, -(perMm / 190) * 84);
    must(/third/.test(said), `held by “${said}”`);
    must((await radius()) === '27.33 cm', await radius());
    must(photo.width > 400, 'the photo is small');
    await page.locator('#look .bench').screenshot({ path: `${screens}desktop-zones-dragged.png` });
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    must((await radius()) === '19 cm', `after undo ${await radius()}`);
    await page.keyboard.press('Control+y');
    must((await radius()) === '27.33 cm', 'not done again by the keyboard');
    await page.keyboard.press('Control+z');
    // By keys: one millimetre a press, never held fast by a line nearby.
    await page.locator('[data-handle="crown"]').focus();
    for (let i = 0; i < 4; i += 1) await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Shift+ArrowDown');
    must((await radius()) === '17.6 cm', await radius());
    // In inches.
    await page.getByLabel('US', { exact: true }).check();
    const field = panel.getByLabel('Radius', { exact: true }).first();
    await field.fill('7 1/2');
    await field.press('Enter');
    must((await radius()) === '7 1/2 in', await radius());
    await field.press('ArrowUp');
    must((await radius()) === '7 9/16 in', await radius());
    await field.fill('seven');
    await field.press('Enter');
    await panel.getByText('Not a length').waitFor();
    await page.getByLabel('Metric', { exact: true }).check();
    await close();
  });

  await tally.check('zones: a polygon by taps, an arc through three points, by chord and rise', async () => {
    const { page, close } = await fresh(sizes.phone);
    await openLooks(page);
    await sheetTo(page, 'Drawing: case, top');
    await putOn(page, 'Polygon', 'kite');
    const svg = page.locator('.face svg');
    await svg.scrollIntoViewIfNeeded();
    const box = await svg.boundingBox();
    const place = (x, y) => ({ position: { x: box.width * x, y: box.height * y } });
    for (const [x, y] of [[0.2, 0.3], [0.45, 0.25], [0.5, 0.6], [0.3, 0.7]]) await svg.click(place(x, y));
    await page.locator('.tapbar').scrollIntoViewIfNeeded();
    await page.screenshot({ path: `${screens}phone-zones-taps.png` });
    await page.getByRole('button', { name: 'Close the outline' }).click();
    must(/Polygon: /.test(await amountOf(page, 'kite')), await amountOf(page, 'kite'));
    must((await page.locator('[data-handle^="corner"]').count()) === 4, 'a handle for every corner');
    await putOn(page, 'Half circle', 'dish', 'clear');
    const panel = page.locator('[data-panel="dish"]');
    await panel.locator('.arc-ways summary').click();
    await panel.getByLabel('Chord', { exact: true }).fill('20 cm');
    await panel.getByLabel('Rise over the chord').fill('4 cm');
    await panel.getByRole('button', { name: 'Use these' }).click();
    // An arch without straight sides: r = 20² / (8 · 4) + 4 / 2 = 14.5.
    must(/^Arch: /.test(await amountOf(page, 'dish')), await amountOf(page, 'dish'));
    await panel.getByLabel('The arc is given by its').selectOption('radius');
    must((await panel.getByLabel('Radius', { exact: true }).first().inputValue()) === '14.5 cm', 'the radius of chord and rise');
    await panel.getByRole('button', { name: 'Take dish off the face' }).click();
    await putOn(page, 'Circle', 'plate');
    await page.locator('[data-panel="plate"] .arc-ways summary').click();
    await page.getByRole('button', { name: 'Through three points' }).click();
    await svg.scrollIntoViewIfNeeded();
    // A circle of a tenth of the sheet's width around (0.75, 0.5).
    for (const turn of [0.1, 2.2, 4.3]) await svg.click(place(0.75 + 0.1 * Math.cos(turn), 0.5 + ((0.1 * box.width) / box.height) * Math.sin(turn)));
    const plate = await page.locator('[data-panel="plate"]').getByLabel('Radius', { exact: true }).first().inputValue();
    const mm = Number(plate.replace(' cm', '')) * 10;
    const wanted = 0.1 * (680 + (2 * 680) / 12);
    must(Math.abs(mm - wanted) < 9, `${mm} mm, not about ${wanted}`); // a pixel of the telephone is 2.4 mm, and taps snap to lines
    await noAxeFindings(page);
    await noSidewaysScroll(page);
    await page.getByRole('button', { name: 'Back to what is kept' }).click();
    await close();
  });

  await tally.check('zones: cloth from a picture at its scale, plain cloth, metal; a photo of it is never needed twice', async () => {
    const { page, close } = await fresh(sizes.desktop);
    await openLooks(page);
    await sheetTo(page, 'Drawing: speaker-cloth, front');
    const panel = page.locator('[data-panel="cloth"]');
    await panel.getByLabel('Picture of the cloth').setInputFiles({ name: 'cloth.png', mimeType: 'image/png', buffer: await checked(page) });
    await panel.getByRole('img').waitFor();
    await panel.getByLabel('Width of the repeat').fill('65 mm');
    await panel.getByLabel('Width of the repeat').press('Enter');
    await page.waitForSelector('.face pattern image', { state: 'attached' });
    await page.screenshot({ path: `${screens}desktop-zones-cloth.png` });
    await keepAll(page);
    must(/cloth: .*swatch chosen/.test(await page.locator('[data-changes]').innerText()), 'the change is not told');
    const looks = await looksOf(url);
    const swatch = looks.pieces.find((p) => p.id === 'cabinet').swatches[0];
    must(swatch.repeat_mm === 65 && swatch.trouble === '', JSON.stringify(swatch));
    must((await fetch(new URL(swatch.picture, url))).headers.get('content-type') === 'image/jpeg', 'no swatch');
    // Something that is no picture is refused in words.
    await panel.getByLabel('Picture of the cloth').setInputFiles({ name: 'cloth.png', mimeType: 'image/png', buffer: Buffer.from('no picture') });
    await panel.getByText('cannot be read').waitFor();
    await noAxeFindings(page);
    must(page.troubles.length === 0, page.troubles.join('\n'));
    await close();
  });

  await tally.check('zones: cloth, metal and a shape just drawn look the same on the chip and in plain arithmetic', async () => {
    const seen = {};
    for (const [painter, args] of Object.entries(PAINTERS)) {
      const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: [...HEADLESS, ...args] });
      try {
        const page = await pageFor(browser, painter, sizes.desktop);
        await page.goto(url);
        await openLooks(page);
        const kind = await page.locator('.face canvas').getAttribute('data-painter');
        if (kind !== painter) {
          console.log(`SKIP  this browser paints by ${kind}: the painters were NOT compared`);
          return;
        }
        await page.locator('.zone-pick[data-zone="sunrise"] input').check();
        const bare = await small(page, '.face canvas');
        await page.locator('[data-panel="sunrise"]').getByLabel('Treatment').selectOption('fabric');
        await page.locator('[data-panel="sunrise"]').getByLabel('Picture of the cloth').setInputFiles({ name: 'cloth.png', mimeType: 'image/png', buffer: await checked(page) });
        await page.locator('[data-panel="sunrise"]').getByRole('img').waitFor();
        await putOn(page, 'Rounded rectangle', 'plate', 'metal_spray');
        const panel = page.locator('[data-panel="plate"]');
        for (const [label, text] of [['Width', '12 cm'], ['Height', '8 cm'], ['From below', '30 cm']]) {
          await panel.getByLabel(label, { exact: true }).first().fill(text);
          await panel.getByLabel(label, { exact: true }).first().press('Enter');
        }
        // Painted again only where it changed; from scratch it has to be the same.
        const pieces = await stilled(page);
        await page.setViewportSize({ width: sizes.desktop.width - 40, height: sizes.desktop.height });
        await stilled(page);
        await page.setViewportSize(sizes.desktop);
        const whole = await stilled(page);
        must(difference(pieces, whole) < 0.4, `${painter}: ${difference(pieces, whole).toFixed(2)} codes from painting everything anew`);
        must(difference(bare, whole) > 2, `${painter}: nothing was painted`);
        seen[painter] = whole;
        if (painter === 'chip') await page.locator('.face').screenshot({ path: `${screens}desktop-zones-cloth-photo.png` });
      } finally {
        await browser.close();
      }
    }
    const off = difference(seen.chip, seen.plain);
    must(off < 1.5, `${off.toFixed(2)} codes a channel apart`);
  });

  await tally.check('zones: taken off, undone after it was kept, and back to where it began', async () => {
    const { page, close } = await fresh(sizes.phone);
    await openLooks(page);
    await sheetTo(page, 'Drawing: case, left');
    await page.locator('.zone-pick[data-zone="moon"] input').check();
    await page.getByRole('button', { name: 'Take moon off the face' }).click();
    must((await page.locator('.zone-pick[data-zone="moon"]').count()) === 0, 'still there');
    await page.getByRole('button', { name: 'Keep what is new' }).click();
    await page.waitForFunction(() => /zone moon taken out/.test(document.querySelector('[data-changes]')?.textContent ?? ''), undefined, { timeout: 60_000 });
    await settled(page);
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    await page.waitForSelector('.zone-pick[data-zone="moon"]', { timeout: 60_000 });
    await page.getByRole('button', { name: 'Do again' }).click();
    await page.waitForSelector('.zone-pick[data-zone="moon"]', { state: 'detached', timeout: 60_000 });
    // Everything taken back, the newest first: the job file's own look.
    for (;;) {
      await settled(page);
      const standing = await page.locator('[data-changes] li:not(:has(s))').count();
      if (standing === 0) break;
      await page.getByRole('button', { name: 'Undo', exact: true }).click();
      await page.waitForFunction((n) => document.querySelectorAll('[data-changes] li:not(:has(s))').length < n, standing, { timeout: 60_000 });
    }
    const stored = await storedZone(url, 'cabinet', 'case', 'left');
    must(Math.abs(stored.area_m2 - 0.3 * 0.41) < 1e-9, `${stored.area_m2} m²`);
    await close();
  });

  for (const [name, size] of Object.entries(sizes)) {
    for (const scheme of ['light', 'dark']) {
      await tally.check(`zones, ${name}, ${scheme}: all tools opened`, async () => {
        const { page, close } = await fresh(size, scheme);
        await openLooks(page);
        await page.locator('.zone-pick[data-zone="sunrise"] input').check();
        await page.evaluate(() => document.querySelectorAll('#look details').forEach((d) => (d.open = true)));
        await page.locator('#look').screenshot({ path: `${screens}${name}-${scheme}-zones.png` });
        await noAxeFindings(page);
        await noSidewaysScroll(page);
        await close();
      });
    }
  }

  for (const [name, size] of Object.entries(sizes)) {
    for (const [painter, args] of Object.entries(PAINTERS)) {
      await tally.check(`zones, ${name}, ${painter}: frames while a zone is dragged`, async () => {
        const browser = await chromium.launch({
          executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
          args: [...HEADLESS, ...args],
        });
        try {
          const page = await pageFor(browser, painter, size);
          await page.goto(url);
          await openLooks(page);
          const kind = await page.locator('.face canvas').getAttribute('data-painter');
          if (kind !== painter) {
            console.log(`SKIP  this browser paints by ${kind}: NOT measured`);
            return;
          }
          const { ms, took } = await framesWhileDragged(page);
          must(Number.isFinite(ms), 'nothing is painted while the drag goes on');
          console.log(`      ${ms.toFixed(1)} ms a frame, ${took.toFixed(1)} ms of it in the painter (${painter === 'chip' ? 'software WebGL' : 'plain'})`);
        } finally {
          await browser.close();
        }
      });
    }
  }
}

// The radius of the half circle by its slider, moved anew in every frame of the screen: how long from one painted frame to
// the next, and the median time in the painter (what software GL is asked for it does later; the first number has it).
export async function framesWhileDragged(page) {
  await painted(page);
  return page.evaluate(async () => {
    const slider = document.querySelector('[data-panel="sunrise"] input[type=range], [data-zone="sunrise"] input[type=range]');
    const canvas = document.querySelector('.face canvas');
    // The moment after a frame at which a browser hands over what a finger did, not within the frame.
    const gate = new MessageChannel();
    const frame = () =>
      new Promise((done) => {
        gate.port1.onmessage = done;
        requestAnimationFrame(() => gate.port2.postMessage(0));
      });
    const count = () => Number(canvas.dataset.painted);
    const took = [];
    await frame();
    const [from, first] = [performance.now(), count()];
    for (let i = 0; i < 90 && performance.now() - from < 8000; i += 1) {
      slider.value = String(120 + (i % 45));
      slider.dispatchEvent(new Event('input', { bubbles: true }));
      await frame();
      took.push(Number(canvas.dataset.took ?? 0));
    }
    // Until all that was asked for is drawn.
    const pen = document.createElement('canvas').getContext('2d');
    pen.drawImage(canvas, 0, 0, 1, 1, 0, 0, 1, 1);
    pen.getImageData(0, 0, 1, 1);
    return { ms: (performance.now() - from) / (count() - first), took: took.sort((a, b) => a - b)[took.length >> 1] };
  });
}
