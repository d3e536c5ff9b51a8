/** The numbers of the panels that are drawn one by one: one table beside each drawing, its unit in the names of the columns. */
import type { ComparisonRow, CurveSummary, MeanFigures, PlayerComparison, SwingMarks } from '../model/comparison.ts';
import { LINK_NAMES, type OrderMethod } from '../model/orderOfMotion.ts';
import type { OrderLink } from '../model/orderSummary.ts';
import { CURVE_POSITIONS, CURVE_STEPS } from '../model/swingRecord.ts';
import { TABLE_DECIMALS, type Unit } from '../model/units.ts';
import { COMPARISON, type ComparedRow } from './comparison.ts';
import { numberColumn, type Table, textColumn } from './csv.ts';

type Side = 'group' | 'reference';
const SIDES: readonly Side[] = ['group', 'reference'];

/** Ends of the names of columns. */
const UNIT_ENDS: Readonly<Record<Unit, string>> = {
  deg: 'deg',
  mm: 'mm',
  s: 's',
  'm/s': 'mPerS',
  'deg/s': 'degPerS',
  '%': 'percent',
  ratio: 'ratio',
  N: 'N',
  none: 'none',
  mph: 'mph',
  in: 'in',
};

/** Decimals of coordinates in metres: a hundredth of a millimetre. */
const METRE_DECIMALS = 5;

function sideColumn<R extends { readonly side: string }>(more = '') {
  return textColumn<R>('side', `group: what is compared; reference: with what${more}`, ({ side }) => side);
}

function swingsColumn<R extends { readonly swings: string }>() {
  return textColumn<R>('swings', 'name of the side, such as driver or irons', ({ swings }) => swings);
}

/** Interval of a row's difference as drawn: half its width, on both sides of the mean. */
function plusMinusOf(row: ComparisonRow | undefined): number | null {
  return row === undefined || row.low95 === null || row.high95 === null ? null : (row.high95 - row.low95) / 2;
}

export interface FigureCurveRow {
  readonly side: Side;
  readonly swings: string;
  readonly trial: string;
  readonly step: number;
  readonly time_s: number | null;
  readonly value: number;
  readonly sd: number | null;
  readonly plusMinus: number | null;
  readonly verdict: string;
  readonly differs: boolean;
}

export function figureCurveTable(unit: Unit): Table<FigureCurveRow> {
  const inUnit = (name: string, meaning: string, read: (row: FigureCurveRow) => number | null) =>
    numberColumn<FigureCurveRow>(`${name}_${UNIT_ENDS[unit]}`, unit, meaning, read, TABLE_DECIMALS[unit]);
  return {
    name: 'curve-<quantity>',
    about: 'One step of one line of the panel of a curve: the mean of a side, or one swing of the group.',
    columns: [
      sideColumn(),
      swingsColumn(),
      textColumn('trial', 'the swing; empty for the mean of the side', ({ trial }) => trial),
      numberColumn('step', '', '0 to 80 from P1 to P9, ten from one position to the next', ({ step }) => step, 0),
      textColumn('position', 'position at steps 0, 10 … 80', ({ step }) =>
        step % 10 === 0 ? (CURVE_POSITIONS[step / 10] ?? '') : '',
      ),
      numberColumn(
        'time_s',
        's',
        'place along the axis: mean time of the reference from impact, before it below 0; empty where no times are known and the steps are drawn evenly',
        ({ time_s }) => time_s,
        TABLE_DECIMALS.s,
      ),
      inUnit('value', 'the line', ({ value }) => value),
      inUnit(
        'sd',
        'standard deviation of the reference; the bands are 1 and 2 of it wide on either side',
        ({ sd }) => sd,
      ),
      inUnit(
        'plus_minus',
        'whisker on the mean of the group: half the 95 % interval of the difference at the position',
        ({ plusMinus }) => plusMinus,
      ),
      textColumn('verdict', 'verdict at the position, as in comparison.csv', ({ verdict }) => verdict),
      textColumn('differs', 'yes under the bar where the curves differ', ({ differs }) => (differs ? 'yes' : '')),
    ],
  };
}

