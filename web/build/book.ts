// A translation of the sentence book, written as PO (GNU gettext), becomes a module of pairs: english, other. What only
// the papers say is left out of it.
import { readFileSync } from 'node:fs';
import { po } from 'gettext-parser';
import type { Plugin } from 'vite';

export const OF_PAPERS = 'paper\u0004'; // their context, as gettext keys it

export function readBook(path: string): [english: string, other: string][] {
  const { translations } = po.parse(readFileSync(path));
  return Object.values(translations).flatMap((of) =>
    Object.values(of)
      .filter((entry) => entry.msgid !== '' && entry.msgstr[0] !== '' && !entry.comments?.flag?.includes('fuzzy'))
      .map((entry): [string, string] => [entry.msgctxt ? `${entry.msgctxt}\u0004${entry.msgid}` : entry.msgid, entry.msgstr[0]!]),
  );
}

export function book(): Plugin {
  return {
    name: 'tackcloth-book',
    load(id) {
      if (!id.endsWith('.po')) return null;
      this.addWatchFile(id);
      return `export default JSON.parse(${JSON.stringify(JSON.stringify(readBook(id).filter(([english]) => !english.startsWith(OF_PAPERS))))});`;
    },
  };
}
