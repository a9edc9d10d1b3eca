// The job on this device: what stands, and the changes that wait to be sent. A change made here survives a lost
// connection and a closed page; each has a key, so that sending it twice stores it once.
import type { Wall } from '../time';
import { newKey, type Keep } from '../outbox';
import { say } from '../words';
import { readChoices, readJobPage, readMeasured, type Choices, type JobPage, type Measured, type Piece } from './job';

export interface Waiting {
  key: string;
  chapter: string; // "" for a choice or the taking back of one
  change: Record<string, unknown>;
  label: string;
  state: 'kept' | 'sending' | 'refused';
  why: string;
}
const NAME = 'tackcloth.changes';
const DRAFT = 'tackcloth.draft';

export class Book {
  page = $state.raw<JobPage | null>(null);
  choices = $state.raw<Choices | null>(null);
  waiting = $state.raw<Waiting[]>([]);
  trouble = $state('');
  last = $state<{ key: string; label: string } | null>(null); // the newest change that was stored, to be undone at once

  private readonly gone = new Set<string>(); // stored or dropped here; another tab may still have it on its list

  constructor(
    private readonly keep: Keep,
    private readonly now: () => Wall,
    private readonly said: (text: string) => void,
  ) {
    this.waiting = this.kept();
  }

  private kept(): Waiting[] {
    try {
      const read: unknown = JSON.parse(this.keep.getItem(NAME) ?? '[]');
      if (!Array.isArray(read)) return [];
      return read
        .filter((w) => typeof w?.key === 'string' && typeof w?.change === 'object' && w.change !== null)
        .map((w) => ({ chapter: '', label: '', why: '', ...w, state: w.state === 'refused' ? 'refused' : 'kept' }));
    } catch {
      return []; // a damaged store must not keep the page from opening
    }
  }

  async fetch(): Promise<void> {
    try {
      const response = await fetch('/api/job');
      if (!response.ok) return;
      this.page = readJobPage(await response.json());
      this.trouble = this.page ? '' : say('error.unreadable');
    } catch {
      // The link notice says it.
    }
  }
  async fetchChoices(): Promise<void> {
    if (this.choices) return;
    try {
      const response = await fetch('/api/choices');
      if (response.ok) this.choices = readChoices(await response.json());
    } catch {
      // As above.
    }
  }
  async measure(piece: Piece): Promise<Measured | null> {
    try {
      const response = await fetch('/api/measure', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(piece) });
      if (response.ok) return readMeasured(await response.json());
      const refusal = (await response.json()) as { what?: string; expected?: string; remedy?: string };
      return { area_m2: 0, parts: [], hazards: [], problems: [{ what: refusal.what ?? '', expected: refusal.expected ?? '', remedy: refusal.remedy ?? '' }] };
    } catch {
      return null;
    }
  }

  put(chapter: string, body: unknown, label: string): void {
    const before = this.waiting.filter((w) => w.chapter === chapter && w.state !== 'refused').at(-1);
    this.add({ put: chapter, body, after: before?.key ?? this.page?.heads[chapter] ?? '' }, chapter, label);
  }
  takeBack(key: string, label: string): void {
    this.add({ take_back: key }, '', label);
  }
  choose(key: string, label: string): void {
    this.add({ choose: key }, '', label);
  }
  drop(key: string): void {
    this.set(this.waiting.filter((w) => w.key !== key || w.state === 'sending'));
  }
  // A refused change is opened again to be mended: what was typed is not lost.
  refusedOf(chapter: string): Waiting | undefined {
    return this.waiting.find((w) => w.chapter === chapter && w.state === 'refused');
  }

  draft(name: string): unknown {
    try {
      return JSON.parse(this.keep.getItem(`${DRAFT}.${name}`) ?? 'null');
    } catch {
      return null;
    }
  }
  keepDraft(name: string, value: unknown): void {
    try {
      this.keep.setItem(`${DRAFT}.${name}`, JSON.stringify(value));
    } catch {
      // No room: the draft lives as long as the page.
    }
  }

  // In the order they were made. One that cannot be sent now stops those after it; one that is refused does not.
  async send(): Promise<void> {
    if (this.waiting.some((w) => w.state === 'sending')) return;
    for (let next = this.next(); next; next = this.next()) {
      this.mark(next.key, 'sending', '');
      let status = 0;
      let why = '';
      try {
        const response = await fetch('/api/job', {
          method: 'POST',
          headers: { 'Content-Type': 'application/json' },
          body: JSON.stringify({ key: next.key, change: next.change }),
        });
        status = response.status;
        if (!response.ok) {
          const refusal = (await response.json().catch(() => ({}))) as { what?: string; remedy?: string };
          why = [refusal.what, refusal.remedy].filter(Boolean).join(' – ') || `HTTP ${status}`;
        }
      } catch {
        this.mark(next.key, 'kept', '');
        return;
      }
      if (status === 200) {
        this.set(this.waiting.filter((w) => w.key !== next.key));
        this.last = next.change.take_back ? null : { key: next.key, label: next.label };
        this.said(say('change.stored', { what: next.label }));
        await this.fetch();
      } else if (status >= 400 && status < 500 && status !== 408 && status !== 429) {
        this.mark(next.key, 'refused', why);
        this.said(say('change.refused', { what: next.label, why }));
      } else {
        this.mark(next.key, 'kept', '');
        return;
      }
    }
  }

  private next(): Waiting | undefined {
    return this.waiting.find((w) => w.state === 'kept');
  }
  private add(change: Record<string, unknown>, chapter: string, label: string): void {
    const key = newKey(this.now(), () => crypto.randomUUID());
    this.set([...this.waiting, { key, chapter, change, label, state: 'kept', why: '' }]);
    void this.send();
  }
  private mark(key: string, state: Waiting['state'], why: string): void {
    this.set(this.waiting.map((w) => (w.key === key ? { ...w, state, why } : w)));
  }
  // Two tabs share the list: what the other one added is kept, what is done with here is not brought back.
  private set(waiting: Waiting[]): void {
    for (const before of this.waiting) if (!waiting.some((w) => w.key === before.key)) this.gone.add(before.key);
    this.waiting = waiting;
    const others = this.kept().filter((w) => !this.gone.has(w.key) && !waiting.some((mine) => mine.key === w.key));
    try {
      this.keep.setItem(NAME, JSON.stringify([...others, ...waiting]));
    } catch {
      // No room or not allowed: they live as long as the page does.
    }
  }
}
