// The page's side of keep.ts. Its header is named here again: a module used by both would be a file of its own, and the
// worker has to be one file. A test holds the two together.
export const KEPT_HEADER = 'Tackcloth-Kept';

// When an answer was kept that the service worker gives for want of a fresh one; null for a fresh one.
export function keptAt(response: { headers: Headers }): Date | null {
  const at = Number(response.headers.get(KEPT_HEADER) ?? NaN);
  return Number.isFinite(at) && at > 0 ? new Date(at) : null;
}
