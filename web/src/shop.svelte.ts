// The page's state: the plan and the log as last seen, the link to the service, and what waits to be sent.
import { whatMoved, type Move } from './now';
import { Book } from './intake/book.svelte';
import { device, PhotoBox } from './intake/photos.svelte';
import { readBoards, readLooks, type Boards, type Looks } from './look/looks';
import { keptAt } from './offline/kept';
import { Trials } from './mend/trial';
import { HOLD_MS, newKey, Outbox, type Outgoing } from './outbox';
import { uuid } from './random';
import { readHelps, readLog, readPlan, type Helps, type LogEntry, type Plan } from './plan';
import { DAY, dayOf, deviceWall, MINUTE, parseWall, toIso, type Wall } from './time';
import { toldText } from './words/told.svelte';
import { say } from './words';

export interface Refusal {
  what: string;
  expected: string;
  remedy: string;
  ours?: boolean; // said by this page, in its language; else by the service, in English
}
const TICK_MS = 10_000;
const RETRY_MS = 3_000;

async function refusalOf(response: Response): Promise<Refusal> {
  const said = (await response.json().catch(() => ({}))) as Partial<Refusal>;
  return { what: said.what ?? `HTTP ${response.status}`, expected: said.expected ?? '', remedy: said.remedy ?? '' };
}

export class Shop {
  plan = $state.raw<Plan | null>(null);
  log = $state.raw<LogEntry[]>([]);
  state = $state<'loading' | 'ready' | 'empty' | 'error'>('loading');
  error = $state.raw<Refusal | null>(null);
  trouble = $state.raw<Refusal | null>(null);
  link = $state<'connecting' | 'live' | 'lost'>('connecting');
  moved = $state.raw<{ moves: Move[] } | null>(null);
  outgoing = $state.raw<Outgoing[]>([]);
  unpaired = $state(false); // a telephone the shop computer does not know (any more)
  full = $derived(this.outgoing.some((e) => e.state === 'kept' && e.why !== ''));
  said = $state(''); // for the live region
  // What is shown goes by whole minutes, rounded down: nothing is called ready early, and nothing drawn anew in between.
  minute = $state<Wall>(0);
  readonly today = $derived<Wall>(dayOf(this.minute) * DAY);
  madeAt = $state('');
  helps = $state.raw<Helps | null>(null);
  helpsState = $state<'none' | 'busy' | 'ready' | 'failed' | 'old'>('none');
  helpsWhy = $state('');
  seenAt = $state<Wall>(0);
  looks = $state.raw<Looks | null>(null);
  looksState = $state<'none' | 'busy' | 'ready' | 'failed'>('none');
  looksWhy = $state('');
  boards = $state.raw<{ piece: string; boards: Boards } | null>(null);
  boardsState = $state<'none' | 'busy' | 'ready' | 'failed'>('none');

  readonly book: Book;
  readonly photos = new PhotoBox(device());
  readonly trials = new Trials();

  private boardsOf = '';
  private tag = '';
  private asking: Promise<void> = Promise.resolve();
  private begun = false; // the line has been open once
  private offset = 0; // shop clock minus this device's
  private source: EventSource | null = null;
  private timers: ReturnType<typeof setTimeout>[] = [];
  private readonly outbox: Outbox;

  constructor() {
    this.tick();
    this.outbox = new Outbox(localStorage, (entry) => this.post(entry), (entries, stored) => {
      this.outgoing = entries;
      if (!stored) return;
      this.said = say('log.stored', { what: say(`log.${stored.what}` as 'log.done'), step: toldText(stored.label) });
      void this.fetchLog();
    });
    this.outgoing = this.outbox.entries;
    this.book = new Book(localStorage, () => this.now, (text) => (this.said = text));
  }

  start(): () => void {
    const tick = setInterval(() => {
      this.tick();
      if (this.link === 'live') this.sendLeft();
    }, TICK_MS);
    const flush = () => {
      if (document.visibilityState === 'hidden') void this.outbox.sendKept(true);
      else this.tick();
    };
    const online = () => this.connect();
    const offline = () => (this.link = 'lost');
    document.addEventListener('visibilitychange', flush);
    window.addEventListener('online', online);
    window.addEventListener('offline', offline);
    void this.fetchPlan();
    void this.fetchLog();
    void this.book.fetch();
    void this.book.fetchChoices();
    void this.photos.start();
    this.connect();
    return () => {
      clearInterval(tick);
      this.timers.forEach(clearTimeout);
      this.source?.close();
      document.removeEventListener('visibilitychange', flush);
      window.removeEventListener('online', online);
      window.removeEventListener('offline', offline);
    };
  }

