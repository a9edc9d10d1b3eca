// Build steps for the installed page: icons as PNG from public/icon.svg, and the worker's list of files.
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { Resvg } from '@resvg/resvg-js';
import type { Plugin } from 'vite';

const WORKER = 'worker.js';
const ICON = 'public/icon.svg';
const GROUND = '#f7f2e8';
// 192 and 512: what browsers ask for to install (W3C Web Application Manifest, section on icons); 180: home
// screens that do not read the manifest. The maskable one is drawn smaller on a full ground: its safe zone is a circle of 40 % of the width.
const PNGS = [
  { name: 'icon-192.png', size: 192, maskable: false },
  { name: 'icon-512.png', size: 512, maskable: false },
  { name: 'icon-maskable-512.png', size: 512, maskable: true },
  { name: 'icon-180.png', size: 180, maskable: true },
];
const FROM_PUBLIC = ['manifest.webmanifest', 'icon.svg'];

export function renderIcon(svg: string, size: number, maskable: boolean): Buffer {
  const inner = svg.replace(/<svg /, maskable ? '<svg x="4" y="4" width="24" height="24" ' : '<svg width="32" height="32" ');
  const ground = maskable ? `<rect width="32" height="32" fill="${GROUND}"/>` : '';
  const whole = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32">${ground}${inner}</svg>`;
  return Buffer.from(new Resvg(whole, { fitTo: { mode: 'width', value: size } }).render().asPng());
}

export function offline(): Plugin {
  return {
    name: 'tackcloth-offline',
    apply: 'build',
    enforce: 'post',
    generateBundle: {
      order: 'post',
      handler(_, bundle) {
        const svg = readFileSync(ICON, 'utf8');
        for (const { name, size, maskable } of PNGS) {
          this.emitFile({ type: 'asset', fileName: name, source: renderIcon(svg, size, maskable) });
        }
        const hash = createHash('sha256');
        for (const name of FROM_PUBLIC) hash.update(readFileSync(`public/${name}`));
        const files: string[] = ['/', ...FROM_PUBLIC.map((f) => `/${f}`), '/icon-192.png'];
        for (const [name, file] of Object.entries(bundle).sort(([a], [b]) => a.localeCompare(b))) {
          if (name === WORKER || name.endsWith('.map')) continue;
          hash.update(name).update(file.type === 'chunk' ? file.code : file.source);
          if (name.startsWith('assets/')) files.push(`/${name}`);
        }
        const worker = bundle[WORKER];
        if (worker?.type !== 'chunk') return this.error(`${WORKER} was not built`);
        hash.update(worker.code);
        const built = JSON.stringify({ version: hash.digest('hex').slice(0, 16), files });
        const filled = worker.code.replace(/(["'`])__BUILT__\1/g, built);
        if (filled === worker.code) return this.error('the worker has no place for the list of files');
        if (/^\s*(im|ex)port\b/m.test(filled)) return this.error('the worker must be one file: something it imports is shared with the page');
        worker.code = filled;
      },
    },
  };
}
