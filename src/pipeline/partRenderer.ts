/** Where the parts of a day are made ready to be written: the port that lets threads in, and the plain one of this thread. */
import type { DayOutcome } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { type PlayerOutput, type PlayerPart, playerOutput } from './playerOutput.ts';
import { type RecordShelf, recordFrom } from './swingBrief.ts';
import { type SwingOutput, type SwingOutputOptions, swingOutput } from './swingOutput.ts';

export interface PartRenderer {
  /** One output for each used swing, in the order given. */
  swings(outcomes: readonly DayOutcome[], options: SwingOutputOptions): AsyncIterable<SwingOutput>;
  /** One output for each player, in the order given. */
  players(parts: Iterable<PlayerPart>): AsyncIterable<PlayerOutput>;
}

/** One part after the other in this thread: no more is held than one swing, then one player. */
export function rendererHere(shelf: RecordShelf, seriesOf: SeriesOf | null): PartRenderer {
  return {
    async *swings(outcomes, options) {
      for (const outcome of outcomes) {
        const record = recordFrom(shelf, outcome);
        if (record !== null) yield await swingOutput(record, options, seriesOf);
      }
    },
    async *players(parts) {
      for (const part of parts) yield await playerOutput(part, shelf);
    },
  };
}
