// What was logged on this device and is not stored yet. It survives a lost connection and a closed page; each entry
// has a key of its own, so sending it twice stores it once.
import type { Wall } from './time';

export interface Outgoing {
  key: string;
  step: string;
  what: string;
  note: string;
  when: string;
  label: string; // the step in words, for messages
  state: 'held' | 'sending' | 'kept' | 'refused';
  why: string; // for refused
}

export interface Keep {
  getItem(name: string): string | null;
  setItem(name: string, value: string): void;
}
export type Post = (entry: Outgoing) => Promise<{ status: number; why: string }>;

const NAME = 'tackcloth.outbox';
export const HOLD_MS = 4_000; // time to take a slip of the finger back

export class Outbox {
  entries: Outgoing[] = [];
  private readonly mine: Set<string>; // every key this page has held, also those it is done with

  constructor(
    private readonly keep: Keep,
    private readonly post: Post,
    private readonly changed: (entries: Outgoing[], stored: Outgoing | null) => void,
  ) {
    this.entries = this.read().map((e) => ({ ...e, state: e.state === 'refused' ? 'refused' : 'kept' }));
    this.mine = new Set(this.entries.map((e) => e.key));
  }

  private read(): Outgoing[] {
    try {
      const read: unknown = JSON.parse(this.keep.getItem(NAME) ?? '[]');
      if (!Array.isArray(read)) return [];
      return read
        .filter((e) => typeof e?.key === 'string' && typeof e?.step === 'string' && typeof e?.what === 'string')
        .map((e) => ({ note: '', when: '', label: e.step, why: '', state: 'kept', ...e }));
    } catch {
      return []; // a damaged store must not keep the page from opening
    }
  }

  add(entry: Omit<Outgoing, 'state' | 'why'>): void {
    this.entries = [...this.entries, { ...entry, state: 'held', why: '' }];
    this.tell(null);
  }

  // Takes an entry back, or drops one that was refused. What is being sent can no longer be taken back.
  remove(key: string): void {
    this.entries = this.entries.filter((e) => e.key !== key || e.state === 'sending');
    this.tell(null);
  }

  async send(key: string): Promise<void> {
    const entry = this.entries.find((e) => e.key === key);
    if (!entry || entry.state === 'sending' || entry.state === 'refused') return;
    this.set(key, 'sending', '');
    let answer: { status: number; why: string };
    try {
      answer = await this.post(entry);
    } catch {
      this.set(key, 'kept', '');
      return;
    }
    if (answer.status === 200) {
      this.entries = this.entries.filter((e) => e.key !== key);
      this.tell(entry);
    } else if (answer.status >= 400 && answer.status < 500 && answer.status !== 408 && answer.status !== 429) {
      this.set(key, 'refused', answer.why);
    } else {
      this.set(key, 'kept', '');
    }
  }

  // In the order they were made; `all` also sends what is still held.
  async sendKept(all = false): Promise<void> {
    // What another tab kept and left behind; what it holds may still be taken back there.
    const left = this.read().filter((e) => e.state === 'kept' && !this.mine.has(e.key));
    if (left.length > 0) {
      this.entries = [...this.entries, ...left];
      this.tell(null);
    }
    for (const { key, state } of this.entries) {
      if (state === 'kept' || (all && state === 'held')) await this.send(key);
    }
  }

  private set(key: string, state: Outgoing['state'], why: string): void {
    this.entries = this.entries.map((e) => (e.key === key ? { ...e, state, why } : e));
    this.tell(null);
  }

  // Another tab of this page writes to the same store: what it has put there since is left in it. An entry that both
  // hold is sent by both and stored once, by its key.
  private tell(stored: Outgoing | null): void {
    for (const { key } of this.entries) this.mine.add(key);
    try {
      const others = this.read().filter((e) => !this.mine.has(e.key));
      this.keep.setItem(NAME, JSON.stringify([...others, ...this.entries]));
    } catch {
      // No room or not allowed: the entries live as long as the page does.
    }
    this.changed(this.entries, stored);
  }
}

// `random` makes two taps in the same second two entries.
export function newKey(now: Wall, random: () => string): string {
  return `web-${now}-${random()}`;
}
