// Opens the line of a step in its piece's sheet, and brings reader and focus there.
export function openStep(id: string): boolean {
  const line = document.getElementById(`step-${id}`);
  if (!line) return false;
  for (let at: Element | null = line; at; at = at.parentElement) if (at instanceof HTMLDetailsElement) at.open = true;
  line.scrollIntoView({ block: 'start' });
  line.querySelector('summary')?.focus({ preventScroll: true });
  return true;
}
