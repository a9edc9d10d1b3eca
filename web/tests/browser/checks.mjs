// A few helpers: counting, and what is asked of every view of the page.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

// A browser that has died or hangs is a failure, not a wait without end.
const LONGEST_MS = 90_000;
export async function inTime(work) {
  let timer;
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new Error(`no answer within ${LONGEST_MS / 1000} s`)), LONGEST_MS);
  });
  try {
    return await Promise.race([work, late]);
  } finally {
    clearTimeout(timer);
  }
}

// The beginning of a message, and from a dead browser's log only how it ended.
function tell(error) {
  const lines = String(error?.message ?? error).split('\n');
  return [...lines.slice(0, 6), ...lines.slice(6).filter((l) => /did exit|signal|FATAL/.test(l))].join('\n      ').slice(0, 2000);
}

export class Tally {
  passed = 0;
  failed = 0;

  // TACKCLOTH_ONLY: a part of the names to be run, for work on one of them.
  async check(name, body) {
    if (process.env.TACKCLOTH_ONLY && !name.includes(process.env.TACKCLOTH_ONLY)) return;
    try {
      await inTime(body());
      this.passed += 1;
      console.log(`ok    ${name}`);
    } catch (error) {
      this.failed += 1;
      console.log(`FAIL  ${name}\n      ${tell(error)}`);
    }
  }
}

export function must(condition, otherwise) {
  if (!condition) throw new Error(otherwise);
}

// Reading the page wider than it is shown would need scrolling in two directions (WCAG 2.1, 1.4.10 Reflow).
export async function noSidewaysScroll(page) {
  const wide = await page.evaluate(() => {
    const room = document.documentElement.clientWidth;
    const over = [...document.querySelectorAll('body *')]
      .filter((e) => !e.closest('.sr, .skip') && e.getBoundingClientRect().right > room + 1)
      .map((e) => `${e.tagName}.${e.className} ${Math.round(e.getBoundingClientRect().right)}`);
    return { room, whole: document.documentElement.scrollWidth, over: over.slice(0, 5) };
  });
  must(wide.whole <= wide.room && wide.over.length === 0, `wider than ${wide.room}: ${wide.whole} ${wide.over.join('; ')}`);
}

// axe-core, every rule of WCAG 2.1 A and AA and its own good practice.
export async function noAxeFindings(page) {
  await page.evaluate(axe); // by the debugger: the page's own policy would refuse an added script, as it should
  const found = await page.evaluate(async () => {
    const result = await globalThis.axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'best-practice'],
    });
    return result.violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.target.join(' ')).join(', ')}`);
  });
  must(found.length === 0, found.join('\n'));
}

// 44 px: the finger's size in WCAG 2.1, 2.5.5.
export async function fingersFit(page) {
  const small = await page.evaluate(() =>
    [...document.querySelectorAll('button, summary, fieldset label')]
      .filter((e) => e.getClientRects().length > 0)
      .filter((e) => e.getBoundingClientRect().height < 43.5)
      .map((e) => `${e.textContent?.trim().slice(0, 30)} ${e.getBoundingClientRect().height}`),
  );
  must(small.length === 0, small.slice(0, 5).join('; '));
}

export async function openEverything(page) {
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => (d.open = true)));
}

// Nothing axe finds, nothing to scroll sideways, no error on the console.
export async function fine(page) {
  await noAxeFindings(page);
  await noSidewaysScroll(page);
  must(page.troubles.length === 0, page.troubles.join('\n'));
}
