import { quantityById } from '../../model/catalogue.ts';
import type { ComparisonRow } from '../../model/comparison.ts';
import type { PositionId } from '../../model/positions.ts';
import { POSITIONS } from '../../model/positions.ts';
import { decimalsIn, plain, withUnit } from './numbers.ts';

/** A coach's words for positions, quantities and differences: templates filled with numbers, no free prose. */

const POSITION_WORDS: Readonly<Record<PositionId, { readonly name: string; readonly phrase: string }>> = {
  P1: { name: 'address', phrase: 'At address (P1)' },
  P2: { name: 'shaft level going back', phrase: 'With the shaft level going back (P2)' },
  P3: { name: 'lead arm level going back', phrase: 'With the lead arm level going back (P3)' },
  P4: { name: 'top', phrase: 'At the top (P4)' },
  'P4(arm)': { name: 'top of the lead arm', phrase: 'At the top of the lead arm, P4(arm),' },
  P5: { name: 'lead arm level coming down', phrase: 'With the lead arm level coming down (P5)' },
  'P5.5': { name: 'halfway from P5 to P6', phrase: 'Late in the downswing (P5.5)' },
  P6: { name: 'shaft level coming down', phrase: 'With the shaft level coming down (P6)' },
  P7: { name: 'impact', phrase: 'At impact (P7)' },
  P8: { name: 'shaft level after impact', phrase: 'With the shaft level after impact (P8)' },
  P9: { name: 'trail arm level after impact', phrase: 'With the trail arm level after impact (P9)' },
  P10: { name: 'finish', phrase: 'At the finish (P10)' },
};

/** 'top', 'impact' */
export function positionName(position: PositionId): string {
  return POSITION_WORDS[position].name;
}

/** 'At the top (P4)' */
export function positionPhrase(position: PositionId): string {
  return POSITION_WORDS[position].phrase;
}

/** Place of a position in the order of time; values of the whole swing come last. */
export function positionOrder(position: PositionId | 'swing'): number {
  return position === 'swing' ? POSITIONS.length : POSITIONS.indexOf(position);
}

/** What has a quantity, and what there is more of when it is above zero and when it is below. */
interface Phrase {
  readonly subject: string;
  readonly plus: string;
  readonly minus: string;
}

const SUBJECT: Readonly<Record<string, string>> = {
  pelvis: 'the pelvis',
  thorax: 'the chest',
  head: 'the head',
  trunk: 'the chest on the pelvis',
  neck: 'the head on the chest',
  shoulder_line: 'the shoulder line',
  pelvis_line: 'the pelvis line',
  trunk_axis: 'the trunk',
  stance: 'the stance',
  lead_shoulder: 'the lead shoulder',
  trail_shoulder: 'the trail shoulder',
  lead_foot: 'the lead foot',
  trail_foot: 'the trail foot',
  body: 'the whole body',
};

const BY_COMPONENT: Readonly<Record<string, readonly [plus: string, minus: string]>> = {
  forward_bend: ['forward bend', 'backward lean'],
  side_bend: ['side bend toward the trail side', 'side bend toward the lead side'],
  turn: ['turn toward the target', 'turn away from the target'],
  flexion: ['forward bend', 'arch'],
  axial: ['rotation toward the target', 'rotation away from the target'],
  to_target: ['shift toward the target', 'shift away from the target'],
  to_ball: ['movement toward the ball', 'movement away from the ball'],
  to_trail: ['lean away from the target', 'lean toward the target'],
  rise: ['rise', 'drop'],
  inclination: ['lean from the vertical', 'lean from the vertical'],
  turn_rate: ['turning speed toward the target', 'turning speed away from the target'],
  alignment: ['aim open to the target', 'aim closed to the target'],
  toe_alignment: ['aim of the toes open to the target', 'aim of the toes closed to the target'],
  speed_to_target: ['speed toward the target', 'speed away from the target'],
  flare: ['turn of the toes outward', 'turn of the toes inward'],
};

