import { describe, expect, it, vi } from 'vitest';
import { newKey, Outbox, type Keep, type Post } from '../../src/outbox';

class Memory implements Keep {
  items = new Map<string, string>();
  getItem(name: string) {
    return this.items.get(name) ?? null;
  }
  setItem(name: string, value: string) {
    this.items.set(name, value);
  }
}
const entry = (key: string) => ({ key, step: 'P1-01', label: 'Wash', what: 'done', note: '', when: '2026-03-04T09:30:00' });
const ok: Post = () => Promise.resolve({ status: 200, why: '' });

describe('the outbox', () => {
  it('sends an entry and then forgets it', async () => {
    const memory = new Memory();
    const stored = vi.fn();
    const outbox = new Outbox(memory, ok, (_, done) => done && stored(done.key));
    outbox.add(entry('a'));
    expect(outbox.entries[0]?.state).toBe('held');
    await outbox.send('a');
    expect(outbox.entries).toEqual([]);
    expect(stored).toHaveBeenCalledWith('a');
    expect(memory.getItem('tackcloth.outbox')).toBe('[]');
  });
  it('lets an entry be taken back while it is held', async () => {
    const post = vi.fn(ok);
    const outbox = new Outbox(new Memory(), post, () => {});
    outbox.add(entry('a'));
    outbox.remove('a');
    await outbox.send('a');
    expect(post).not.toHaveBeenCalled();
  });
  it('keeps an entry through a lost connection and a closed page, with its key', async () => {
    const memory = new Memory();
    const first = new Outbox(memory, () => Promise.reject(new Error('offline')), () => {});
    first.add(entry('a'));
    await first.send('a');
    expect(first.entries[0]?.state).toBe('kept');
    const sent: string[] = [];
    const second = new Outbox(memory, (e) => (sent.push(e.key), ok(e)), () => {});
    await second.sendKept();
    expect(sent).toEqual(['a']);
    expect(second.entries).toEqual([]);
  });
  it('keeps an entry when the service is in trouble, and shows one that is refused', async () => {
    let status = 503;
    const outbox = new Outbox(new Memory(), () => Promise.resolve({ status, why: 'no such step' }), () => {});
    outbox.add(entry('a'));
    await outbox.send('a');
    expect(outbox.entries[0]?.state).toBe('kept');
    status = 422;
    await outbox.sendKept();
    expect(outbox.entries[0]).toMatchObject({ state: 'refused', why: 'no such step' });
    outbox.remove('a');
    expect(outbox.entries).toEqual([]);
  });
  it('leaves alone what another tab has put into the store, and sends what that one left behind', async () => {
    const memory = new Memory();
    const lost: Post = () => Promise.reject(new Error('offline'));
    const one = new Outbox(memory, lost, () => {});
    const sent: string[] = [];
    const two = new Outbox(memory, (e) => (sent.push(e.key), ok(e)), () => {});
    one.add(entry('a'));
    one.add(entry('held'));
    await one.send('a');
    two.add(entry('b'));
    const keys = () => (JSON.parse(memory.getItem('tackcloth.outbox')!) as { key: string }[]).map((e) => e.key).sort();
    expect(keys()).toEqual(['a', 'b', 'held']);
    two.remove('b');
    expect(keys()).toEqual(['a', 'held']); // taken back is gone, for both
    await two.sendKept();
    expect(sent).toEqual(['a']);
    expect(keys()).toEqual(['held']);
  });
  it('forgets what was taken back after a reload', () => {
    const memory = new Memory();
    new Outbox(memory, ok, () => {}).add(entry('a'));
    const later = new Outbox(memory, ok, () => {});
    later.remove('a');
    expect(memory.getItem('tackcloth.outbox')).toBe('[]');
  });
  it('opens although its store is damaged', () => {
    const memory = new Memory();
    memory.setItem('tackcloth.outbox', '{"not');
    expect(new Outbox(memory, ok, () => {}).entries).toEqual([]);
    memory.setItem('tackcloth.outbox', '[1, {"key": 2}, null]');
    expect(new Outbox(memory, ok, () => {}).entries).toEqual([]);
  });
  it('makes two taps two keys', () => {
    let n = 0;
    const random = () => String(++n);
    expect(newKey(1, random)).not.toBe(newKey(1, random));
  });
});
