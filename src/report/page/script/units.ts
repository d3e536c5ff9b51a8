import { type ReportSettings, reportUnit } from '../../../model/reportSettings.ts';
import { fromDisplay, toDisplay, type Unit } from '../../../model/units.ts';
import { decimalsIn, plain, signed, unitText } from '../../sentences/numbers.ts';
import type { PageData, PageQuantity } from '../pageData.ts';

/** Units that the reader may choose. */
export type UnitChoice = Pick<ReportSettings, 'speed' | 'length'>;

interface Scale {
  readonly convert: (value: number) => number;
  readonly decimals: number;
  readonly unit: string;
}

function scaleOf({ unit, decimals }: PageQuantity, choice: UnitChoice, inch: string): Scale {
  const own = reportUnit(unit, choice);
  const convert = own === unit ? (value: number) => value : (value: number) => toDisplay(fromDisplay(value, unit), own);
  return { convert, decimals: decimalsIn(decimals, own), unit: own === 'in' ? inch : unitText(own).trim() };
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

/** What a number needs of the language. */
type NumberWords = Pick<PageData, 'inch' | 'decimal'>;

export function numberText(quantity: PageQuantity, choice: UnitChoice, said: NumberWords): NumberText {
  const { convert, decimals, unit } = scaleOf(quantity, choice, said.inch);
  const suffix = unit === '' || unit.startsWith('°') ? unit : `\u00a0${unit}`;
  const by = (write: typeof plain) => (value: number | null) =>
    value === null || Number.isNaN(value) ? '' : write(said, convert(value), decimals);
  return { plain: by(plain), signed: by(signed), unit, suffix };
}
