/** Comparisons made again, or anew, from days that are already processed. */
import { compareCodeUnits } from '../base/text.ts';
import { compareGroups } from '../compare/compareGroups.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import { type GroupComparison, MAIN, sidesOf } from '../model/swingSelector.ts';
import type { DayView } from '../report/views.ts';
import { viewOf } from './dayView.ts';
import { swingsNamed } from './namedSwings.ts';
import type { StoredDay } from './storedDay.ts';

/** What was asked for on the command line. */
export interface CompareRequest {
  /** Names of swings, as of --of and --against; both or neither. */
  readonly named: { readonly of: string; readonly against: string } | null;
  /** Id of the only player wanted, or null. */
  readonly player: string | null;
}

/**
 * The comparisons of one day: those of its day file, or the one that is asked for, of every player who has such swings.
 * @throws RangeError with a sentence for the user where a name stands for nothing
 */
export function compareStoredDay(day: StoredDay, { named, player }: CompareRequest): readonly PlayerComparison[] {
  const groups = named === null ? day.groups : [askedGroup(day, named)];
  const comparisons = day.players
    .filter(({ id }) => player === null || id === player)
    .flatMap((one) => compareGroups(day.records, { player: one, clubs: day.clubs, options: day.options }, groups));
  if (named === null) return comparisons;
  return comparisons.filter(({ group, reference }) => group.trials.length + reference.trials.length > 0);
}

function askedGroup(day: StoredDay, { of, against }: { of: string; against: string }): GroupComparison {
  const sets = [...new Set(day.records.map(({ head }) => head.set))].sort(compareCodeUnits);
  const known = { clubs: day.clubs, sets };
  const sides = sidesOf(named('--of', of), named('--against', against), day.clubs);
  return { name: MAIN, ...sides, players: null };

  function named(option: string, text: string) {
    try {
      return swingsNamed(text, known);
    } catch (error) {
      if (error instanceof RangeError) throw new RangeError(`${option}: ${error.message}`);
      throw error;
    }
  }
}

/** One day's comparisons as the report shows them. */
export function storedView(
  day: StoredDay,
  comparisons: readonly PlayerComparison[],
  program: { readonly name: string; readonly version: string },
): DayView {
  const smoothing = new Map(day.players.map((player) => [player.id, player.smoothing]));
  return viewOf({ ...day, comparisons, program, smoothing: (player) => smoothing.get(player) ?? '' });
}
