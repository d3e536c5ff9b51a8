import type { CheckpointState } from '../../../model/checkpoint.ts';
import type { Gate } from '../../../model/gates.ts';

const STATES: Readonly<Record<CheckpointState, string>> = {
  met: 'met',
  'not-met': 'not met',
  'not-measured': 'not measured',
};

/** The rules that a swing is read by. */
export const CHECKPOINTS = {
  states: STATES,
  severe: '{state}, severe',
  counts: '{rules}: {states}',
  count: '{n} {state}',
  change: '{quantity}, change from {from} to {position}',
  changeWithoutTurn: '{quantity}, change from {from} to {position} without that of its turn',
  begins: {
    falls: '{quantity} begins to fall ({from} to {position}) at',
    rises: '{quantity} begins to rise ({from} to {position}) at',
  },
  band: {
    between: 'Band {low} to {high}{severe}.',
    least: 'Band {low} or more{severe}.',
    most: 'Band {high} or less{severe}.',
    severe: ', severe {limits}',
    below: 'below {limit}',
    above: 'above {limit}',
    or: ' or ',
  },
  noValue: '{what}: {reason}.',
  value: '{what} {value} ({about}).',
  scatterOfSwings: 'SD {sd}',
  notMeasured: 'Not measured: {reason}.',
  eachMeets: 'each meets it',
  noneMeets: 'none meets it',
  someMeet: '{n} of them meet it',
  turn: {
    said: 'Read with the turn: {start}{turn} at {position}{alone}.',
    start: '{turn} at {position}, ',
    takenOff: '; {change} taken off for it',
    wouldChange: '; that alone would change it by {change}',
  },
  referenceRule: 'Rule: no departure from the {reference}.',
  scatter: 'Within the scatter: the mean lies between {low} and {high} (95 %).',
};

/** Swings that are used with a doubt. */
export const DOUBTS = {
  review: 'for review: {found}',
  byHand: ({ note, found }: { readonly note: Gate['note']; readonly found: string }): string =>
    `accepted by hand${note === '' ? '' : `: ${note}`}${found === '' ? '' : ` (found: ${found})`}`,
  outlying: 'outlying among {swings} ({group}): {values} from their median ({how})',
  outlyingValue: '{quantity} at {position} {deviation}',
  distance: 'distance {distance}, limit {limit}',
};
