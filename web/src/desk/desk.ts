// What the shop computer tells its own page only: codes that let a telephone in, and the telephones that are.
export interface Phone {
  id: number;
  name: string;
  when: string;
}
export interface Pairing {
  address: string | null; // null: it listens on itself only
  state: 'none' | 'open' | 'used' | 'expired' | 'locked';
  code: string;
  left_s: number;
  tries_left: number;
  phones: Phone[];
}

const STATES = ['none', 'open', 'used', 'expired', 'locked'];

export function readPairing(value: unknown): Pairing | null {
  const p = value as Pairing | null;
  if (typeof p !== 'object' || p === null || !Array.isArray(p.phones) || !STATES.includes(p.state)) return null;
  return typeof p.code === 'string' && typeof p.left_s === 'number' ? p : null;
}

// Read aloud and typed in two halves.
export const inHalves = (code: string) => `${code.slice(0, 3)} ${code.slice(3)}`;

// A code that came with the address (#pair=123456, from the picture at the desk); "" when there is none.
export function codeIn(hash: string): string {
  return /^#pair=(\d{6})$/.exec(hash)?.[1] ?? '';
}

async function whyOf(response: Response): Promise<string> {
  const said = (await response.json().catch(() => ({}))) as { what?: string; expected?: string; remedy?: string };
  return [said.what, said.expected, said.remedy].filter(Boolean).join(' – ') || `HTTP ${response.status}`;
}

export type Asked<T> = { value: T } | { why: string; status: number };

export async function askDesk(path = '', body?: object): Promise<Asked<Pairing>> {
  try {
    const response = await fetch(`/api/pairing${path}`, body && { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
    if (!response.ok) return { why: await whyOf(response), status: response.status };
    const value = readPairing(await response.json());
    return value ? { value } : { why: '', status: 0 };
  } catch {
    return { why: '', status: 0 };
  }
}

export async function pair(code: string, name: string): Promise<Asked<true>> {
  try {
    const response = await fetch('/api/pair', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ code, name }) });
    return response.ok ? { value: true } : { why: await whyOf(response), status: response.status };
  } catch {
    return { why: '', status: 0 };
  }
}

const PIECE = 512 * 1024; // below the service's limit of 1 MB a request

// Null when all of it is back, else why not ("" for no answer).
export async function bringBack(file: Blob, told: (share: number) => void): Promise<string | null> {
  if (file.size === 0) return 'the file is empty';
  try {
    for (let from = 0; from < file.size; from += PIECE) {
      const response = await fetch(`/api/everything?size=${file.size}&offset=${from}`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/octet-stream' },
        body: await file.slice(from, from + PIECE).arrayBuffer(),
      });
      if (!response.ok) return await whyOf(response);
      told(Math.min(1, (from + PIECE) / file.size));
    }
    return null;
  } catch {
    return '';
  }
}
