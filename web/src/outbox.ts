// What was logged on this device and is not stored yet.
import { Queue, type Answer, type Keep, type Queued } from './queue';
import type { Wall } from './time';

export interface Outgoing extends Queued {
  step: string;
  what: string;
  note: string;
  when: string;
  took_min?: number; // hands-on minutes of the whole step, when they were told
  label: string; // the step in words, for messages
}

export type { Keep };
export type Post = (entry: Outgoing) => Promise<Answer>;

const NAME = 'tackcloth.outbox';
export const HOLD_MS = 4_000; // time to take a slip of the finger back

function readable(e: Record<string, unknown>): Outgoing | null {
  if (typeof e.step !== 'string' || typeof e.what !== 'string') return null;
  return { note: '', when: '', label: e.step, ...e } as unknown as Outgoing;
}

export class Outbox extends Queue<Outgoing> {
  constructor(keep: Keep, post: Post, changed: (entries: Outgoing[], stored: Outgoing | null) => void) {
    super(keep, NAME, readable, post, changed);
  }
  add(entry: Omit<Outgoing, 'state' | 'why'>): void {
    this.push({ ...entry, state: 'held', why: '' });
  }
}

// `random` makes two taps in the same second two entries.
export function newKey(now: Wall, random: () => string): string {
  return `web-${now}-${random()}`;
}
