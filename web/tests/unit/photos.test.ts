import { afterEach, describe, expect, it, vi } from 'vitest';
import { memory, PhotoBox } from '../../src/intake/photos.svelte';

// A shop computer that keeps what it is sent and can be made to fail at the n-th piece.
function shop(failAt: number, refuse = false) {
  const got: Record<string, number[]> = {};
  let pieces = 0;
  const fetch = vi.fn(async (url: string, init?: RequestInit) => {
    const parts = /\/api\/photo\/([^?]+)(?:\?size=(\d+)&offset=(\d+))?/.exec(url)!;
    const id = parts[1]!;
    if (init?.method !== 'POST') return new Response(JSON.stringify({ width: 4, height: 3, picture: `/p/${id}`, notes: [] }));
    if (refuse) return new Response(JSON.stringify({ what: 'no picture', remedy: 'choose a photo' }), { status: 415 });
    const bytes = [...new Uint8Array(init.body as ArrayBuffer)];
    if (bytes.length > 0 && ++pieces === failAt) throw new TypeError('the line is down');
    const have = (got[id] ??= []);
    if (Number(parts[3]) === have.length) for (const byte of bytes) have.push(byte);
    return new Response(JSON.stringify({ id, size: Number(parts[2]), have: have.length }));
  });
  vi.stubGlobal('fetch', fetch);
  return { got, fetch };
}
const photo = () => {
  const bytes = new Uint8Array(250).map((_, k) => (k * 31) % 251);
  return { bytes, blob: new Blob([bytes], { type: 'image/jpeg' }) };
};
afterEach(() => vi.unstubAllGlobals());

describe('a photo on its way', () => {
  it('goes on where it was cut off, also after the page was closed', async () => {
    const { got, fetch } = shop(2);
    const blobs = memory();
    const { bytes, blob } = photo();
    const box = new PhotoBox(blobs, 100);
    const id = await box.add(blob);
    // Asked once, one piece taken, the next lost.
    await vi.waitFor(() => expect([fetch.mock.calls.length, box.sending[0]?.state]).toEqual([3, 'kept']), 5000);
    expect(got[id]!.length).toBe(100);
    const before = fetch.mock.calls.length;

    const next = new PhotoBox(blobs, 100); // the page opened again
    await next.start();
    await vi.waitFor(() => expect(next.sending).toEqual([]));
    expect(got[id]).toEqual([...bytes]);
    // What was there was not sent again: asked once, then two pieces.
    const sent = fetch.mock.calls.slice(before).filter(([, init]) => ((init?.body as ArrayBuffer)?.byteLength ?? 0) > 0);
    expect(sent).toHaveLength(2);
    expect(await blobs.all()).toEqual([]);
  });
  it('keeps a refused one, says why, and goes on with the next', async () => {
    shop(0, true);
    const box = new PhotoBox(memory(), 100);
    await box.add(photo().blob);
    await vi.waitFor(() => expect(box.sending[0]?.state).toBe('refused'));
    expect(box.sending[0]?.why).toContain('choose a photo');
    await box.drop(box.sending[0]!.id);
    expect(box.sending).toEqual([]);
  });
});
