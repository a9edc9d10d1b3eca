// Assembly marks as a carpenter cuts them, with straight strokes only and nothing taken away: I, II, III, IIII, V … VIIII, X.
export function mark(number: number): string {
  let left = Math.max(1, Math.floor(number));
  let cut = '';
  for (const [value, sign] of [[50, 'L'], [10, 'X'], [5, 'V'], [1, 'I']] as const) {
    while (left >= value) {
      cut += sign;
      left -= value;
    }
  }
  return cut;
}
