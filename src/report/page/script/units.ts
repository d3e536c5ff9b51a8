import type { Unit } from '../../../model/units.ts';
import { milesPerHour } from '../../../model/units.ts';
import { plain, signed, unitText } from '../../sentences/numbers.ts';
import type { PageQuantity } from '../pageData.ts';

/** Units that the reader may choose. */
export interface UnitChoice {
  readonly speed: 'm/s' | 'mph';
  readonly length: 'mm' | 'in';
}

/** Millimetres of an inch, exact (international yard and pound agreement of 1959). */
const INCH_mm = 25.4;
/** An inch is 25.4 mm: a tenth of it is as fine as the whole millimetres of the tables are sure. */
const INCH_DECIMALS = 1;

interface Scale {
  readonly convert: (value: number) => number;
  readonly decimals: number;
  readonly unit: string;
}

function scaleOf({ unit, decimals }: PageQuantity, choice: UnitChoice, inch: string): Scale {
  if (unit === 'm/s' && choice.speed === 'mph') return { convert: milesPerHour, decimals, unit: 'mph' };
  if (unit === 'mm' && choice.length === 'in') {
    return { convert: (value) => value / INCH_mm, decimals: INCH_DECIMALS, unit: inch };
  }
  return { convert: (value) => value, decimals, unit: unitText(unit).trim() };
}

/** True where another choice of units changes what is written. */
export function hasChoice(unit: Unit): boolean {
  return unit === 'm/s' || unit === 'mm';
}

/** Numbers of one quantity as text in the units chosen; '' where missing. */
export interface NumberText {
  readonly plain: (value: number | null) => string;
  readonly signed: (value: number | null) => string;
  /** As it stands after a comma: '°', 'mph'. */
  readonly unit: string;
  /** As it stands straight after a number: '°', ' mph'. */
  readonly suffix: string;
}

export function numberText(quantity: PageQuantity, choice: UnitChoice, inch: string): NumberText {
  const { convert, decimals, unit } = scaleOf(quantity, choice, inch);
  const suffix = unit === '' || unit.startsWith('°') ? unit : ` ${unit}`;
  const by = (write: (value: number, decimals: number) => string) => (value: number | null) =>
    value === null || Number.isNaN(value) ? '' : write(convert(value), decimals);
  return { plain: by(plain), signed: by(signed), unit, suffix };
}
