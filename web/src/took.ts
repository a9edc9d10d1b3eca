// Hands-on time as it is typed after the work: "45", "45 min", "1:30", "1.5 h", "1 h 20".
const LONGEST = 30_000; // minutes; as the service has it

// Whole minutes; null when it cannot be read so, or is no time.
export function minutesOf(typed: string): number | null {
  const text = typed.trim().toLowerCase().replaceAll(',', '.');
  const clock = /^(\d{1,3}):([0-5]\d)$/.exec(text);
  const words = /^(?:(\d+(?:\.\d+)?)\s*(?:h|hr|hours?|std\.?|stunden?))?\s*(?:(\d+)\s*(?:min\.?|m|minutes?|minuten?)?)?$/.exec(text);
  const minutes = clock
    ? Number(clock[1]) * 60 + Number(clock[2])
    : words && (words[1] !== undefined || words[2] !== undefined)
      ? Math.round(Number(words[1] ?? 0) * 60 + Number(words[2] ?? 0))
      : NaN;
  return minutes >= 1 && minutes <= LONGEST ? minutes : null;
}
