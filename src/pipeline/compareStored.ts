/** Comparisons made again, or anew, from a day that is already processed. */
import { nearestOf } from '../base/text.ts';
import { compareGroups } from '../compare/compareGroups.ts';
import { holdsRotation } from '../compare/orderAngles.ts';
import type { OrderedRotation } from '../model/analysisPlan.ts';
import { coachWordsOf } from '../model/coachWords.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import { NamedSwingsError, namedSides } from '../model/namedSwings.ts';
import { type GroupComparison, MAIN } from '../model/swingSelector.ts';
import type { DayView } from '../report/views.ts';
import { viewOf } from './dayView.ts';
import type { StoredDay } from './storedDay.ts';

/** A name of the user's that stands for nothing; the message is a sentence for the user. */
export class SelectionError extends Error {}

/** What was asked for on the command line. */
export interface CompareRequest {
  /** Names of swings, as of --of and --against; both or neither. */
  readonly named: { readonly of: string; readonly against: string } | null;
  /** Id of the only player wanted, or null. */
  readonly player: string | null;
  /** Segments and joints of which all orders are asked for. */
  readonly orderCheck?: readonly OrderedRotation[];
}

/**
 * The comparisons of one day: those of its day file, or the one that is asked for, of every player who has such swings.
 * @throws SelectionError
 */
export function compareStoredDay(
  day: StoredDay,
  { named, player, orderCheck = [] }: CompareRequest,
): readonly PlayerComparison[] {
  const players = day.players.filter(({ id }) => player === null || id === player);
  if (players.length === 0) throw new SelectionError(unknownPlayer(day, player!));
  for (const rotation of orderCheck) {
    if (!day.records.some((record) => holdsRotation(record, rotation))) {
      throw new SelectionError(
        `--order-check: ${day.name} holds no rotations of ${rotation}; process the day again with --order-check ${rotation}`,
      );
    }
  }
  const groups = named === null ? day.groups : [askedGroup(day, named)];
  const comparisons = players.flatMap((one) =>
    compareGroups(
      day.records,
      { player: one, clubs: day.clubs, options: day.options, orders: day.orders, orderCheck },
      groups,
    ),
  );
  if (named === null) return comparisons;
  const having = comparisons.filter(({ group, reference }) => group.trials.length + reference.trials.length > 0);
  if (having.length > 0) return having;
  throw new SelectionError(
    `${player === null ? 'no player has' : `${player} has no`} swings of ${named.of} or ${named.against}`,
  );
}

function unknownPlayer(day: StoredDay, player: string): string {
  const ids = day.players.map(({ id }) => id);
  const near = nearestOf(player, ids);
  return `--player: ${day.name} has no player ${player}${near === null ? '' : `; did you mean ${near}?`}; there are ${ids.join(', ')}`;
}

function askedGroup(day: StoredDay, { of, against }: { of: string; against: string }): GroupComparison {
  const swings = day.records.filter(({ head }) => head.role === 'swing').map(({ head }) => head);
  try {
    return { name: MAIN, ...namedSides(of, against, { clubs: day.clubs, swings }) };
  } catch (error) {
    if (error instanceof NamedSwingsError) throw new SelectionError(`--${error.side}: ${error.message}`);
    throw error;
  }
}

/** One day's comparisons as the report shows them. */
export function storedView(
  day: StoredDay,
  comparisons: readonly PlayerComparison[],
  program: { readonly name: string; readonly version: string },
): DayView {
  const players = new Map(day.players.map((player) => [player.id, player]));
  return viewOf({
    ...day,
    comparisons,
    program,
    coach: (player) => coachWordsOf(players.get(player) ?? {}),
    smoothing: (player) => players.get(player)?.smoothing ?? '',
  });
}
