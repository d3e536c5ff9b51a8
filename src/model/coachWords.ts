import { NOTE_POSITIONS, type NotePosition } from './positions.ts';

/** What a day file says of a player in the coach's own words. The program adds nothing to it and judges none of it. */
export interface CoachWords {
  /** Of the player; '' where there is none. */
  readonly note: string;
  /** By position; absent: none. */
  readonly notes?: Readonly<Partial<Record<NotePosition, string>>>;
  /** What is to be practised, in the order written; absent: nothing. */
  readonly practice?: readonly string[];
}

/** Notes with something in them, in the order of the swing. */
export function notesInOrder({
  notes = {},
}: CoachWords): readonly { readonly position: NotePosition; readonly text: string }[] {
  return NOTE_POSITIONS.flatMap((position) => {
    const text = (notes[position] ?? '').trim();
    return text === '' ? [] : [{ position, text }];
  });
}

/** As a player's settings or a stored day give them. */
interface GivenWords {
  readonly note?: string | undefined;
  readonly notes?: CoachWords['notes'] | undefined;
  readonly practice?: readonly string[] | undefined;
}

/** What is not empty, as a day stores it. */
export function storedCoachWords({ note = '', notes = {}, practice = [] }: GivenWords): Partial<CoachWords> {
  return {
    ...(note === '' ? {} : { note }),
    ...(Object.keys(notes).length === 0 ? {} : { notes }),
    ...(practice.length === 0 ? {} : { practice }),
  };
}

/** The coach's words alone. */
export function coachWordsOf(given: GivenWords): CoachWords {
  return { note: '', ...storedCoachWords(given) };
}
