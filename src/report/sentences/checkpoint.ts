import { quantityById } from '../../model/catalogue.ts';
import type { CheckpointBand, CheckpointResult } from '../../model/checkpoint.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { counted, listed, plain, signedWithUnit, withUnit } from './numbers.ts';
import { capital } from './ranking.ts';
import { labelOf, placedLabel } from './words.ts';

/** A checkpoint in words: what was read, by what rule, and what the value must be read with. */

/** 'not met, severe' */
export function stateText(words: Words, { state, severe }: CheckpointResult): string {
  const { states, severe: severely } = words.checkpoints;
  return severe ? fill(severely, { state: states[state] }) : states[state];
}

/** '14 rules: 9 met, 4 not met, 1 not measured' */
export function countText(words: Words, results: readonly CheckpointResult[]): string {
  const parts = (['met', 'not-met', 'not-measured'] as const).flatMap((state) => {
    const count = results.filter((result) => result.state === state).length;
    return count === 0 ? [] : [fill(words.checkpoints.count, { n: count, state: words.checkpoints.states[state] })];
  });
  return fill(words.checkpoints.counts, {
    rules: counted(words, results.length, 'rule'),
    states: listed(words, parts),
  });
}

/** A value, a limit or a mean: '+4.3°', of a beginning 'P6.4'. */
function shown(words: Words, { checkpoint, unit }: CheckpointResult, value: number): string {
  if (unit === 'position') return `P${plain(words, value, 1)}`;
  return signedWithUnit(words, value, quantityById(checkpoint.quantity).decimals, unit);
}

/** What was looked at: 'chest forward bend, P1 to P4'. */
function whatText(words: Words, { checkpoint, from, position }: CheckpointResult): string {
  const { reading } = checkpoint;
  if (reading.kind === 'value') return placedLabel(words, checkpoint.quantity, position);
  const { change, changeWithoutTurn, begins } = words.checkpoints;
  const template = reading.kind === 'begins' ? begins[reading.way] : reading.withoutTurn ? changeWithoutTurn : change;
  return fill(template, { quantity: labelOf(words, checkpoint.quantity), from: from ?? '', position });
}

function bandText(
  words: Words,
  result: CheckpointResult,
  { low, high, severeLow, severeHigh }: CheckpointBand,
): string {
  const { band } = words.checkpoints;
  const limits = [
    ...(severeLow === null ? [] : [fill(band.below, { limit: shown(words, result, severeLow) })]),
    ...(severeHigh === null ? [] : [fill(band.above, { limit: shown(words, result, severeHigh) })]),
  ];
  const severe = limits.length === 0 ? '' : fill(band.severe, { limits: limits.join(band.or) });
  const values = {
    low: low === null ? '' : shown(words, result, low),
    high: shown(words, result, high ?? 0),
    severe,
  };
  return fill(low === null ? band.most : high === null ? band.least : band.between, values);
}

function valueText(words: Words, result: CheckpointResult, labels: Labels): string {
  const { value, sd, n, swingsMet, valueReference, unit } = result;
  if (value === null) {
    return fill(words.checkpoints.noValue, { what: capital(whatText(words, result)), reason: result.reason });
  }
  const decimals = quantityById(result.checkpoint.quantity).decimals;
  const { eachMeets, noneMeets, someMeet, notMeasured, scatterOfSwings, value: template } = words.checkpoints;
  const inside = [
    counted(words, n, 'swing'),
    ...(sd === null
      ? []
      : [
          fill(scatterOfSwings, {
            sd: unit === 'position' ? plain(words, sd, 2) : withUnit(words, sd, decimals, unit),
          }),
        ]),
    ...(swingsMet === null
      ? []
      : [swingsMet === n ? eachMeets : swingsMet === 0 ? noneMeets : fill(someMeet, { n: swingsMet })]),
    ...(valueReference === null ? [] : [`${labels.reference} ${shown(words, result, valueReference)}`]),
  ];
  const reason = result.reason === '' ? '' : ` ${fill(notMeasured, { reason: result.reason })}`;
  const about = inside.join(', ');
  const what = capital(whatText(words, result));
  return `${fill(template, { what, value: shown(words, result, value), about })}${reason}`;
}

function turnText(words: Words, { checkpoint, turn, from, position }: CheckpointResult): string {
  if (turn === null || turn.at === null) return '';
  const degrees = (value: number): string => signedWithUnit(words, value, 0, 'deg');
  const { said, start, takenOff, wouldChange } = words.checkpoints.turn;
  const { reading } = checkpoint;
  const isOff = reading.kind === 'change' && reading.withoutTurn;
  const atStart = turn.from === null || from === null ? '' : fill(start, { turn: degrees(turn.from), position: from });
  const alone = turn.alone === null ? '' : fill(isOff ? takenOff : wouldChange, { change: degrees(turn.alone) });
  return fill(said, { start: atStart, turn: degrees(turn.at), position, alone });
}

type Labels = Readonly<Record<'reference', string>>;

/** All of one result as sentences. */
export function checkpointText(words: Words, result: CheckpointResult, labels: Labels): string {
  const { checkpoint, low95, high95, withinScatter } = result;
  const { rule } = checkpoint;
  const scatter =
    withinScatter && low95 !== null && high95 !== null
      ? fill(words.checkpoints.scatter, { low: shown(words, result, low95), high: shown(words, result, high95) })
      : '';
  return [
    valueText(words, result, labels),
    rule.kind === 'band' ? bandText(words, result, rule) : fill(words.checkpoints.referenceRule, labels),
    scatter,
    turnText(words, result),
    ...result.remarks.map((remark) => `${capital(remark)}.`),
    checkpoint.note === '' || /[.!?]$/.test(checkpoint.note) ? checkpoint.note : `${checkpoint.note}.`,
  ]
    .filter((text) => text !== '')
    .join(' ');
}
