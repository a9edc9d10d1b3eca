// What is being pinned: the form that is open, and the step that is carried by hand.
import type { Book } from '../intake/book.svelte';
import type { Step } from '../plan';
import { dayOf, parseWall, toIso, type Wall } from '../time';
import { toldText } from '../words/told.svelte';
import { say } from '../words';
import { carried, shareOf, wallAt } from './hour';
import { DAY_MS, type Rule } from './rule';

const HOLD_MS = 350; // a finger that rests this long carries; one that moves before it scrolls
const SLACK = { mouse: 4, touch: 10 }; // px
const EDGE = 56; // px from the top or bottom at which the page moves on under what is carried

export interface Carried {
  step: Step;
  at: Wall; // where it would begin
  x: number; // px in the window
  y: number;
  touch: boolean;
  line: { left: number; top: number; height: number } | null;
}

export class Pinning {
  open = $state(''); // id of the step whose form is open
  carried = $state.raw<Carried | null>(null);
  private held: { step: Step; grabbed: Wall; x: number; y: number; touch: boolean } | null = null;

  constructor(private readonly book: Book) {}

  // The step as the device knows it: what waits to be sent of it, the newest last.
  waiting(step: string) {
    return this.book.waiting.filter((w) => w.chapter === `pin/${step}`);
  }
  drop(key: string): void {
    this.book.drop(key);
  }
  pin(step: Step, start: Wall | null): void {
    for (const old of this.waiting(step.id)) if (old.state === 'refused') this.book.drop(old.key);
    this.open = '';
    this.book.pin(step.id, start === null ? null : toIso(start), say(start === null ? 'pin.labelLoose' : 'pin.label', { step: toldText(step.text) }), step.pinned?.start ?? null);
  }

  // A hand's bar or a wedge is taken hold of.
  take(event: PointerEvent, step: Step, rule: Rule): void {
    if (event.button !== 0 || this.held) return;
    const under = wallUnder(event.clientX, event.clientY, rule);
    if (under === null) return;
    const pointer = event.pointerId;
    const touch = event.pointerType === 'touch';
    const timer = touch ? window.setTimeout(() => this.lift(), HOLD_MS) : 0;
    this.held = { step, grabbed: under.wall, x: event.clientX, y: event.clientY, touch };
    if (!touch) event.preventDefault(); // no text is marked while carrying
    const let_go = () => {
      window.clearTimeout(timer);
      this.held = null;
      this.carried = null;
      window.removeEventListener('pointermove', move);
      window.removeEventListener('pointerup', drop);
      window.removeEventListener('pointercancel', cancel);
      window.removeEventListener('keydown', escape);
      window.removeEventListener('touchmove', hold);
    };
    const move = (e: PointerEvent) => {
      if (e.pointerId === pointer && !this.move(e, rule)) let_go();
    };
    const drop = (e: PointerEvent) => {
      if (e.pointerId !== pointer) return;
      const dropped = this.carried;
      let_go();
      if (dropped && dropped.at !== parseWall(dropped.step.start)) this.pin(dropped.step, dropped.at);
    };
    const cancel = (e: PointerEvent) => e.pointerId === pointer && let_go();
    const escape = (e: KeyboardEvent) => e.key === 'Escape' && let_go();
    // While something is carried the page does not scroll under the finger.
    const hold = (e: TouchEvent) => this.carried && e.cancelable && e.preventDefault();
    window.addEventListener('pointermove', move);
    window.addEventListener('pointerup', drop);
    window.addEventListener('pointercancel', cancel);
    window.addEventListener('keydown', escape);
    window.addEventListener('touchmove', hold, { passive: false });
  }

  private lift(): void {
    const at = parseWall(this.held?.step.start ?? '');
    if (!this.held || at === null) return;
    const { step, x, y, touch } = this.held;
    this.carried = { step, at, x, y, touch, line: null };
  }
  // False: it is not carried but scrolled.
  private move(event: PointerEvent, rule: Rule): boolean {
    const held = this.held;
    if (!held) return false;
    if (!this.carried) {
      const far = Math.hypot(event.clientX - held.x, event.clientY - held.y) > (held.touch ? SLACK.touch : SLACK.mouse);
      if (far && held.touch) return false;
      if (!far) return true;
    }
    if (event.clientY < EDGE) window.scrollBy(0, -EDGE / 4);
    if (event.clientY > window.innerHeight - EDGE) window.scrollBy(0, EDGE / 4);
    const under = wallUnder(event.clientX, event.clientY, rule);
    const start = parseWall(held.step.start);
    if (start === null || under === null) return true;
    const at = carried(start, held.grabbed, under.wall);
    this.carried = { step: held.step, at, x: event.clientX, y: event.clientY, touch: held.touch, line: lineAt(at, rule) };
    return true;
  }
}

// Where the hour lies in the window, on the first line of its day; null while that day is not shown.
function lineAt(at: Wall, rule: Rule): Carried['line'] {
  const line = document.querySelector(`.day[data-day="${dayOf(at)}"] svg.line`)?.getBoundingClientRect();
  const day = document.querySelector(`.day[data-day="${dayOf(at)}"]`)?.getBoundingClientRect();
  if (!line || !day) return null;
  return { left: line.left + shareOf(at, rule) * line.width, top: line.top, height: Math.max(line.height, day.bottom - line.top - 8) };
}
const dayUnder = (x: number, y: number): HTMLElement | null =>
  document.elementsFromPoint(x, y).map((e) => e.closest<HTMLElement>('.day')).find((d) => d !== null) ?? null;

// The day under a point, and the hour on its line. All lines of a day lie one below the other.
function wallUnder(x: number, y: number, rule: Rule) {
  const day = dayUnder(x, y);
  if (!day) return null;
  const lines = [...day.querySelectorAll('svg.line')].map((l) => l.getBoundingClientRect());
  const box = day.getBoundingClientRect();
  const near = lines.sort((a, b) => Math.abs(a.top - y) - Math.abs(b.top - y))[0];
  const line = near ?? new DOMRect(box.left, y - 12, box.width, 24); // a day on which nothing is planned
  const share = (x - line.left) / line.width;
  return { wall: wallAt(Number(day.dataset.day) * DAY_MS, share, rule) };
}
