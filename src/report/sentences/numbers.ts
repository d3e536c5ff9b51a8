import { formatFixed } from '../../base/format.ts';
import { milesPerHour, type Unit } from '../../model/units.ts';

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
export function plain(value: number, decimals: number): string {
  return formatFixed(value, decimals).replace('-', '−');
}

/** '+4.3', '−4.3', '0.0' */
export function signed(value: number, decimals: number): string {
  const text = plain(value, decimals);
  return text.startsWith('−') || /^0[.0]*$/.test(text) ? text : `+${text}`;
}

/** '4.3°' */
export function withUnit(value: number, decimals: number, unit: Unit): string {
  return `${plain(value, decimalsIn(decimals, unit))}${UNIT_TEXT[unit]}`;
}

/** '41.2 m/s (92 mph)': a speed of the club as most players know it. */
export function speedWords(speed_mPerS: number, decimals: number): string {
  return `${withUnit(speed_mPerS, decimals, 'm/s')} (${plain(milesPerHour(speed_mPerS), 0)} mph)`;
}

/** '+4.3°' */
export function signedWithUnit(value: number, decimals: number, unit: Unit): string {
  return `${signed(value, decimalsIn(decimals, unit))}${UNIT_TEXT[unit]}`;
}

/** A share as whole percent: '82 %'. */
export function percent(share: number): string {
  return `${plain(share * 100, 0)} %`;
}

/** 'a', 'a and b', 'a, b and c' */
export function listed(items: readonly string[]): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`;
}

/** '1 swing', '8 swings' */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
