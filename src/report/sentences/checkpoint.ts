import { quantityById } from '../../model/catalogue.ts';
import type { CheckpointBand, CheckpointResult, CheckpointState } from '../../model/checkpoint.ts';
import { counted, listed, plain, signedWithUnit, withUnit } from './numbers.ts';

/** A checkpoint in words: what was read, by what rule, and what the value must be read with. */

export const STATE_WORDS: Readonly<Record<CheckpointState, string>> = {
  met: 'met',
  'not-met': 'not met',
  'not-measured': 'not measured',
};

/** 'not met, severe' */
export function stateText({ state, severe }: CheckpointResult): string {
  return `${STATE_WORDS[state]}${severe ? ', severe' : ''}`;
}

/** '14 rules: 9 met, 4 not met, 1 not measured' */
export function countText(results: readonly CheckpointResult[]): string {
  const parts = (['met', 'not-met', 'not-measured'] as const).flatMap((state) => {
    const count = results.filter((result) => result.state === state).length;
    return count === 0 ? [] : [`${count} ${STATE_WORDS[state]}`];
  });
  return `${counted(results.length, 'rule')}: ${listed(parts)}`;
}

function capital(text: string): string {
  return `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;
}

/** A value, a limit or a mean: '+4.3°', of a beginning 'P6.4'. */
function shown({ checkpoint, unit }: CheckpointResult, value: number): string {
  if (unit === 'position') return `P${plain(value, 1)}`;
  return signedWithUnit(value, quantityById(checkpoint.quantity).decimals, unit);
}

/** What was looked at: 'chest forward bend, P1 to P4'. */
function whatText({ checkpoint, from, position }: CheckpointResult): string {
  const { label } = quantityById(checkpoint.quantity);
  const { reading } = checkpoint;
  if (reading.kind === 'value') return position === 'swing' ? label : `${label} at ${position}`;
  if (reading.kind === 'change')
    return `${label}, change from ${from} to ${position}${reading.withoutTurn ? ' without that of its turn' : ''}`;
  return `${label} begins to ${reading.way === 'falls' ? 'fall' : 'rise'} (${from} to ${position}) at`;
}

function bandText(result: CheckpointResult, { low, high, severeLow, severeHigh }: CheckpointBand): string {
  const limits =
    low !== null && high !== null
      ? `${shown(result, low)} to ${shown(result, high)}`
      : low !== null
        ? `${shown(result, low)} or more`
        : `${shown(result, high ?? 0)} or less`;
  const severe = [
    ...(severeLow === null ? [] : [`below ${shown(result, severeLow)}`]),
    ...(severeHigh === null ? [] : [`above ${shown(result, severeHigh)}`]),
  ];
  return `Band ${limits}${severe.length === 0 ? '' : `, severe ${severe.join(' or ')}`}.`;
}

function valueText(result: CheckpointResult, labels: Labels): string {
  const { value, sd, n, swingsMet, valueReference, unit } = result;
  if (value === null) return `${capital(whatText(result))}: ${result.reason}.`;
  const decimals = quantityById(result.checkpoint.quantity).decimals;
  const inside = [
    counted(n, 'swing'),
    ...(sd === null ? [] : [`SD ${unit === 'position' ? plain(sd, 2) : withUnit(sd, decimals, unit)}`]),
    ...(swingsMet === null
      ? []
      : [swingsMet === n ? 'each meets it' : swingsMet === 0 ? 'none meets it' : `${swingsMet} of them meet it`]),
    ...(valueReference === null ? [] : [`${labels.reference} ${shown(result, valueReference)}`]),
  ];
  const reason = result.reason === '' ? '' : ` Not measured: ${result.reason}.`;
  return `${capital(whatText(result))} ${shown(result, value)} (${inside.join(', ')}).${reason}`;
}

function turnText({ checkpoint, turn, from, position }: CheckpointResult): string {
  if (turn === null || turn.at === null) return '';
  const degrees = (value: number): string => signedWithUnit(value, 0, 'deg');
  const start = turn.from === null || from === null ? '' : `${degrees(turn.from)} at ${from}, `;
  const { reading } = checkpoint;
  const isOff = reading.kind === 'change' && reading.withoutTurn;
  const alone =
    turn.alone === null
      ? ''
      : isOff
        ? `; ${degrees(turn.alone)} taken off for it`
        : `; that alone would change it by ${degrees(turn.alone)}`;
  return `Read with the turn: ${start}${degrees(turn.at)} at ${position}${alone}.`;
}

interface Labels {
  readonly reference: string;
}

/** All of one result as sentences. */
export function checkpointText(result: CheckpointResult, labels: Labels): string {
  const { checkpoint, low95, high95, withinScatter } = result;
  const { rule } = checkpoint;
  const scatter =
    withinScatter && low95 !== null && high95 !== null
      ? `Within the scatter: the mean lies between ${shown(result, low95)} and ${shown(result, high95)} (95 %).`
      : '';
  return [
    valueText(result, labels),
    rule.kind === 'band' ? bandText(result, rule) : `Rule: no departure from the ${labels.reference}.`,
    scatter,
    turnText(result),
    ...result.remarks.map((remark) => `${capital(remark)}.`),
    checkpoint.note === '' || /[.!?]$/.test(checkpoint.note) ? checkpoint.note : `${checkpoint.note}.`,
  ]
    .filter((text) => text !== '')
    .join(' ');
}
