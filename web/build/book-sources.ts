// Where the sentences of the book come from: the engines' C++ and the catalogue. Used by the tests to find stale entries.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

export interface Source {
  path: string;
  text: string;
}
const WINDOW = 4; // words in a row

// C++ puts literals that stand side by side together; words of the files are spoken without underscores.
const plain = (text: string) =>
  text
    .replaceAll(/"\s*\n\s*"/g, '')
    .replaceAll('\\"', '"')
    .replaceAll('%%', '%')
    .replaceAll('_', ' ')
    .split('\n')
    .filter((line) => line.includes('"'))
    .join('\n');

export function sources(root: string): Source[] {
  const found: Source[] = [];
  for (const top of ['src', 'catalog']) {
    for (const entry of readdirSync(join(root, top), { recursive: true, withFileTypes: true })) {
      if (!entry.isFile() || !/\.(cpp|h|toml)$/.test(entry.name)) continue;
      const path = join(entry.parentPath, entry.name);
      found.push({ path: path.slice(join(root, '/').length), text: plain(readFileSync(path, 'utf8')) });
    }
  }
  return found.sort((a, b) => a.path.localeCompare(b.path));
}

// What share of a template's literals, four words at a time, still stands in a source, and in which.
export function windowsFound(all: Source[], template: string): { share: number; where: string[] } {
  const windows: string[] = [];
  for (const literal of template.split(/\{[a-z]+\d*\}/)) {
    const words = literal.replaceAll('_', ' ').split(/(?<=\S)(?= )/);
    if (literal.trim() === '') continue;
    if (words.length <= WINDOW) windows.push(literal.replaceAll('_', ' '));
    for (let i = 0; i + WINDOW <= words.length && words.length > WINDOW; i += 1) windows.push(words.slice(i, i + WINDOW).join(''));
  }
  if (windows.length === 0) return { share: 1, where: [] };
  const count = new Map<string, number>();
  let found = 0;
  for (const window of windows) {
    let here = false;
    for (const { path, text } of all) {
      if (!text.includes(window)) continue;
      here = true;
      count.set(path, (count.get(path) ?? 0) + 1);
    }
    if (here) found += 1;
  }
  const where = [...count].sort((a, b) => b[1] - a[1]).map(([path]) => path);
  return { share: found / windows.length, where };
}

// Whether each of its longer words still stands somewhere: all that can be asked of a sentence put together from parts.
export function wordsFound(all: Source[], template: string): boolean {
  const words = template.replaceAll(/\{[a-z]+\d*\}/g, ' ').replaceAll('_', ' ').match(/\p{L}{4,}/gu) ?? [];
  return words.every((word) => all.some(({ text }) => text.includes(word)));
}
