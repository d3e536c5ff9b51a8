import { type CoachWords, notesInOrder } from '../../model/coachWords.ts';
import type { NotePosition } from '../../model/positions.ts';

/** The coach's own words, always in quotes and with where they are from: no finding of the program. */

/** What stands behind a note. */
export const NOTE_SOURCE = ' (from the day file)';

function quoted(text: string): string {
  return `“${text.trim()}”`;
}

/** '“keeps it on line” (from the day file)'; '' where nothing is said. */
export function noteText(note: string): string {
  return note.trim() === '' ? '' : `${quoted(note)}${NOTE_SOURCE}`;
}

/** What is to be practised, each in quotes. */
export function practiceItems({ practice = [] }: CoachWords): readonly string[] {
  return practice.filter((text) => text.trim() !== '').map(quoted);
}

/** 'The coach’s list, from the day file: “half swings”; “feet together”'; '' where there is none. */
export function practiceText(words: CoachWords): string {
  const items = practiceItems(words);
  return items.length === 0 ? '' : `The coach’s list, from the day file: ${items.join('; ')}`;
}

/** A note at each position that has one, in the order of the swing. */
export function positionNotes(
  words: CoachWords,
): readonly { readonly position: NotePosition; readonly text: string }[] {
  return notesInOrder(words).map(({ position, text }) => ({ position, text: noteText(text) }));
}