const BY_ID: Readonly<Record<string, Phrase>> = {
  'shoulder_line.tilt': {
    subject: 'the shoulder line',
    plus: 'tilt with the lead shoulder higher',
    minus: 'tilt with the trail shoulder higher',
  },
  'pelvis_line.tilt': {
    subject: 'the pelvis line',
    plus: 'tilt with the lead hip higher',
    minus: 'tilt with the trail hip higher',
  },
  'trunk_axis.to_ball': { subject: 'the trunk', plus: 'lean toward the ball', minus: 'backward lean' },
  'thorax.inclination': { subject: 'the spine', plus: 'lean from the vertical', minus: 'lean from the vertical' },
  'thorax.inclination_direction': {
    subject: 'the spine',
    plus: 'lean round toward the target',
    minus: 'lean round away from the target',
  },
  axis_tilt: { subject: 'the trunk', plus: 'tilt away from the target', minus: 'tilt toward the target' },
  turn_difference: { subject: 'the chest', plus: 'turn ahead of the pelvis', minus: 'turn behind the pelvis' },
  'club.head_speed': { subject: 'the club head', plus: 'speed', minus: 'speed' },
  'club.attack': { subject: 'the club head', plus: 'upward attack', minus: 'downward attack' },
  'club.path': {
    subject: 'the club head',
    plus: 'path away from the player',
    minus: 'path toward the player',
  },
  'head_line.tilt': {
    subject: 'the head',
    plus: 'tilt with the lead ear higher',
    minus: 'tilt with the trail ear higher',
  },
  'eyes_line.tilt': {
    subject: 'the eyes',
    plus: 'tilt with the lead eye higher',
    minus: 'tilt with the trail eye higher',
  },
  'body.speed': { subject: 'the whole body', plus: 'speed', minus: 'speed' },
  'stance.width': { subject: 'the stance', plus: 'width', minus: 'width' },
  'ball.from_lead_ankle': {
    subject: 'the ball',
    plus: 'distance ahead of the lead ankle',
    minus: 'distance behind the lead ankle',
  },
};

function phraseOf(quantity: string): Phrase | null {
  const own = BY_ID[quantity];
  if (own !== undefined) return own;
  const dot = quantity.indexOf('.');
  const subject = SUBJECT[quantity.slice(0, dot)];
  const nouns = BY_COMPONENT[quantity.slice(dot + 1)];
  if (dot < 0 || subject === undefined || nouns === undefined) return null;
  return { subject, plus: nouns[0], minus: nouns[1] };
}

/** The parts of a row that a sentence needs, with numbers in them. */
export interface SaidRow extends ComparisonRow {
  readonly meanGroup: number;
  readonly meanReference: number;
  readonly difference: number;
}

/** True where a row has the numbers of a sentence. */
export function isSaid(row: ComparisonRow): row is SaidRow {
  return row.meanGroup !== null && row.meanReference !== null && row.difference !== null;
}

/**
 * 'the pelvis keeps 6.8° more forward bend'. Which noun: by the side of zero both means lie on; where they lie on both sides
 * there is always *more* of what the group has.
 */
export function differenceClause(row: SaidRow): string {
  const quantity = quantityById(row.quantity);
  const amount = withUnit(Math.abs(row.difference), quantity.decimals, row.unit);
  const phrase = phraseOf(row.quantity);
  if (phrase === null) {
    return `the ${quantity.label} is ${amount} ${row.difference > 0 ? 'higher' : 'lower'}`;
  }
  const side = sideOf(row);
  const more = row.difference > 0 === (side === 'plus');
  const keeps = more && side === 'plus' && row.position !== 'P1' && row.quantity.endsWith('.forward_bend');
  return `${phrase.subject} ${keeps ? 'keeps' : 'has'} ${amount} ${more ? 'more' : 'less'} ${phrase[side]}`;
}

function sideOf(row: SaidRow): 'plus' | 'minus' {
  if (row.meanGroup >= 0 && row.meanReference >= 0) return 'plus';
  if (row.meanGroup <= 0 && row.meanReference <= 0) return 'minus';
  return row.difference > 0 ? 'plus' : 'minus';
}

/**
 * 'the pelvis loses 5.8° less forward bend', for a change since P1. What grows downward is lost where it is one amount of
 * something (forward bend), and gained toward the other side where it has sides.
 */
export function changeClause(row: SaidRow): string {
  const quantity = quantityById(row.quantity);
  const phrase = phraseOf(row.quantity);
  const amount = withUnit(Math.abs(row.difference), quantity.decimals, row.unit);
  if (phrase === null) return `the ${quantity.label} changes by ${amount} ${row.difference > 0 ? 'more' : 'less'}`;
  const side = sideOf(row);
  const more = row.difference > 0 === (side === 'plus') ? 'more' : 'less';
  if (side === 'plus') return `${phrase.subject} gains ${amount} ${more} ${phrase.plus}`;
  const oneAmount = /\.(forward_bend|flexion|inclination)$/.test(row.quantity);
  return oneAmount
    ? `${phrase.subject} loses ${amount} ${more} ${phrase.plus}`
    : `${phrase.subject} gains ${amount} ${more} ${phrase.minus}`;
}

/**
 * The 95 % interval of a difference, told the way the sentence tells it: 'less' turns its signs. '5.1° to 8.5°', or '5.1 to 8.5°'
 * where `short`; '' where there is none.
 */
export function intervalText(row: SaidRow, short = false): string {
  if (row.low95 === null || row.high95 === null) return '';
  const { decimals } = quantityById(row.quantity);
  const [low, high] = row.difference < 0 ? [-row.high95, -row.low95] : [row.low95, row.high95];
  return `${short ? plain(low, decimalsIn(decimals, row.unit)) : withUnit(low, decimals, row.unit)} to ${withUnit(high, decimals, row.unit)}`;
}
