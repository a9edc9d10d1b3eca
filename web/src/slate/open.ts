import { flushSync } from 'svelte';

interface Sheet {
  ids: readonly string[];
  unfold: () => void;
}
// The sheets on the page that hold steps: a folded one has no lines yet.
const sheets = new Map<Element, Sheet>();

export function steps(node: Element, sheet: Sheet): { update: (sheet: Sheet) => void; destroy: () => void } {
  sheets.set(node, sheet);
  return { update: (now) => void sheets.set(node, now), destroy: () => void sheets.delete(node) };
}

// Opens the line of a step in its piece's sheet, and brings reader and focus there.
export function openStep(id: string): boolean {
  const line = lineOf(id);
  if (!line) return false;
  for (let at: Element | null = line; at; at = at.parentElement) if (at instanceof HTMLDetailsElement) at.open = true;
  line.scrollIntoView({ block: 'start' });
  line.querySelector('summary')?.focus({ preventScroll: true });
  return true;
}

function lineOf(id: string): HTMLElement | null {
  const line = document.getElementById(`step-${id}`);
  if (line) return line;
  for (const sheet of sheets.values()) if (sheet.ids.includes(id)) flushSync(sheet.unfold);
  return document.getElementById(`step-${id}`);
}
