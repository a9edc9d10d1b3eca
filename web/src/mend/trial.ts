// A change that is only tried: what it would do to dates, odds, money and cautions (docs/service.md).
import type { Severity } from '../plan';

export interface Numbers {
  finish: string;
  late: boolean;
  odds: number | null;
  promise_90: string | null;
  total: string;
  hours: number;
}
export interface Trial {
  trial: string;
  pieces: { id: string; name: string; before: Numbers | null; after: Numbers | null }[];
  cost: { before: string; after: string };
  findings: { new: Caution[]; gone: Caution[] };
}
export interface Caution {
  rule: string;
  severity: Severity;
  reason: string;
  mend: string;
}

const isObject = (x: unknown): x is Record<string, unknown> => typeof x === 'object' && x !== null && !Array.isArray(x);
export function readTrial(json: unknown): Trial | null {
  if (!isObject(json) || !Array.isArray(json.pieces) || !isObject(json.cost) || !isObject(json.findings)) return null;
  if (!Array.isArray(json.findings.new) || !Array.isArray(json.findings.gone)) return null;
  return json as unknown as Trial;
}

// Asked again when the service says that an answer is there.
export class Trials {
  private readonly waiting = new Set<() => void>();

  askAgain(): void {
    for (const go of [...this.waiting]) go();
  }

  // The answer, or in words why there is none. `given_up` ends the waiting.
  async run(change: object, given_up: () => boolean = () => false): Promise<Trial | string> {
    try {
      const named = await fetch('/api/trial', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ change }) });
      const said = (await named.json().catch(() => ({}))) as { trial?: string; what?: string; remedy?: string };
      if (!named.ok || !said.trial) return [said.what, said.remedy].filter(Boolean).join(' – ') || `HTTP ${named.status}`;
      while (!given_up()) {
        const news = this.news();
        const response = await fetch(`/api/trial/${said.trial}`);
        if (response.status === 202) {
          await news;
          continue;
        }
        const body: unknown = await response.json().catch(() => null);
        if (!response.ok) return (body as { what?: string } | null)?.what ?? `HTTP ${response.status}`;
        return readTrial(body) ?? '';
      }
      return '';
    } catch {
      return '';
    }
  }

  // The next event of that name, or a while without one: the line may have been down when it came.
  private news(): Promise<void> {
    return new Promise((done) => {
      const go = () => {
        clearTimeout(timer);
        this.waiting.delete(go);
        done();
      };
      const timer = setTimeout(go, 4000);
      this.waiting.add(go);
    });
  }
}
