// The service worker: a page that opens without a line, with the last plan and log and the hour they are from. Writing
// is left to the outbox (outbox.ts), which knows what was stored.
import { KEPT, kindOf, PATIENCE_MS, worthKeeping } from './keep';

// The part of the service worker's world that is used here (W3C Service Workers); TypeScript's own library for it cannot
// be loaded beside the one for pages.
interface Ends extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Asks extends Ends {
  request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface World {
  location: Location;
  clients: { claim(): Promise<void> };
  addEventListener(name: 'install' | 'activate', act: (event: Ends) => void): void;
  addEventListener(name: 'fetch', act: (event: Asks) => void): void;
}
const world = globalThis as unknown as World;

// Filled in by the build: the files of the page, and a hash over all of them.
const BUILT = '__BUILT__' as unknown as { version: string; files: string[] };
const SHELL = `tackcloth-page-${BUILT.version}`;
const ANSWERS = 'tackcloth-answers-1';
const FIRST = ['/api/plan', '/api/log', '/api/job', '/api/choices'];

world.addEventListener('install', (event) => {
  event.waitUntil(
    caches.open(SHELL).then((shell) => shell.addAll(BUILT.files.map((f) => new Request(f, { cache: 'reload' })))),
  );
});

world.addEventListener('activate', (event) => {
  const tidy = async () => {
    const names = await caches.keys();
    await Promise.all(names.filter((n) => n.startsWith('tackcloth-') && n !== SHELL && n !== ANSWERS).map((n) => caches.delete(n)));
    await world.clients.claim();
    // The page that brought us here asked before we could listen.
    await Promise.all(FIRST.map((path) => ask(new Request(path)).catch(() => undefined)));
  };
  event.waitUntil(tidy());
});

world.addEventListener('fetch', (event) => {
  const kind = kindOf(event.request, world.location.origin);
  if (kind === 'page') event.respondWith(page(event.request));
  else if (kind === 'asset') event.respondWith(asset(event.request));
  else if (kind === 'answer') event.respondWith(answer(event.request));
});

function inTime(work: Promise<Response>): Promise<Response> {
  return Promise.race([
    work,
    new Promise<Response>((_, reject) => setTimeout(() => reject(new Error('no answer')), PATIENCE_MS)),
  ]);
}

async function page(request: Request): Promise<Response> {
  try {
    return await inTime(fetch(request));
  } catch {
    const kept = await (await caches.open(SHELL)).match('/');
    return kept ?? Response.error();
  }
}

async function asset(request: Request): Promise<Response> {
  const kept = await (await caches.open(SHELL)).match(request, { ignoreVary: true });
  // Names without a hash may have changed since.
  if (kept && new URL(request.url).pathname.startsWith('/assets/')) return kept;
  return fetch(request).catch(() => kept ?? Response.error());
}

// Asks the service, and keeps what it says.
async function ask(request: Request): Promise<Response> {
  const fresh = await fetch(request);
  if (worthKeeping(fresh)) await keep(request.url, fresh.clone());
  else if (fresh.status === 304) await confirm(request.url, fresh);
  return fresh;
}

async function answer(request: Request): Promise<Response> {
  try {
    return await inTime(ask(request));
  } catch {
    const kept = await (await caches.open(ANSWERS)).match(request.url, { ignoreVary: true });
    return kept ?? Response.error();
  }
}

async function keep(url: string, fresh: Response): Promise<void> {
  const headers = new Headers(fresh.headers);
  headers.set(KEPT, String(Date.now()));
  headers.delete('Content-Encoding'); // the body is kept as it is read
  try {
    await (await caches.open(ANSWERS)).put(url, new Response(await fresh.blob(), { headers }));
  } catch {
    // A full disk must not cost the fresh answer.
  }
}

// "Not modified": what is kept is still right, and now of this hour.
async function confirm(url: string, fresh: Response): Promise<void> {
  const kept = await (await caches.open(ANSWERS)).match(url, { ignoreVary: true });
  if (!kept || kept.headers.get('ETag') !== fresh.headers.get('ETag')) return;
  const headers = new Headers(kept.headers);
  const now = fresh.headers.get('Tackcloth-Now');
  if (now) headers.set('Tackcloth-Now', now);
  await keep(url, new Response(await kept.blob(), { headers }));
}
