import type { HeadPoint } from '../model/motion.ts';
import { type MomentMethod, POSITIONS, type PositionId } from '../model/positions.ts';
import type { Quantity } from '../model/quantity.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SwingGroup } from './swings.ts';

/** One method a position in a comparison, one head point for all clubs. */

/** Fewest swings of each group for a verdict, and for a method to be preferred. */
export const FEWEST_SWINGS = 5;

/** How a position was found, as far as it matters for comparing: the two ways of reading the shaft's top are one rule. */
export type MethodClass = Exclude<MomentMethod, 'shaft-pause'> | 'not stated';

/**
 * Better first. P7 by how well each fixes the instant: contact with the still ball, meeting of the fits, then what only dates a sample or
 * assumes the contact place. 'not stated': a record without moments, such as a table turned into records.
 */
const RANK: readonly MethodClass[] = [
  'stillness',
  'slowest',
  'shaft-horizontal',
  'lead-arm-horizontal',
  'lead-forearm-horizontal',
  'trail-arm-horizontal',
  'trail-forearm-horizontal',
  'shaft-reversal',
  'lead-arm-reversal',
  'lead-forearm-reversal',
  'shaft-rotation-share',
  'ball-contact',
  'velocity-step',
  'shock',
  'trigger',
  'sound',
  'address-place',
  'event',
  'not stated',
];

/** The method class of a position in one record; null where the position was looked for and not found. */
export function methodClass(record: SwingRecord, position: PositionId): MethodClass | null {
  const moment = record.moments[position];
  if (moment === undefined) return 'not stated';
  if (!moment.found) return null;
  return moment.method === 'shaft-pause' ? 'shaft-reversal' : moment.method;
}

/**
 * The value of `ranked` that at least five swings of each group have (all, where a group has fewer), the best first; where none is that
 * common, the one that the poorer group has most often. Null where no swing has any.
 */
export function bestShared<T>(
  group: readonly (T | null)[],
  reference: readonly (T | null)[],
  ranked: readonly T[],
): T | null {
  const having = (side: readonly (T | null)[], value: T): number => side.filter((entry) => entry === value).length;
  let best: T | null = null;
  let most = 0;
  for (const value of ranked) {
    const inGroup = having(group, value);
    const inReference = having(reference, value);
    if (inGroup >= Math.min(FEWEST_SWINGS, group.length) && inReference >= Math.min(FEWEST_SWINGS, reference.length)) {
      return value;
    }
    // The poorer group decides; the sum only where that leaves a tie.
    const worth = Math.min(inGroup, inReference) * 1e6 + inGroup + inReference;
    if (worth > most) {
      most = worth;
      best = value;
    }
  }
  return best;
}

export interface MethodChoice {
  /** The one method of each position; null where no swing has the position. */
  readonly methods: Readonly<Record<PositionId, MethodClass | null>>;
  /** What stands for the top: P4, or the lead arm's where that is all that the groups share. */
  readonly top: 'P4' | 'P4(arm)';
}

function sharedBy(group: SwingGroup, reference: SwingGroup, position: PositionId, method: MethodClass | null): boolean {
  if (method === null) return false;
  const count = (side: SwingGroup): number => side.records.filter((r) => methodClass(r, position) === method).length;
  return [group, reference].every((side) => count(side) >= Math.min(FEWEST_SWINGS, side.records.length));
}

/** Definitions 6: in one comparison a position is found by one method, and P4(arm) is never compared with P4. */
export function chooseMethods(group: SwingGroup, reference: SwingGroup): MethodChoice {
  const choose = (position: PositionId): MethodClass | null =>
    bestShared(
      group.records.map((record) => methodClass(record, position)),
      reference.records.map((record) => methodClass(record, position)),
      RANK,
    );
  const methods = Object.fromEntries(POSITIONS.map((position) => [position, choose(position)])) as Record<
    PositionId,
    MethodClass | null
  >;
  const shaft = methods['P4'];
  const arm = methods['P4(arm)'];
  const armStated = arm !== null && arm !== 'not stated';
  const armOnly = armStated && !sharedBy(group, reference, 'P4', shaft) && sharedBy(group, reference, 'P4(arm)', arm);
  return { methods, top: armOnly || (armStated && (shaft === null || shaft === 'not stated')) ? 'P4(arm)' : 'P4' };
}

/** The positions that a cell's value rests on: its own, P1 for what is measured from P1, the ends of a time, P7 for the club. */
export function positionsBehind(quantity: Quantity, position: PositionId | 'swing'): readonly PositionId[] {
  const own: readonly PositionId[] = position === 'swing' ? [] : [position];
  const { reading } = quantity;
  switch (reading.kind) {
    case 'displacement':
    case 'force': // the feet are placed on the platforms at P1
      return position === 'P1' ? own : [...own, 'P1'];
    case 'club':
    case 'order-of-motion':
      return [...own, 'P7'];
    case 'time':
      return [...own, reading.from, reading.to];
    case 'time-ratio':
      return [...new Set([...own, ...reading.of, ...reading.over])];
    default:
      return own;
  }
}

/** The head point whose figures may be compared; null where the clubs share none (definitions 5: never between clubs). */
export function chooseHeadPoint(group: SwingGroup, reference: SwingGroup): string | null {
  const idOf = (point: HeadPoint | null): string | null => (point === null ? null : point.id);
  const a = group.records.map((record) => idOf(record.headPoint));
  const b = reference.records.map((record) => idOf(record.headPoint));
  const ids = [...new Set([...a, ...b])].filter((id) => id !== null).sort();
  const ranked = ids.includes('face-centre') ? ['face-centre', ...ids.filter((id) => id !== 'face-centre')] : ids;
  const best = bestShared(a, b, ranked);
  return best !== null && a.includes(best) && b.includes(best) ? best : null;
}
