import { formatFixed } from '../../base/format.ts';
import { milesPerHour, type Unit } from '../../model/units.ts';
import type { Noun } from '../words/en/common.ts';
import type { Words } from '../words/words.ts';

/** Numbers as a reader sees them: fixed decimals, minus sign U+2212, the unit beside them. */

const UNIT_TEXT: Readonly<Record<Unit, string>> = {
  deg: '°',
  mm: ' mm',
  s: ' s',
  'm/s': ' m/s',
  'deg/s': '°/s',
  '%': ' %',
  ratio: '',
  N: ' N',
  none: '',
  mph: ' mph',
  in: ' in',
};

/** An inch is 25.4 mm: a tenth of it is as fine as the whole millimetres of the tables are sure. */
const INCH_DECIMALS = 1;

/** Decimals of a quantity where it is written in `unit`. */
export function decimalsIn(decimals: number, unit: Unit): number {
  return unit === 'in' ? INCH_DECIMALS : decimals;
}

/** The unit as written straight after a number. */
export function unitText(unit: Unit): string {
  return UNIT_TEXT[unit];
}

/** '−4.3' */
export function plain(words: Pick<Words, 'decimal'>, value: number, decimals: number): string {
  return formatFixed(value, decimals).replace('-', '−').replace('.', words.decimal);
}

/** '+4.3', '−4.3', '0.0' */
export function signed(words: Pick<Words, 'decimal'>, value: number, decimals: number): string {
  const text = plain(words, value, decimals);
  return text.startsWith('−') || /^0[.,0]*$/.test(text) ? text : `+${text}`;
}

/** '4.3°' */
export function withUnit(words: Words, value: number, decimals: number, unit: Unit): string {
  return `${plain(words, value, decimalsIn(decimals, unit))}${UNIT_TEXT[unit]}`;
}

/** '41.2 m/s (92 mph)': a speed of the club as most players know it. */
export function speedWords(words: Words, speed_mPerS: number, decimals: number): string {
  return `${withUnit(words, speed_mPerS, decimals, 'm/s')} (${plain(words, milesPerHour(speed_mPerS), 0)} mph)`;
}

/** '+4.3°' */
export function signedWithUnit(words: Words, value: number, decimals: number, unit: Unit): string {
  return `${signed(words, value, decimalsIn(decimals, unit))}${UNIT_TEXT[unit]}`;
}

/** A share as whole percent: '82 %'. */
export function percent(words: Words, share: number): string {
  return `${plain(words, share * 100, 0)} %`;
}

/** 'a', 'a and b', 'a, b and c' */
export function listed(words: Words, items: readonly string[]): string {
  return words.list(items);
}

/** '1 swing', '8 swings' */
export function counted(words: Words, count: number, noun: Noun): string {
  return words.counted[noun](count);
}
