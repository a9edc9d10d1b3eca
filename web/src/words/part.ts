// What a part is called: the name somebody gave it, else its id in the reader's words.
import { toldPart } from './told.svelte';

export const partLabel = (part: { id: string; name?: unknown }): string =>
  typeof part.name === 'string' && part.name !== '' ? part.name : toldPart(part.id).replace(/(?<=\p{L})[_-]+(?=[\p{L}\d])/gu, ' ');
