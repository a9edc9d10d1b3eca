// The job on this device: what stands, and the changes that wait to be sent.
import type { Wall } from '../time';
import { newKey } from '../outbox';
import { uuid } from '../random';
import { Queue, type Answer, type Keep, type Queued } from '../queue';
import { toldText } from '../words/told.svelte';
import { say } from '../words';
import { readApart, type ApartPage } from '../apart/apart';
import { readChoices, readJobPage, readMeasured, type Choices, type JobPage, type Measured, type Piece } from './job';

export interface Waiting extends Queued {
  chapter: string; // "" for a choice or the taking back of one
  change: Record<string, unknown>;
  label: string;
}
const NAME = 'tackcloth.changes';
const DRAFT = 'tackcloth.draft';

function readable(w: Record<string, unknown>): Waiting | null {
  if (typeof w.change !== 'object' || w.change === null) return null;
  return { chapter: '', label: '', ...w } as unknown as Waiting;
}
async function post(waiting: Waiting): Promise<Answer> {
  const { key, change } = waiting;
  const pin = waiting.chapter.startsWith('pin/');
  const response = await fetch(pin ? '/api/pin' : '/api/job', {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(pin ? { key, ...change } : { key, change }),
  });
  if (response.ok) return { status: response.status, why: '' };
  const refusal = (await response.json().catch(() => ({}))) as { what?: string; remedy?: string };
  return { status: response.status, why: [refusal.what, refusal.remedy].filter(Boolean).join(' – ') || `HTTP ${response.status}` };
}
class Changes extends Queue<Waiting> {
  add(change: Record<string, unknown>, key: string, chapter: string, label: string): void {
    this.push({ key, chapter, change, label, state: 'kept', why: '' });
  }
}

export class Book {
  page = $state.raw<JobPage | null>(null);
  choices = $state.raw<Choices | null>(null);
  apart = $state.raw<ApartPage | null>(null);
  waiting = $state.raw<Waiting[]>([]);
  trouble = $state('');
  last = $state<{ key: string; label: string; chapter: string } | null>(null); // the newest change that was stored, to be undone at once
  private readonly changes: Changes;
  private readonly pinned = new Map<string, string | null>(); // what was pinned here since the plan that is shown

  constructor(
    private readonly keep: Keep,
    private readonly now: () => Wall,
    private readonly said: (text: string) => void,
  ) {
    this.changes = new Changes(keep, NAME, readable, post, (entries, stored) => this.changed(entries, stored));
    this.waiting = this.changes.entries;
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
    await this.fetchApart();
  }
  private async fetchApart(): Promise<void> {
    try {
      const response = await fetch('/api/apart');
      if (response.ok) this.apart = readApart(await response.json());
    } catch {
      // As above.
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

  // Each put names the change before it, on this device or at the shop, so that nothing is overwritten unseen.
  put(chapter: string, body: unknown, label: string): void {
    const before = this.waiting.filter((w) => w.chapter === chapter && w.state !== 'refused').at(-1);
    this.add({ put: chapter, body, after: before?.key ?? this.page?.heads[chapter] ?? '' }, chapter, label);
  }
  // A step of the plan to an hour, or let go (null). It says what its writer saw it pinned to, so that another pin made
  // meanwhile is not lost: the service then keeps both.
  pin(step: string, start: string | null, label: string, shown: string | null): void {
    const chapter = `pin/${step}`;
    const before = this.waiting.filter((w) => w.chapter === chapter && w.state !== 'refused').at(-1);
    const seen = before ? before.change.start : this.pinned.has(chapter) ? this.pinned.get(chapter) : shown;
    this.add({ step, start, seen }, chapter, label);
  }
  planned(): void {
    this.pinned.clear();
  }
  // One thing of a piece that is taken apart: {piece, taken_off, set | tick | remove}. Nobody else's is touched by it.
  apartChange(change: Record<string, unknown>, label: string): void {
    this.add(change, '', label);
  }
  // Thermometer and hygrometer as they were read in a room.
  reading({ room, at, temp_c, rh }: { room: string; at: string; temp_c: number; rh: number }, label: string): void {
    this.add({ reading: room, at, temp_c, rh }, '', label);
  }
  takeBack(key: string, label: string): void {
    this.add({ take_back: key }, '', label);
  }
  choose(key: string, label: string): void {
    this.add({ choose: key }, '', label);
  }
  drop(key: string): void {
    this.changes.remove(key);
  }
  send(): Promise<void> {
    return this.changes.sendInOrder();
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

  private add(change: Record<string, unknown>, chapter: string, label: string): void {
    this.changes.add(change, newKey(this.now(), uuid), chapter, label);
    void this.send();
  }
  private changed(entries: Waiting[], stored: Waiting | null): void {
    const before = this.waiting;
    this.waiting = entries;
    for (const w of entries)
      if (w.state === 'refused' && before.find((b) => b.key === w.key)?.state === 'sending') this.said(say('change.refused', { what: w.label, why: toldText(w.why) }));
    if (!stored) return;
    if (stored.chapter.startsWith('pin/')) this.pinned.set(stored.chapter, stored.change.start as string | null);
    this.last = stored.change.take_back ? null : { key: stored.key, label: stored.label, chapter: stored.chapter };
    this.said(say('change.stored', { what: stored.label }));
    void this.fetch();
  }
}
