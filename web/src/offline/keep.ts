// What the service worker does with a request. The page itself and the last answers are kept, so that the bench has them
// without a line; nothing kept is ever passed off as fresh. Pure: worker.ts does it.

// page: from the service, else the kept page. asset: its name carries a hash of its content, so the kept one is right.
// answer: from the service, else the last answer, marked with its hour. pass: not our business.
export type Kind = 'page' | 'asset' | 'answer' | 'pass';

// Set on answers that come from what was kept: milliseconds since 1970, UTC, of the moment they came from the service.
export const KEPT = 'Tackcloth-Kept';

// Long enough for a slow line, short enough for somebody who stands at the bench.
export const PATIENCE_MS = 5_000;

// Streams, and answers that are worked out for the moment they are asked in.
const NOT_KEPT = ['/api/events', '/api/sooner', '/api/boards/', '/api/labels/', '/api/cut/', '/api/paper/', '/api/offer/', '/api/trial/'];

export function kindOf(request: { method: string; url: string; mode: string }, origin: string): Kind {
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== origin) return 'pass';
  if (request.mode === 'navigate') return url.pathname === '/' || url.pathname === '/index.html' ? 'page' : 'pass';
  if (url.pathname.startsWith('/api/')) return NOT_KEPT.some((p) => url.pathname.startsWith(p)) ? 'pass' : 'answer';
  return 'asset';
}

export function worthKeeping(answer: { status: number; headers: Headers }): boolean {
  return answer.status === 200 && /^application\/json\b/.test(answer.headers.get('Content-Type') ?? '');
}
