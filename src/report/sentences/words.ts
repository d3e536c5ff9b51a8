import { quantityById } from '../../model/catalogue.ts';
import type { ComparisonRow } from '../../model/comparison.ts';
import type { PositionId } from '../../model/positions.ts';
import { POSITIONS } from '../../model/positions.ts';
import type { Phrase, SaidDifference } from '../words/en/differences.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { decimalsIn, plain, withUnit } from './numbers.ts';

/** A coach's words for positions, quantities and differences: templates filled with numbers, no free prose. */

/** 'top', 'impact' */
export function positionName(words: Words, position: PositionId): string {
  return words.positions[position].name;
}

/** 'At the top (P4)' */
export function positionPhrase(words: Words, position: PositionId): string {
  return words.positions[position].phrase;
}

/** 'pelvis forward bend' */
export function labelOf(words: Words, quantity: string): string {
  return words.quantities.of(quantity).label;
}

/** 'pelvis forward bend at P4'; of the whole swing the label alone. */
export function placedLabel(words: Words, quantity: string, position: PositionId | 'swing'): string {
  const what = labelOf(words, quantity);
  return position === 'swing' ? what : fill(words.at, { what, position });
}

/** Place of a position in the order of time; values of the whole swing come last. */
export function positionOrder(position: PositionId | 'swing'): number {
  return position === 'swing' ? POSITIONS.length : POSITIONS.indexOf(position);
}

function phraseOf({ differences }: Words, quantity: string): Phrase | null {
  const own = differences.byId[quantity];
  if (own !== undefined) return own;
  const dot = quantity.indexOf('.');
  const subject = differences.subjects[quantity.slice(0, dot)];
  const nouns = differences.byComponent[quantity.slice(dot + 1)];
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

/** The parts of a difference in words; null where the quantity has no phrase of its own. */
export function saidDifference(words: Words, row: SaidRow): SaidDifference | null {
  const phrase = phraseOf(words, row.quantity);
  if (phrase === null) return null;
  const side = sideOf(row);
  const more = row.difference > 0 === (side === 'plus');
  const keeps = more && side === 'plus' && row.position !== 'P1' && row.quantity.endsWith('.forward_bend');
  return { subject: phrase.subject, noun: phrase[side], amount: amountOf(words, row), more, keeps };
}

function amountOf(words: Words, row: SaidRow): string {
  return withUnit(words, Math.abs(row.difference), quantityById(row.quantity).decimals, row.unit);
}

/**
 * 'the pelvis keeps 6.8° more forward bend'. Which noun: by the side of zero both means lie on; where they lie on both sides
 * there is always *more* of what the group has. `after`: what the sentence begins with.
 */
export function differenceClause(words: Words, row: SaidRow, after: 'alone' | 'position' = 'alone'): string {
  const said = saidDifference(words, row);
  const { differences } = words;
  return said === null
    ? differences.plain(labelOf(words, row.quantity), amountOf(words, row), row.difference > 0, after)
    : differences.clause(said, after);
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
export function changeClause(words: Words, row: SaidRow): string {
  const { differences } = words;
  const phrase = phraseOf(words, row.quantity);
  const amount = amountOf(words, row);
  if (phrase === null) return differences.plainChange(labelOf(words, row.quantity), amount, row.difference > 0);
  const { subject } = phrase;
  const side = sideOf(row);
  const more = row.difference > 0 === (side === 'plus');
  const isOneAmount = /\.(forward_bend|flexion|inclination)$/.test(row.quantity);
  if (side === 'minus' && isOneAmount)
    return differences.change({ subject, noun: phrase.plus, amount, more, gains: false });
  return differences.change({ subject, noun: phrase[side], amount, more, gains: true });
}

/**
 * The 95 % interval of a difference, told the way the sentence tells it: 'less' turns its signs. '5.1° to 8.5°', or '5.1 to 8.5°'
 * where `short`; '' where there is none.
 */
export function intervalText(words: Words, row: SaidRow, short = false): string {
  if (row.low95 === null || row.high95 === null) return '';
  const { decimals } = quantityById(row.quantity);
  const [low, high] = row.difference < 0 ? [-row.high95, -row.low95] : [row.low95, row.high95];
  return fill(words.range, {
    low: short ? plain(words, low, decimalsIn(decimals, row.unit)) : withUnit(words, low, decimals, row.unit),
    high: withUnit(words, high, decimals, row.unit),
  });
}
