import { type CoachWords, notesInOrder } from '../../model/coachWords.ts';
import type { NotePosition } from '../../model/positions.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';

/** The coach's own words, always in quotes and with where they are from: no finding of the program. */

function quoted(words: Words, text: string): string {
  return words.coach.quoted(text.trim());
}

/** '“keeps it on line” (from the day file)'; '' where nothing is said. */
export function noteText(words: Words, note: string): string {
  return note.trim() === '' ? '' : `${quoted(words, note)}${words.coach.source}`;
}

/** What is to be practised, each in quotes. */
export function practiceItems(words: Words, { practice = [] }: CoachWords): readonly string[] {
  return practice.filter((text) => text.trim() !== '').map((text) => quoted(words, text));
}

/** 'The coach’s list, from the day file: “half swings”; “feet together”'; '' where there is none. */
export function practiceText(words: Words, coach: CoachWords): string {
  const items = practiceItems(words, coach);
  return items.length === 0 ? '' : fill(words.coach.practice, { items: items.join('; ') });
}

/** A note at each position that has one, in the order of the swing. */
export function positionNotes(
  words: Words,
  coach: CoachWords,
): readonly { readonly position: NotePosition; readonly text: string }[] {
  return notesInOrder(coach).map(({ position, text }) => ({ position, text: noteText(words, text) }));
}
