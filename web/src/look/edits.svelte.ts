// What has been drawn or chosen here and is not kept yet, with every step of it to be undone and done again.
import type { Triple } from './color';
import type { Keys } from './forms';

export interface Draft {
  added: boolean; // not in the stored job
  removed: boolean;
  face: string;
  form: string;
  keys: Keys; // of the shape
  treatment: string;
  lab: Triple | null;
  colorSet: boolean; // a colour was chosen here
  swatch: { shown: string; data: string } | null; // a picture chosen here; empty: the stored one goes
  repeat_mm: number;
}
export type Drafts = Readonly<Record<string, Draft>>; // by piece/part/zone

const MOST = 200;

export class Edits {
  now = $state.raw<Drafts>({});
  private past = $state.raw<Drafts[]>([]);
  private future = $state.raw<Drafts[]>([]);
  private gesture = '';

  get canUndo(): boolean {
    return this.past.length > 0;
  }
  get canRedo(): boolean {
    return this.future.length > 0;
  }
  // Steps of one gesture (a drag, a run of arrow keys on one handle) count as one; an empty one stands by itself.
  set(next: Drafts, gesture = ''): void {
    if (gesture === '' || gesture !== this.gesture) this.past = [...this.past, this.now].slice(-MOST);
    this.gesture = gesture;
    this.future = [];
    this.now = next;
  }
  put(id: string, draft: Draft, gesture = ''): void {
    this.set({ ...this.now, [id]: draft }, gesture);
  }
  endGesture(): void {
    this.gesture = '';
  }
  drop(ids: string[]): void {
    this.set(Object.fromEntries(Object.entries(this.now).filter(([id]) => !ids.includes(id))));
  }
  // Kept by the service: no longer a draft, nor to be undone here.
  kept(id: string): void {
    this.now = Object.fromEntries(Object.entries(this.now).filter(([k]) => k !== id));
    this.past = [];
    this.future = [];
    this.gesture = '';
  }
  undo(): void {
    const before = this.past.at(-1);
    if (!before) return;
    this.future = [...this.future, this.now];
    this.past = this.past.slice(0, -1);
    this.now = before;
    this.gesture = '';
  }
  redo(): void {
    const after = this.future.at(-1);
    if (!after) return;
    this.past = [...this.past, this.now];
    this.future = this.future.slice(0, -1);
    this.now = after;
    this.gesture = '';
  }
}
