import { describe, expect, it } from 'vitest';
import { renderIcon } from '../../build/offline';
import { KEPT, kindOf, worthKeeping } from '../../src/offline/keep';
import { KEPT_HEADER, keptAt } from '../../src/offline/kept';
import { readFileSync } from 'node:fs';

const HERE = 'http://127.0.0.1:8420';
const kind = (path: string, method = 'GET', mode = 'cors') => kindOf({ method, url: new URL(path, HERE).href, mode }, HERE);

describe('what is kept for the bench without a line', () => {
  it('is the page, its files, and the last answers', () => {
    expect(kind('/', 'GET', 'navigate')).toBe('page');
    expect(kind('/assets/index-abc.js')).toBe('asset');
    expect(kind('/api/plan')).toBe('answer');
    expect(kind('/api/log')).toBe('answer');
  });
  it('is never a stream, an entry on its way, or what belongs to somebody else', () => {
    expect(kind('/api/events')).toBe('pass');
    expect(kind('/api/sooner')).toBe('pass');
    expect(kind('/api/boards/table')).toBe('pass');
    expect(kind('/api/trial/0123456789abcdef')).toBe('pass');
    expect(kind('/api/labels/table')).toBe('pass');
    expect(kind('/api/apart')).toBe('answer');
    expect(kind('/api/log', 'POST')).toBe('pass');
    expect(kind('https://elsewhere.invalid/api/plan')).toBe('pass');
  });
  it('is no refusal, no half answer, nothing but JSON', () => {
    const answer = (status: number, type = 'application/json; charset=utf-8') => ({ status, headers: new Headers({ 'Content-Type': type }) });
    expect(worthKeeping(answer(200))).toBe(true);
    for (const status of [202, 206, 304, 404, 500]) expect(worthKeeping(answer(status))).toBe(false);
    expect(worthKeeping(answer(200, 'text/html'))).toBe(false);
  });
});

describe('a kept answer', () => {
  it('tells its hour; a fresh one tells none', () => {
    expect(KEPT_HEADER).toBe(KEPT);
    expect(keptAt({ headers: new Headers({ [KEPT]: '1772616600000' }) })?.toISOString()).toBe('2026-03-04T09:30:00.000Z');
    for (const headers of [new Headers(), new Headers({ [KEPT]: '' }), new Headers({ [KEPT]: 'yesterday' })]) expect(keptAt({ headers })).toBeNull();
  });
});

describe('the icons', () => {
  const svg = readFileSync('public/icon.svg', 'utf8');
  // PNG, W3C: the signature, then the header chunk with width and height as big-endian 32 bit.
  const sizeOf = (png: Buffer) => [png.readUInt32BE(16), png.readUInt32BE(20)];
  it('come out in the size that the manifest names', () => {
    const manifest = JSON.parse(readFileSync('public/manifest.webmanifest', 'utf8')) as { icons: { sizes: string; type: string; purpose?: string }[] };
    const pngs = manifest.icons.filter((i) => i.type === 'image/png');
    expect(pngs.length).toBeGreaterThan(2);
    for (const { sizes, purpose } of pngs) {
      const [w, h] = sizes.split('x').map(Number);
      const png = renderIcon(svg, w!, purpose === 'maskable');
      expect(png.subarray(1, 4).toString()).toBe('PNG');
      expect(sizeOf(png)).toEqual([w, h]);
    }
  });
});
