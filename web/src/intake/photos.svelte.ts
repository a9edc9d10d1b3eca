import { uuid } from '../random';

// Photos on their way to the shop computer: kept on this device until all of it is there, sent in pieces, and going on
// where the last piece ended, after a lost connection or a closed page.
export interface Sending {
  id: string;
  size: number;
  have: number;
  state: 'kept' | 'sending' | 'refused';
  why: string;
}
export interface Stored {
  width: number;
  height: number;
  picture: string;
  notes: string[];
}
const PIECE = 512 * 1024; // below the service's limit of 1 MB a request

// A store that outlives the page; without IndexedDB photos live as long as the page does.
export interface Blobs {
  put(id: string, blob: Blob): Promise<void>;
  all(): Promise<[string, Blob][]>;
  drop(id: string): Promise<void>;
}
export function memory(): Blobs {
  const kept = new Map<string, Blob>();
  return {
    put: async (id, blob) => void kept.set(id, blob),
    all: async () => [...kept],
    drop: async (id) => void kept.delete(id),
  };
}
export function device(): Blobs {
  if (typeof indexedDB === 'undefined') return memory();
  const open = new Promise<IDBDatabase>((done, fail) => {
    const asked = indexedDB.open('tackcloth', 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore('photo');
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
  const run = <T>(mode: IDBTransactionMode, body: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> =>
    open.then(
      (db) =>
        new Promise<T>((done, fail) => {
          const asked = body(db.transaction('photo', mode).objectStore('photo'));
          asked.onsuccess = () => done(asked.result);
          asked.onerror = () => fail(asked.error);
        }),
    );
  const spare = memory();
  return {
    put: (id, blob) => run('readwrite', (s) => s.put(blob, id)).then(() => undefined, () => spare.put(id, blob)),
    all: async () => {
      try {
        const [keys, blobs] = await Promise.all([run('readonly', (s) => s.getAllKeys()), run('readonly', (s) => s.getAll())]);
        return [...keys.map((k, i) => [String(k), blobs[i] as Blob] as [string, Blob]), ...(await spare.all())];
      } catch {
        return spare.all();
      }
    },
    drop: async (id) => {
      await spare.drop(id);
      await run('readwrite', (s) => s.delete(id)).catch(() => undefined);
    },
  };
}

export class PhotoBox {
  sending = $state.raw<Sending[]>([]);
  stored = $state.raw<Record<string, Stored>>({});
  private busy = false;
  private again = new Map<string, number>();

  constructor(
    private readonly blobs: Blobs,
    private readonly piece = PIECE,
  ) {}

  async start(): Promise<void> {
    const kept = await this.blobs.all();
    this.sending = kept.map(([id, blob]) => ({ id, size: blob.size, have: 0, state: 'kept', why: '' }));
    await this.send();
  }
  async add(file: Blob): Promise<string> {
    const id = uuid();
    await this.blobs.put(id, file);
    this.sending = [...this.sending, { id, size: file.size, have: 0, state: 'kept', why: '' }];
    void this.send();
    return id;
  }
  async drop(id: string): Promise<void> {
    await this.blobs.drop(id);
    this.sending = this.sending.filter((s) => s.id !== id);
  }

  async send(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    try {
      const kept = new Map(await this.blobs.all());
      for (const one of this.sending) {
        const blob = kept.get(one.id);
        if (!blob || one.state === 'refused') continue;
        if (!(await this.sendOne(one.id, blob))) return;
      }
    } finally {
      this.busy = false;
    }
  }

  // False when there is no connection. Asks first how much is there: an empty piece at 0.
  private async sendOne(id: string, blob: Blob): Promise<boolean> {
    let have = await this.post(id, blob, 0, 0);
    while (typeof have === 'number' && have < blob.size) {
      this.mark(id, { state: 'sending', have });
      have = await this.post(id, blob, have, Math.min(blob.size, have + this.piece));
    }
    if (have === 'refused') return true;
    if (have === 'lost') {
      this.mark(id, { state: 'kept' });
      return false;
    }
    await this.drop(id);
    void this.ask(id);
    return true;
  }
  private async post(id: string, blob: Blob, from: number, to: number): Promise<number | 'lost' | 'refused'> {
    try {
      const response = await fetch(`/api/photo/${id}?size=${blob.size}&offset=${from}`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/octet-stream' },
        body: await blob.slice(from, to).arrayBuffer(),
      });
      if (response.ok) return ((await response.json()) as { have: number }).have;
      if (response.status >= 500 || response.status === 401) return 'lost';
      const refusal = (await response.json().catch(() => ({}))) as { what?: string; remedy?: string };
      this.mark(id, { state: 'refused', why: [refusal.what, refusal.remedy].filter(Boolean).join(' – ') });
      return 'refused';
    } catch {
      return 'lost';
    }
  }

  // What the service shows of it; asked again on event `photo`.
  async ask(id: string): Promise<void> {
    if (this.stored[id]) return;
    try {
      const response = await fetch(`/api/photo/${encodeURIComponent(id)}`);
      if (response.status === 202) {
        this.again.set(id, Date.now());
        return;
      }
      this.again.delete(id);
      if (response.ok) this.stored = { ...this.stored, [id]: (await response.json()) as Stored };
      else {
        const refusal = (await response.json().catch(() => ({}))) as { what?: string };
        this.stored = { ...this.stored, [id]: { width: 0, height: 0, picture: '', notes: [refusal.what ?? ''] } };
      }
    } catch {
      // The link notice says it.
    }
  }
  askAgain(): void {
    for (const id of [...this.again.keys()]) void this.ask(id);
  }

  private mark(id: string, change: Partial<Sending>): void {
    this.sending = this.sending.map((s) => (s.id === id ? { ...s, ...change } : s));
  }
}