/** Lines of the panel: the mean of the reference, that of the group, the swings of the group. `times`: as drawn, null where not known. */
export function* figureCurveRows(
  comparison: PlayerComparison,
  curve: CurveSummary,
  times: Float64Array | null,
): Generator<FigureCurveRow> {
  const { group, reference } = comparison;
  const at = new Map(
    comparison.rows
      .filter(({ quantity, basis }) => quantity === curve.quantity && basis === 'value')
      .map((row) => [row.position as string, row]),
  );
  for (let step = 0; step < CURVE_STEPS; step++) {
    const [time_s, value] = [times?.[step] ?? null, curve.referenceMean[step]!];
    const differs = curve.stretches.some(({ from, to }) => from <= step && step <= to);
    yield {
      side: 'reference',
      swings: reference.label,
      trial: '',
      step,
      time_s,
      value,
      sd: curve.referenceSd[step]!,
      plusMinus: null,
      verdict: '',
      differs,
    };
  }
  for (const { trial, values } of [{ trial: '', values: curve.groupMean }, ...curve.groupCurves]) {
    for (let step = 0; step < CURVE_STEPS; step++) {
      const row = trial === '' && step % 10 === 0 ? at.get(CURVE_POSITIONS[step / 10] ?? '') : undefined;
      const plusMinus = plusMinusOf(row);
      yield {
        side: 'group',
        swings: group.label,
        trial,
        step,
        time_s: times?.[step] ?? null,
        value: values[step]!,
        sd: null,
        plusMinus,
        verdict: plusMinus === null ? '' : (row?.verdict ?? ''),
        differs: trial === '' && curve.stretches.some(({ from, to }) => from <= step && step <= to),
      };
    }
  }
}

export interface FigureSwingRow {
  readonly side: Side | 'difference';
  readonly swings: string;
  readonly trial: string;
  readonly value: number | null;
  readonly plusMinus: number | null;
  readonly sd: number | null;
  readonly verdict: string;
}

export function figureSwingTable(unit: Unit): Table<FigureSwingRow> {
  const inUnit = (name: string, meaning: string, read: (row: FigureSwingRow) => number | null) =>
    numberColumn<FigureSwingRow>(`${name}_${UNIT_ENDS[unit]}`, unit, meaning, read, TABLE_DECIMALS[unit]);
  return {
    name: 'swings-<quantity>',
    about: 'One mark of the panel of a figure at impact: a swing, the mean of a side, or the difference of the means.',
    columns: [
      sideColumn('; difference: mean of the group − mean of the reference'),
      swingsColumn(),
      textColumn('trial', 'the swing; empty for a mean or the difference', ({ trial }) => trial),
      inUnit('value', 'the value', ({ value }) => value),
      inUnit(
        'plus_minus',
        'whisker of a swing: its own uncertainty; of the difference: half its 95 % interval',
        ({ plusMinus }) => plusMinus,
      ),
      inUnit('sd', 'standard deviation over the swings of the side; the band is that of the reference', ({ sd }) => sd),
      textColumn('verdict', 'verdict of the difference, as in comparison.csv', ({ verdict }) => verdict),
    ],
  };
}

export function* figureSwingRows(comparison: PlayerComparison, marks: SwingMarks): Generator<FigureSwingRow> {
  for (const side of SIDES) {
    const swings = comparison[side].label;
    for (const mark of marks[side]) yield { side, swings, ...mark, sd: null, verdict: '' };
  }
  const row = comparison.rows.find(({ quantity, basis }) => quantity === marks.quantity && basis === 'value');
  if (row === undefined) return;
  const mean = { trial: '', plusMinus: null, verdict: '' };
  yield { ...mean, side: 'group', swings: comparison.group.label, value: row.meanGroup, sd: row.sdGroup };
  yield {
    ...mean,
    side: 'reference',
    swings: comparison.reference.label,
    value: row.meanReference,
    sd: row.sdReference,
  };
  const { difference: value, verdict } = row;
  yield { side: 'difference', swings: '', trial: '', value, plusMinus: plusMinusOf(row), sd: null, verdict };
}

export interface FigurePointRow {
  readonly position: string;
  readonly side: Side;
  readonly swings: string;
  readonly point: string;
  readonly at: readonly [number, number, number];
}