  // Holds the entry for a moment so that it can be taken back, then sends it.
  add(step: string, label: string, what: string, note = '', tookMin = 0): void {
    this.tick();
    const now = this.now;
    const key = newKey(now, uuid);
    this.outbox.add({ key, step, label, what, note, when: toIso(now), ...(tookMin > 0 ? { took_min: tookMin } : {}) });
    this.timers.push(setTimeout(() => void this.outbox.send(key), HOLD_MS));
  }
  // What the service could not store when it was sent, for want of room for instance.
  private sendLeft(): void {
    if (this.outgoing.some((e) => e.state === 'kept')) void this.outbox.sendKept();
    if (this.book.waiting.some((w) => w.state === 'kept')) void this.book.send();
  }
  takeBack(key: string): void {
    this.outbox.remove(key);
  }

  connect(): void {
    this.source?.close();
    if (this.link !== 'lost') this.link = 'connecting';
    const source = new EventSource('/api/events');
    this.source = source;
    source.onopen = () => {
      const asked = !this.begun && this.link === 'connecting'; // by start(), and nothing has failed since
      this.link = 'live';
      this.seenAt = this.now;
      // What start() has just asked for is not asked for twice; what changes after that, an event tells.
      if (!asked) {
        void this.fetchPlan();
        void this.book.fetch();
        void this.book.fetchChoices();
      }
      this.begun = true;
      void this.fetchLog();
      void this.outbox.sendKept();
      void this.book.send();
      void this.photos.send();
      this.photos.askAgain();
      // The answers may have come while the line was down.
      if (this.helpsState === 'busy') void this.askHelps();
      if (this.looksState === 'busy') void this.askLooks();
      if (this.boardsState === 'busy') void this.askBoards(this.boardsOf);
      this.trials.askAgain();
    };
    source.addEventListener('plan', async (event) => {
      await this.asking;
      if (this.tag.replace(/^W\//, '') === `"plan-${(event as MessageEvent).lastEventId}"`) return; // the greeting names what is shown
      void this.book.fetch();
      void this.fetchPlan();
      void this.fetchLog();
    });
    source.addEventListener('sooner', () => {
      if (this.helpsState === 'busy') void this.askHelps();
    });
    source.addEventListener('looks', () => {
      if (this.looksState === 'busy') void this.askLooks();
    });
    source.addEventListener('trial', () => this.trials.askAgain());
    source.addEventListener('photo', () => this.photos.askAgain());
    source.addEventListener('boards', () => {
      if (this.boardsState === 'busy') void this.askBoards(this.boardsOf);
    });
    // An entry need not move a date: then no new plan comes, but the log has grown all the same.
    source.addEventListener('settled', () => {
      this.trouble = null;
      void this.book.fetch();
      void this.fetchLog();
    });
    source.addEventListener('trouble', (event) => {
      this.trouble = JSON.parse((event as MessageEvent<string>).data) as Refusal;
      this.said = say('trouble.title');
      void this.fetchLog();
    });
    source.onerror = () => {
      this.link = 'lost';
      if (source.readyState === EventSource.CLOSED) void this.fetchPlan(); // forgotten at the desk?
      // A browser gives up for good when it is answered with an error; so we try by ourselves.
      if (source.readyState === EventSource.CLOSED && this.source === source && !this.unpaired) {
        this.timers.push(setTimeout(() => this.source === source && this.connect(), RETRY_MS));
      }
    };
  }

  // Asked again when the service says that the answer is there.
  async askHelps(): Promise<void> {
    try {
      this.helpsState = 'busy';
      const response = await fetch('/api/sooner');
      if (response.status === 202) return;
      if (!response.ok) {
        const refusal = await refusalOf(response);
        this.helpsWhy = [refusal.what, refusal.remedy].filter(Boolean).join(' – ');
        this.helpsState = 'failed';
        return;
      }
      this.helps = readHelps(await response.json());
      this.helpsState = 'ready';
    } catch {
      this.helpsState = 'none';
    }
  }

  // The same way: asked again when the service says that the answer is there.
  async askLooks(): Promise<void> {
    try {
      this.looksState = 'busy';
      const response = await fetch('/api/looks');
      if (response.status === 202) return;
      const looks = response.ok ? readLooks(await response.json()) : null;
      if (!looks) {
        this.looksWhy = response.ok ? say('error.unreadable') : (await refusalOf(response)).what;
        this.looksState = 'failed';
        return;
      }
      this.looks = looks;
      this.looksState = 'ready';
    } catch {
      this.looksWhy = say('link.gone');
      this.looksState = this.looks ? 'ready' : 'failed';
    }
  }
  async askBoards(piece: string): Promise<void> {
    try {
      if (this.boardsOf !== piece) this.boards = null;
      this.boardsOf = piece;
      this.boardsState = 'busy';
      const response = await fetch(`/api/boards/${encodeURIComponent(piece)}`);
      if (response.status === 202) return;
      const boards = response.ok ? readBoards(await response.json()) : null;
      if (!boards) {
        this.looksWhy = response.ok ? say('error.unreadable') : (await refusalOf(response)).what;
        this.boardsState = 'failed';
        return;
      }
      this.boards = { piece, boards };
      this.boardsState = 'ready';
    } catch {
      this.looksWhy = say('link.gone');
      this.boardsState = 'failed';
    }
  }
  // Empty when it was kept, else why not.
  async keepLook(change: object, showAnew = true): Promise<string> {
    try {
      const response = await fetch('/api/look', {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ key: newKey(this.now, uuid), change }),
      });
      if (!response.ok) {
        const refusal = await refusalOf(response);
        return [refusal.what, refusal.remedy].filter(Boolean).join(' – ') || say('error.unreadable');
      }
      this.said = say('look.kept');
      this.boards = null;
      this.boardsState = 'none';
      if (showAnew) await this.askLooks();
      return '';
    } catch {
      return say('link.gone');
    }
  }

