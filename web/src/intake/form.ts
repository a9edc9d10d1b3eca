// What the questions of taking a piece in have been answered with so far.
import type { Answers, Piece } from './job';

export interface Form {
  pattern: string; // "" until it is said what the piece is; "stored" for one that is changed
  piece: Piece;
  answers: Answers;
  age: 'unknown' | 'year';
  wiring: boolean;
  stubborn: boolean;
  card: number;
}

export const LAST_CARD = 6;

export function first(piece: Piece | null): Form {
  const part = piece?.part.find((p) => p.kind !== 'hardware' && p.kind !== 'fabric_panel') ?? piece?.part[0];
  return {
    pattern: piece ? 'stored' : '',
    piece: piece ? structuredClone(piece) : { id: '', part: [] },
    answers: {
      material: part?.substrate?.material ?? 'solid_wood',
      species: part?.substrate?.species ?? '',
      existing: part?.existing ?? 'unknown',
      treatment: part?.zone?.[0]?.treatment ?? 'clear',
      color: part?.zone?.[0]?.color ?? '',
    },
    age: typeof piece?.year === 'number' ? 'year' : 'unknown',
    wiring: piece?.part.some((p) => p.has_wiring === true) ?? false,
    stubborn: piece?.part.some((p) => p.stubborn_finish === true) ?? false,
    card: 0,
  };
}
