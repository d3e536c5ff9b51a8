import type { Film } from '../../model/film.ts';
import type { ReportSettings } from '../../model/reportSettings.ts';
import type { Unit } from '../../model/units.ts';
import type { ScriptWords, TopicWord } from '../words/pageWords.ts';

/** What the script of a player's page is given, as JSON in the page. All numbers in display units; null where not available. */
export interface PageData {
  readonly hand: 'left' | 'right';
  /** Of the group and of its reference. */
  readonly labels: readonly [string, string];
  /** In the order of the swing. */
  readonly positions: readonly PagePosition[];
  readonly quantities: readonly PageQuantity[];
  readonly rows: readonly PageRow[];
  readonly curves: readonly PageCurve[];
  readonly swings: readonly PageSwing[];
  /** Step where the slider stands at first, and place of the quantity of the first finding, −1 without one. */
  readonly start: number;
  readonly lead: number;
  readonly words: ScriptWords;
  readonly verdicts: readonly string[];
  readonly inch: string;
  /** Between whole and fraction. */
  readonly decimal: string;
  /** Units at first. */
  readonly units: Pick<ReportSettings, 'speed' | 'length'>;
}

export interface PagePosition {
  readonly id: string;
  readonly name: string;
  /** Step of the curves, 0–80; null for what lies beyond their end. */
  readonly step: number | null;
  /** What the coach says of it, in quotes with its source; '' where nothing. */
  readonly note: string;
}

export interface PageQuantity {
  readonly label: string;
  readonly unit: Unit;
  readonly decimals: number;
  readonly topic: TopicWord;
}

/** Quantity and position by their places in the lists, position −1 for the whole swing; means, difference, its 95 % interval, place in VERDICTS, margin. */
export type PageRow = readonly [
  quantity: number,
  position: number,
  meanGroup: number | null,
  meanReference: number | null,
  difference: number | null,
  low95: number | null,
  high95: number | null,
  verdict: number,
  margin: number | null,
];

/** A curve that is drawn: step s lies at x = left + (right − left) · s / 80; `low` at the bottom, `high` at the top. */
export interface PageCurve {
  /** Place in the list of quantities. */
  readonly quantity: number;
  readonly means: readonly [readonly (number | null)[], readonly (number | null)[]];
  readonly plot: {
    readonly left: number;
    readonly right: number;
    readonly top: number;
    readonly bottom: number;
    readonly low: number;
    readonly high: number;
  };
}

/** 0: of the group, 1: of its reference, 2: of neither. */
export type Side = 0 | 1 | 2;

export interface PageSwing {
  readonly label: string;
  readonly side: Side;
  readonly set: string;
  readonly film: Film | null;
  /** The curves of the list, one after the other, packed at CURVE_STEPS_PER_UNIT. */
  readonly curves: string;
  /** By quantity, in it by position and then the value of the whole swing; packed with the decimals that are shown. */
  readonly values: string;
}

/** A hundredth of a degree or of a millimetre. */
export const CURVE_STEPS_PER_UNIT = 100;