  // A code was taken: from now on this device may come in.
  paired(): void {
    this.unpaired = false;
    void this.fetchPlan();
    void this.fetchLog();
    void this.book.fetch();
    void this.book.fetchChoices();
    this.connect();
  }

  // By the shop's clock.
  get now(): Wall {
    return deviceWall(new Date()) + this.offset;
  }
  private tick(): void {
    this.minute = Math.floor(this.now / MINUTE) * MINUTE;
    if (this.link === 'live') this.seenAt = this.now;
  }

  private fetchPlan(): Promise<void> {
    return (this.asking = this.askPlan());
  }
  private async askPlan(): Promise<void> {
    try {
      const response = await fetch('/api/plan', { headers: this.tag ? { 'If-None-Match': this.tag } : {} });
      const shopNow = parseWall(response.headers.get('Tackcloth-Now') ?? '');
      const kept = keptAt(response);
      // Whole minutes come over the wire; a smaller difference is no difference.
      if (shopNow !== null) {
        const difference = shopNow - deviceWall(kept ?? new Date());
        this.offset = Math.abs(difference) < 90_000 ? 0 : difference;
        this.tick();
      }
      if (kept) this.old(kept);
      if (response.status === 401) {
        this.unpaired = true;
        this.source?.close();
        return;
      }
      this.unpaired = false;
      if (response.status === 304) return;
      if (response.status === 404) {
        this.state = 'empty';
        return;
      }
      if (!response.ok) return this.fail(await refusalOf(response));
      const tag = response.headers.get('ETag') ?? '';
      if (tag !== '' && tag === this.tag) return;
      const plan = readPlan(await response.json().catch(() => null));
      if (!plan) {
        return this.fail({
          what: say('error.unreadable'),
          expected: say('error.unreadableExpected'),
          remedy: say('error.unreadableRemedy'),
          ours: true,
        });
      }
      if (this.plan && this.tag !== '') {
        this.moved = { moves: whatMoved(this.plan, plan) };
        this.said = say('moved.title');
      }
      this.plan = plan;
      if (this.helpsState === 'ready' && this.tag !== '') this.helpsState = 'old';
      this.tag = tag;
      this.madeAt = response.headers.get('Tackcloth-Made-At') ?? '';
      if (!kept) this.seenAt = this.now;
      this.state = 'ready';
      this.error = null;
    } catch {
      this.link = 'lost';
      if (!this.plan && this.state === 'loading') {
        this.fail({ what: say('link.lost', { when: '–' }), expected: '', remedy: '', ours: true });
      }
    }
  }

  private async fetchLog(): Promise<void> {
    try {
      const response = await fetch('/api/log');
      if (!response.ok) return;
      this.log = readLog(await response.json());
      const kept = keptAt(response);
      if (kept) this.old(kept);
    } catch {
      // The link notice says it.
    }
  }

  // What is shown is what was kept on this device (offline/worker.ts): it is said, with its hour, and asked for again.
  private old(kept: Date): void {
    const from = deviceWall(kept) + this.offset;
    this.seenAt = this.link === 'lost' && this.seenAt > 0 ? Math.min(this.seenAt, from) : from;
    if (this.link === 'live') this.timers.push(setTimeout(() => this.connect(), RETRY_MS));
    this.link = 'lost';
  }

  private fail(refusal: Refusal): void {
    this.error = refusal;
    this.state = this.plan ? 'ready' : 'error';
  }

  private async post(entry: Outgoing): Promise<{ status: number; why: string }> {
    const response = await fetch('/api/log', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({
        key: entry.key,
        step: entry.step,
        what: entry.what,
        note: entry.note,
        ...(entry.when ? { when: entry.when } : {}),
        ...(entry.took_min ? { took_min: entry.took_min } : {}),
      }),
      keepalive: true,
    });
    if (response.ok) return { status: response.status, why: '' };
    const refusal = await refusalOf(response);
    return { status: response.status, why: [refusal.what, refusal.remedy].filter(Boolean).join(' – ') };
  }
}