export const FIGURE_POINTS: Table<FigurePointRow> = {
  name: 'positions',
  about:
    'One point of one figure: mean over the swings of a side in the player frame G (docs/definitions.md), moved so that the pelvis centre at P1 is over the origin.',
  columns: [
    textColumn('position', 'position of the swing', ({ position }) => position),
    sideColumn(),
    swingsColumn(),
    textColumn('point', 'joint centre, segment centre or point of the club', ({ point }) => point),
    numberColumn('x_m', 'm', 'toward the ball', ({ at }) => at[0], METRE_DECIMALS),
    numberColumn('y_m', 'm', 'up from the ground', ({ at }) => at[1], METRE_DECIMALS),
    numberColumn(
      'z_m',
      'm',
      'to the right of a right-handed player, away from the target; a left-handed player is reflected',
      ({ at }) => at[2],
      METRE_DECIMALS,
    ),
  ],
};

export function* figurePointRows(
  comparison: PlayerComparison,
  figures: readonly MeanFigures[],
): Generator<FigurePointRow> {
  for (const figure of figures) {
    for (const side of SIDES) {
      for (const [point, at] of Object.entries(figure[side])) {
        yield { position: figure.position, side, swings: comparison[side].label, point, at };
      }
    }
  }
}

export interface FigureOrderRow {
  readonly link: OrderLink;
  readonly method: OrderMethod;
  readonly side: Side;
  readonly swings: string;
}

export const FIGURE_ORDER: Table<FigureOrderRow> = {
  name: 'order-<method>',
  about: 'One link of one side in the panel of the order of motion: when it turns fastest before impact, and how fast.',
  columns: [
    textColumn('link', 'link of the body, or the club, from the ground up', ({ link }) => LINK_NAMES[link.link]),
    sideColumn(),
    swingsColumn(),
    numberColumn('n', 'swings', 'swings with a fastest moment', (row) => timingOf(row)?.n ?? null, 0),
    numberColumn(
      'before_impact_s',
      's',
      'mean time of the fastest turning before impact',
      (row) => timingOf(row)?.mean_s ?? null,
      TABLE_DECIMALS.s,
    ),
    numberColumn(
      'low95_s',
      's',
      'lower end of the 95 % interval of the mean',
      (row) => timingOf(row)?.low95_s ?? null,
      TABLE_DECIMALS.s,
    ),
    numberColumn('high95_s', 's', 'its upper end', (row) => timingOf(row)?.high95_s ?? null, TABLE_DECIMALS.s),
    numberColumn(
      'at_impact',
      'swings',
      'of these, swings in which the link still gains speed at impact: they count as 0 s',
      (row) => timingOf(row)?.atImpact ?? null,
      0,
    ),
    numberColumn(
      'peak_degPerS',
      'deg/s',
      'mean peak speed of turning',
      (row) => speedOf(row)?.mean_degPerS ?? null,
      TABLE_DECIMALS['deg/s'],
    ),
    numberColumn(
      'peak_sd_degPerS',
      'deg/s',
      'its standard deviation over the swings',
      (row) => speedOf(row)?.sd_degPerS ?? null,
      TABLE_DECIMALS['deg/s'],
    ),
  ],
};

const timingOf = ({ link, method, side }: FigureOrderRow) => link.timing[method][side];
const speedOf = ({ link, method, side }: FigureOrderRow) => link.speed[method][side];

export function* figureOrderRows(
  comparison: PlayerComparison,
  method: OrderMethod,
  links: readonly OrderLink[],
): Generator<FigureOrderRow> {
  for (const link of links) {
    for (const side of SIDES) {
      if (link.timing[method][side] !== null) yield { link, method, side, swings: comparison[side].label };
    }
  }
}

/** Rows of comparison.csv that the table shows, with the columns that it shows. */
export const FIGURE_TABLE: Table<ComparedRow> = {
  name: 'table',
  about: 'One cell of the table of primary quantities: the columns of comparison.csv that are drawn.',
  columns: COMPARISON.columns.filter(({ name }) =>
    [
      'group',
      'reference',
      'quantity',
      'position',
      'unit',
      'n_group',
      'n_reference',
      'mean_group',
      'mean_reference',
      'difference',
      'low95',
      'high95',
      'margin',
      'verdict',
    ].includes(name),
  ),
};

/** For the page of the columns; `deg` stands for the unit of the quantity. */
export const FIGURE_TABLES: readonly Pick<Table<never>, 'name' | 'about' | 'columns'>[] = [
  FIGURE_POINTS,
  figureCurveTable('deg'),
  figureSwingTable('deg'),
  FIGURE_ORDER,
  FIGURE_TABLE,
];
