import type { Verdict } from '../../../model/comparison.ts';

/** '1 swing', '8 swings' */
const regular = (noun: string) => (count: number) => `${count} ${noun}${count === 1 ? '' : 's'}`;

const COUNTED = {
  swing: regular('swing'),
  second: regular('second'),
  day: regular('day'),
  trial: regular('trial'),
  player: regular('player'),
  rule: regular('rule'),
  recording: regular('recording'),
  marker: regular('marker'),
  frame: regular('frame'),
  fault: regular('fault'),
  'further fault': regular('further fault'),
  sensor: regular('sensor'),
  column: regular('column'),
  'primary gap': regular('primary gap'),
  'primary value': regular('primary value'),
  'more row': regular('more row'),
};

/** What is counted. */
export type Noun = keyof typeof COUNTED;

const VERDICTS: Readonly<Record<Verdict, string>> = {
  departs: 'departs',
  'differs-slightly': 'differs slightly',
  matches: 'matches',
  undecided: 'can’t be told yet',
  none: 'no verdict',
};

/** Words that stand in many places. */
export const COMMON = {
  /** BCP 47. */
  language: 'en',
  /** Between whole and fraction. */
  decimal: '.',
  /** 'a', 'a and b', 'a, b and c' */
  list: (items: readonly string[]): string =>
    items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`,
  counted: COUNTED,
  /** Name of a side of a comparison: a kind of club, or as the day file says. */
  side: (label: string): string => label,
  verdicts: VERDICTS,
  status: {
    used: 'used',
    rejected: 'rejected',
    failed: 'failed',
    'left-out': 'left out',
  },
  /** Of numbers: '1.2 to 3.4'. */
  range: '{low} to {high}',
  more: '{n} more',
  /** A sheet and what is compared on it. */
  against: '{group} against {reference}',
  sheetTitle: '{name}: {group} against {reference}',
  /** Of a name that a player's files have. */
  ofPlayer: '{what} of {name}',
  at: '{what} at {position}',
  sinceP1: '{what}, since P1',
  cautions:
    'These are measurements, not medical advice. Stop when something hurts. Change a movement together with a qualified coach; complaints of the back or a joint belong to a licensed practitioner. Swing only with clear space around you.',
  coach: {
    /** Behind a note in quotes. */
    source: ' (from the day file)',
    quoted: (text: string): string => `“${text}”`,
    practice: 'The coach’s list, from the day file: {items}',
  },
  zero: {
    notCalibrated: 'The sensors were not calibrated: no angle of a segment can be given.',
    said: 'Zero: {bends}; {turns}.',
    pose: 'angles are against the calibration pose {still}, not anatomical',
    anatomical:
      'forward and side bend in the calibration pose {still} are taken over from the marker static trial {trial}',
    address: 'turns, and the chest’s rotation on the pelvis, are since address',
    together: 'turns are since address, those of all segments together',
    noPlaces:
      'Sensors give orientations, no places in space: no figures; no shift or rise of pelvis, chest and head; no lines of shoulders and hips, no axis tilt; no head speed, attack or path of the club.',
  },
};
