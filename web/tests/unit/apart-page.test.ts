// @vitest-environment jsdom
// The sheet of a piece that is taken apart, in a page without a service: what it shows and what it sends.
import { cleanup, fireEvent, render } from '@testing-library/svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import Apart from '../../src/apart/Apart.svelte';
import type { ApartPage } from '../../src/apart/apart';
import { Book } from '../../src/intake/book.svelte';
import type { JobPage } from '../../src/intake/job';
import { memory, PhotoBox } from '../../src/intake/photos.svelte';
import { View } from '../../src/view';

const view = new View('metric', 'en', 0, 'EUR');
const row = (id: string, more: object = {}) => ({ id, name: id, part: '', held_by: [], bag: '', cable: [], photo: '', under: [], through: [], fits: '', clearance_mm: null, ticked: [], ...more });
const page: ApartPage = {
  mains: { rule: 'apart-mains', severity: 'must-not', reason: 'r', mend: 'm' },
  pieces: [
    {
      id: 'radio', name: 'Radio <b>old</b>', letter: 'A', next_bag: 'A2', next_cable: 'Ak2', wires: true,
      taken_off: [row('plate', { name: 'Plate', bag: 'A1' }), row('chassis', { name: 'Chassis', ticked: ['on'], cable: [{ name: 'Ak1', from: 'speaker', to: '' }] })] as ApartPage['pieces'][0]['taken_off'],
      back: [
        { id: 'chassis', on: true, may: false, findings: [] },
        { id: 'plate', on: false, may: false, findings: [{ rule: 'apart-loose', severity: 'must-not', reason: 'Ak1 is loose.', mend: 'Finish that first.' }] },
      ],
      changes: [{ key: 'k-on', when: '2027-01-01T10:00', row: 'chassis', what: 'tick', tick: 'on', stands: true }],
    },
  ],
};
const job = { version: 1, assumed: false, heads: {}, contested: [], changes: [], job: { shop: {}, piece: [{ id: 'radio', part: [{ id: 'leg', kind: 'rail', count: 4 }, { id: 'front', kind: 'panel' }] }] } } as unknown as JobPage;

let sent: Record<string, unknown>[] = [];
beforeEach(() => {
  localStorage.clear();
  Element.prototype.scrollIntoView = () => undefined;
  sent = [];
  vi.stubGlobal('fetch', vi.fn(async (_: string, init?: RequestInit) => {
    if (init?.method === 'POST') sent.push(JSON.parse(String(init.body)).change);
    return new Response('', { status: 503 }); // kept here until there is a connection
  }));
});
afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});
function open(scanned = '') {
  const book = new Book(localStorage, () => 0, () => {});
  book.page = job;
  book.apart = page;
  const drawn = render(Apart, { book, photos: new PhotoBox(memory()), view, id: 'radio', scanned, onleave: () => {} });
  const button = (name: string) => [...drawn.container.querySelectorAll('button')].find((b) => b.textContent!.includes(name))!;
  return { book, button, ...drawn };
}

describe('the sheet of a piece that is apart', () => {
  it('has the mains caution first, and names as text', () => {
    const { container } = open();
    const warning = container.querySelector('.must-not')!;
    expect(warning.textContent).toMatch(/plug/);
    expect(container.querySelector('header')!.contains(warning)).toBe(true);
    expect(container.querySelector('h2 b')).toBeNull();
  });
  it('says what stands in the way, and the remedy', async () => {
    const { container, button } = open();
    if (!container.querySelector('[data-row]')) await fireEvent.click(button('Putting back'));
    const plate = container.querySelector('[data-row=plate]')!;
    expect(plate.textContent).toContain('Ak1 is loose. Finish that first.');
    expect(plate.querySelector('button.strong')).toBeNull();
    expect([...container.querySelectorAll('[data-row]')].map((r) => r.getAttribute('data-row'))).toEqual(['chassis', 'plate']);
  });
  it('ticks and takes the tick back', async () => {
    const { book, container } = open();
    const chassis = () => container.querySelector('[data-row=chassis]')!;
    const press = (text: string) => fireEvent.click([...chassis().querySelectorAll('button')].find((b) => b.textContent!.includes(text))!);
    await press('speaker');
    expect(book.waiting.at(-1)!.change).toEqual({ piece: 'radio', taken_off: 'chassis', tick: 'Ak1/from' });
    await vi.waitFor(() => expect(book.waiting.at(-1)!.state).toBe('kept'));
    await press('speaker');
    expect(book.waiting).toHaveLength(0);
    await press('It is on');
    expect(book.waiting.at(-1)!.change).toEqual({ take_back: 'k-on' });
  });
  it('writes down what comes off, in one go', async () => {
    const { book, container, button } = open();
    await fireEvent.click(button('Taking off'));
    await fireEvent.change(container.querySelector('select')!, { target: { value: 'leg' } });
    await fireEvent.click(button('What held it'));
    await fireEvent.click(button('A wire was taken off'));
    await fireEvent.submit(container.querySelector('form')!);
    expect(book.waiting.at(-1)!.change).toEqual({
      piece: 'radio', taken_off: 'leg-1',
      set: { name: 'leg 1', part: 'leg', held_by: [{ what: 'screw', count: 1, size: '' }], bag: 'A2', cable: [{ name: 'Ak2', from: '', to: '' }] },
    });
    expect(container.textContent).toContain('leg 1');
    await fireEvent.click(button('Putting back'));
    expect(container.querySelector('[data-row]')!.getAttribute('data-row')).toBe('leg-1');
    expect(container.querySelector('[data-row]')!.textContent).toContain('Not checked yet');
  });
  it('marks what a label was read for', () => {
    expect(open('A1').container.querySelector('.marked')!.getAttribute('data-row')).toBe('plate');
    cleanup();
    expect(open('A7').container.textContent).toContain('Nothing is written for it yet');
  });
});
