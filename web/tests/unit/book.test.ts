import { afterEach, describe, expect, it, vi } from 'vitest';
import { Book } from '../../src/intake/book.svelte';

function store() {
  const kept = new Map<string, string>();
  return { getItem: (k: string) => kept.get(k) ?? null, setItem: (k: string, v: string) => void kept.set(k, v) };
}
const down = () => vi.stubGlobal('fetch', vi.fn(async () => Promise.reject(new TypeError('the line is down'))));
function up() {
  const got: { key: string; change: Record<string, unknown> }[] = [];
  vi.stubGlobal(
    'fetch',
    vi.fn(async (_: string, init?: RequestInit) => {
      if (init?.method === 'POST') got.push(JSON.parse(String(init.body)));
      return new Response('{}');
    }),
  );
  return got;
}
const book = (keep = store()) => new Book(keep, () => 0, () => {});
const quiet = () => new Promise((r) => setTimeout(r, 5));

afterEach(() => vi.unstubAllGlobals());

describe('changes of the job on this device', () => {
  it('are sent in order, each naming the one before it', async () => {
    down();
    const one = book();
    one.put('piece/chair', { id: 'chair', n: 1 }, 'Chair');
    one.put('piece/chair', { id: 'chair', n: 2 }, 'Chair');
    one.put('shop', { hourly_rate: '1.00' }, 'The shop');
    await quiet();
    expect(one.waiting.map((w) => w.state)).toEqual(['kept', 'kept', 'kept']);
    const got = up();
    await one.send();
    expect(got.map((g) => g.change.put)).toEqual(['piece/chair', 'piece/chair', 'shop']);
    expect(got[0]!.change.after).toBe('');
    expect(got[1]!.change.after).toBe(got[0]!.key);
    expect(got[2]!.change.after).toBe('');
    expect(one.waiting).toEqual([]);
  });
  it('of two tabs are both kept, and what one has sent does not come back', async () => {
    down();
    const keep = store();
    const one = book(keep);
    const two = book(keep);
    one.put('piece/a', { id: 'a' }, 'A');
    two.put('piece/b', { id: 'b' }, 'B');
    await quiet();
    expect(book(keep).waiting.map((w) => w.chapter).sort()).toEqual(['piece/a', 'piece/b']);
    up();
    await one.send();
    await two.send();
    expect(book(keep).waiting).toEqual([]);
  });
  it('that are refused stay, with the reason, and do not stop the next', async () => {
    vi.stubGlobal(
      'fetch',
      vi.fn(async (_: string, init?: RequestInit) =>
        init?.method === 'POST' && String(init.body).includes('"bad"')
          ? new Response(JSON.stringify({ what: 'no such size', remedy: 'measure it' }), { status: 422 })
          : new Response('{}'),
      ),
    );
    const one = book();
    one.put('piece/bad', { id: 'bad' }, 'Bad');
    one.put('piece/good', { id: 'good' }, 'Good');
    await vi.waitFor(() => expect(one.waiting.map((w) => w.state)).toEqual(['refused']));
    expect(one.waiting[0]!.why).toBe('no such size – measure it');
    one.drop(one.waiting[0]!.key);
    expect(one.waiting).toEqual([]);
  });
});
