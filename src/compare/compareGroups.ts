import type { PlayerComparison } from '../model/comparison.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { type GroupComparison, MAIN } from '../model/swingSelector.ts';
import { compareParts } from './compareParts.ts';
import type { ComparePlan } from './compareRecords.ts';

/**
 * All comparisons of one player: driver against irons, or what the group called main says instead, then every other group in turn, each
 * by the parts of the player's recordings. A further comparison of which the player has no swing on either side is passed over; one with
 * a side missing says so.
 */
export function compareGroups(
  records: readonly SwingRecord[],
  plan: Pick<ComparePlan, 'player' | 'clubs' | 'options' | 'orders' | 'orderCheck'>,
  groups: readonly GroupComparison[],
): readonly PlayerComparison[] {
  const main = groups.find(({ name }) => name === MAIN);
  const first = compareParts(records, { ...plan, ...(main === undefined ? {} : selectorsOf(main)) });
  const further = groups
    .filter(({ name }) => name !== MAIN)
    .flatMap((group) => compareParts(records, { ...plan, ...selectorsOf(group), name: group.name }))
    .filter(({ group, reference }) => group.trials.length + reference.trials.length > 0);
  return [...first, ...further];
}

function selectorsOf({ of, against }: GroupComparison): Pick<ComparePlan, 'group' | 'reference'> {
  return { group: of, reference: against };
}
