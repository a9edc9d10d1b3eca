// What this device has not sent yet. It survives a lost connection and a closed page; each entry has a key of its own, so
// that sending it twice stores it once.
export interface Queued {
  key: string;
  state: 'held' | 'sending' | 'kept' | 'refused';
  why: string; // for refused; for kept: only when the shop computer has no room for it
}
export interface Keep {
  getItem(name: string): string | null;
  setItem(name: string, value: string): void;
}
// Not paired (any more), too slow, too many: it is not the entry that is wrong.
const LATER = [401, 408, 429];
const FULL = 507; // RFC 4918, 11.5: no room to store it
export type Answer = { status: number; why: string };

export class Queue<T extends Queued> {
  entries: T[] = [];
  private readonly mine: Set<string>; // every key this page has held, also those it is done with

  constructor(
    private readonly keep: Keep,
    private readonly name: string,
    private readonly readable: (stored: Record<string, unknown>) => T | null,
    private readonly post: (entry: T) => Promise<Answer>,
    private readonly changed: (entries: T[], stored: T | null) => void,
  ) {
    this.entries = this.read().map((e) => ({ ...e, state: e.state === 'refused' ? 'refused' : 'kept' }));
    this.mine = new Set(this.entries.map((e) => e.key));
  }

  private read(): T[] {
    try {
      const read: unknown = JSON.parse(this.keep.getItem(this.name) ?? '[]');
      if (!Array.isArray(read)) return [];
      return read
        .map((e) => (typeof e?.key === 'string' ? this.readable({ why: '', state: 'kept', ...e }) : null))
        .filter((e) => e !== null);
    } catch {
      return []; // a damaged store must not keep the page from opening
    }
  }

  protected push(entry: T): void {
    this.entries = [...this.entries, entry];
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
    let answer: Answer;
    try {
      answer = await this.post(entry);
    } catch {
      this.set(key, 'kept', '');
      return;
    }
    if (answer.status === 200) {
      this.entries = this.entries.filter((e) => e.key !== key);
      this.tell(entry);
    } else if (answer.status >= 400 && answer.status < 500 && !LATER.includes(answer.status)) {
      this.set(key, 'refused', answer.why);
    } else {
      this.set(key, 'kept', answer.status === FULL ? answer.why || 'full' : '');
    }
  }

  // In the order they were made; `all` also sends what is still held.
  async sendKept(all = false): Promise<void> {
    this.takeOver();
    for (const { key, state } of this.entries) {
      if (state === 'kept' || (all && state === 'held')) await this.send(key);
    }
  }

  // One after the other, where each builds on the one before: what cannot be sent now holds back those after it, what is
  // refused does not.
  async sendInOrder(): Promise<void> {
    if (this.entries.some((e) => e.state === 'sending')) return;
    this.takeOver();
    for (let next = this.firstKept(); next; next = this.firstKept()) {
      await this.send(next);
      if (this.firstKept() === next) return;
    }
  }
  private firstKept(): string | undefined {
    return this.entries.find((e) => e.state === 'kept')?.key;
  }

  // What another tab kept and left behind; what it holds may still be taken back there.
  private takeOver(): void {
    const left = this.read().filter((e) => e.state === 'kept' && !this.mine.has(e.key));
    if (left.length === 0) return;
    this.entries = [...this.entries, ...left];
    this.tell(null);
  }

  private set(key: string, state: Queued['state'], why: string): void {
    this.entries = this.entries.map((e) => (e.key === key ? { ...e, state, why } : e));
    this.tell(null);
  }

  // Another tab of this page writes to the same store: what it has put there since is left in it. An entry that both
  // hold is sent by both and stored once, by its key.
  private tell(stored: T | null): void {
    for (const { key } of this.entries) this.mine.add(key);
    try {
      const others = this.read().filter((e) => !this.mine.has(e.key));
      this.keep.setItem(this.name, JSON.stringify([...others, ...this.entries]));
    } catch {
      // No room or not allowed: the entries live as long as the page does.
    }
    this.changed(this.entries, stored);
  }
}
