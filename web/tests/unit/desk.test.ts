// @vitest-environment jsdom
import { cleanup, fireEvent, render, screen } from '@testing-library/svelte';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { bringBack, codeIn, inHalves, readPairing } from '../../src/desk/desk';
import Pair from '../../src/desk/Pair.svelte';
import Phones from '../../src/desk/Phones.svelte';
import { Outbox, type Keep } from '../../src/outbox';
import { uuid } from '../../src/random';
import { View } from '../../src/view';

const view = new View('metric', 'en-GB', 0, 'EUR');
const answer = (status: number, body: unknown) => new Response(JSON.stringify(body), { status });
const open = { address: 'http://192.168.1.5:8420/', state: 'open', code: '012345', left_s: 540, tries_left: 5, phones: [{ id: 3, name: '<b>Anna</b>', when: '2026-03-04T09:00:00' }] };

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

describe('without a secure context', () => {
  it('makes UUIDs of version 4 by itself', () => {
    const seen = new Set(Array.from({ length: 100 }, uuid));
    expect(seen.size).toBe(100);
    for (const one of seen) expect(one).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  });
});

describe('the code', () => {
  it('comes with the address or is typed', () => {
    expect(codeIn('#pair=012345')).toBe('012345');
    for (const odd of ['#pair=12345', '#pair=0123456', '#shop', '']) expect(codeIn(odd)).toBe('');
    expect(inHalves('012345')).toBe('012 345');
    expect(readPairing({ ...open, state: 'ajar' })).toBeNull();
    expect(readPairing(open)?.code).toBe('012345');
  });
  it('is sent with the telephone’s name; a wrong one is said in words', async () => {
    const asked = vi.fn<typeof fetch>();
    asked.mockResolvedValueOnce(answer(401, { what: 'that is not the code' })).mockResolvedValueOnce(answer(429, {})).mockResolvedValueOnce(answer(200, { paired: true, name: 'x' }));
    vi.stubGlobal('fetch', asked);
    const onpaired = vi.fn();
    render(Pair, { onpaired });
    await fireEvent.input(screen.getByLabelText('Code, six digits'), { target: { value: '000 000' } });
    await fireEvent.submit(screen.getByRole('form'));
    expect(await screen.findByText(/That is not the code/)).toBeTruthy();
    await fireEvent.submit(screen.getByRole('form'));
    expect(await screen.findByText(/No code is good now/)).toBeTruthy();
    expect(onpaired).not.toHaveBeenCalled();
    await fireEvent.submit(screen.getByRole('form'));
    await vi.waitFor(() => expect(onpaired).toHaveBeenCalledOnce());
    expect(JSON.parse(String(asked.mock.calls[2]![1]!.body))).toEqual({ code: '000 000', name: 'Telephone' });
    expect(screen.getByText(/not encrypted/)).toBeTruthy();
  });
});

describe('telephones at the desk', () => {
  it('shows the code, and forgets one; a name is text', async () => {
    const asked = vi.fn<typeof fetch>();
    asked.mockResolvedValueOnce(answer(200, open)).mockResolvedValueOnce(answer(200, { ...open, phones: [] }));
    vi.stubGlobal('fetch', asked);
    render(Phones, { view });
    expect(await screen.findByText('012 345')).toBeTruthy();
    await fireEvent.click(screen.getByRole('button', { name: 'Forget <b>Anna</b>' }));
    expect(await screen.findByText('No telephone is paired.')).toBeTruthy();
    expect(asked.mock.calls[1]![0]).toBe('/api/pairing/forget');
    expect(JSON.parse(String(asked.mock.calls[1]![1]!.body))).toEqual({ id: 3 });
  });
  it('is nothing on a telephone', async () => {
    const asked = vi.fn<typeof fetch>().mockResolvedValue(answer(403, { what: 'only the shop computer' }));
    vi.stubGlobal('fetch', asked);
    const { container } = render(Phones, { view });
    await vi.waitFor(() => expect(asked).toHaveBeenCalled());
    expect(container.textContent).toBe('');
  });
});

describe('everything brought back', () => {
  it('is sent in pieces below the limit, in order, and says why not', async () => {
    const asked = vi.fn<typeof fetch>().mockImplementation(() => Promise.resolve(answer(200, {})));
    vi.stubGlobal('fetch', asked);
    const shares: number[] = [];
    expect(await bringBack(new Blob([new Uint8Array(1_200_000)]), (s) => shares.push(s))).toBeNull();
    expect(asked.mock.calls.map((c) => c[0])).toEqual([0, 524288, 1048576].map((o) => `/api/everything?size=1200000&offset=${o}`));
    expect(asked.mock.calls.reduce((n, c) => n + (c[1]!.body as ArrayBuffer).byteLength, 0)).toBe(1_200_000);
    expect(shares.at(-1)).toBe(1);
    asked.mockImplementation(() => Promise.resolve(answer(422, { what: 'the file is damaged', remedy: 'take another copy' })));
    expect(await bringBack(new Blob(['x']), () => {})).toBe('the file is damaged – take another copy');
    asked.mockRejectedValue(new Error('offline'));
    expect(await bringBack(new Blob(['x']), () => {})).toBe('');
  });
});

describe('an entry that cannot be stored now', () => {
  class Memory implements Keep {
    items = new Map<string, string>();
    getItem = (name: string) => this.items.get(name) ?? null;
    setItem = (name: string, value: string) => void this.items.set(name, value);
  }
  it('is kept while the disk is full or the telephone is not paired, and sent later', async () => {
    let status = 507;
    const outbox = new Outbox(new Memory(), () => Promise.resolve({ status, why: 'database or disk is full' }), () => {});
    outbox.add({ key: 'a', step: 'P1-01', label: 'Wash', what: 'done', note: '', when: '' });
    await outbox.send('a');
    expect(outbox.entries[0]).toMatchObject({ state: 'kept', why: 'database or disk is full' });
    status = 401;
    await outbox.sendKept();
    expect(outbox.entries[0]).toMatchObject({ state: 'kept', why: '' });
    status = 200;
    await outbox.sendKept();
    expect(outbox.entries).toEqual([]);
  });
});
