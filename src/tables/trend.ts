import type { Verdict } from '../model/comparison.ts';
import type { Change, Estimate } from '../model/sessions.ts';
import type { Trend, TrendMean, TrendPoint, TrendSeries } from '../model/trend.ts';
import { TABLE_DECIMALS } from '../model/units.ts';
import { type Column, numberColumn, type Table, textColumn } from './csv.ts';

const MEASURES = ['group', 'reference', 'gap'] as const;
type Measure = (typeof MEASURES)[number];

export interface TrendLine {
  readonly of: Trend;
  readonly series: TrendSeries;
  readonly point: TrendPoint;
  readonly measure: Measure;
}

function inUnit(name: string, meaning: string, read: (line: TrendLine) => number | null): Column<TrendLine> {
  return numberColumn(name, 'by row', meaning, read, ({ series }) => TABLE_DECIMALS[series.unit]);
}

function estimateOf({ point, measure }: TrendLine): Estimate {
  return point[measure];
}

function meanOf({ point, measure }: TrendLine): TrendMean | null {
  return measure === 'gap' ? null : point[measure];
}

function changeOf({ point, measure }: TrendLine): Change | null {
  return point.change?.[measure] ?? null;
}

function probability(name: string, meaning: string, read: (change: Change) => number | null): Column<TrendLine> {
  const shown = (line: TrendLine): number | null => {
    const change = changeOf(line);
    return change === null ? null : read(change);
  };
  return numberColumn(name, '', meaning, shown, 5);
}

function percent(name: string, meaning: string, read: (closed: Estimate) => number | null): Column<TrendLine> {
  const shown = ({ point, measure }: TrendLine): number | null => {
    const share = measure === 'gap' && point.change !== null ? read(point.change.closed) : null;
    return share === null ? null : 100 * share;
  };
  return numberColumn(name, '%', meaning, shown, 1);
}

/** A gap holds the zero of a day twice: nothing is shifted in it. */
function shiftOf({ point, measure }: TrendLine): number | null {
  return measure === 'gap' || point.zero === null ? null : point.zero.before - point.zero.after;
}

const said = (verdict: Verdict | undefined): string => verdict ?? '';

export const TREND: Table<TrendLine> = {
  name: 'trend',
  about:
    'One primary quantity at one position on one day of a player: three rows, the group, the reference, and the gap between them, each against the first day.',
  columns: [
    textColumn('player', 'id of the player', ({ of }) => of.player),
    textColumn('date', 'date of the day', ({ point }) => point.date),
    textColumn('measure', 'group, reference, or gap (group − reference)', ({ measure }) => measure),
    textColumn('group', 'what is compared', ({ of }) => of.labels.group),
    textColumn('reference', 'with what', ({ of }) => of.labels.reference),
    textColumn('quantity', 'name of the quantity (docs/quantities.md)', ({ series }) => series.quantity),
    textColumn('position', 'position of the swing, or swing for one value per swing', ({ series }) => series.position),
    textColumn('unit', 'unit of the values', ({ series }) => series.unit),
    textColumn('order', 'axis order of an angle', ({ series }) => series.order),
    numberColumn('n', 'swings', 'swings with a value', (line) => meanOf(line)?.n ?? null, 0),
    inUnit('value', 'mean, or gap, of the day', (line) => estimateOf(line).value),
    inUnit('low95', 'lower end of its 95 % interval', (line) => estimateOf(line).low95),
    inUnit('high95', 'upper end of its 95 % interval', (line) => estimateOf(line).high95),
    inUnit('sd', 'standard deviation over the swings of the day', (line) => meanOf(line)?.sd ?? null),
    inUnit(
      'shift',
      'what value was shifted by onto the zero of the first day, by the static trials of both days; empty: as measured',
      shiftOf,
    ),
    textColumn('verdict', 'of the gap of the day', ({ point, measure }) => (measure === 'gap' ? point.verdict : '')),
    inUnit('change', 'value − value of the first day', (line) => changeOf(line)?.value ?? null),
    inUnit('change_low95', 'lower end of its 95 % interval', (line) => changeOf(line)?.low95 ?? null),
    inUnit('change_high95', 'upper end of its 95 % interval', (line) => changeOf(line)?.high95 ?? null),
    inUnit(
      'margin',
      'largest change without meaning, re-application included; on the first day the largest gap without meaning',
      (line) =>
        line.point.change === null && line.measure === 'gap' ? line.point.margin : (changeOf(line)?.margin ?? null),
    ),
    inUnit(
      'reapplication',
      'part of the margin that stands for markers put on again',
      (line) => changeOf(line)?.reapplication ?? null,
    ),
    probability('p', 'change other than 0', ({ p }) => p),
    probability('p_adjusted', 'p, adjusted over the primary comparisons of the two days', ({ pAdjusted }) => pAdjusted),
    probability(
      'p_beyond_adjusted',
      'change beyond the margin, adjusted alike',
      ({ pBeyondAdjusted }) => pBeyondAdjusted,
    ),
    textColumn('verdict_change', 'of the change: departs, matches, differs-slightly, undecided, none', (line) =>
      said(changeOf(line)?.verdict),
    ),
    percent('closed', 'share of the first gap that has closed, where that gap departs', ({ value }) => value),
    percent('closed_low95', 'lower end of its 95 % interval (Fieller)', ({ low95 }) => low95),
    percent('closed_high95', 'upper end of its 95 % interval (Fieller)', ({ high95 }) => high95),
    textColumn(
      'program',
      'version of the program that processed the day',
      ({ of, point }) => of.days.find(({ date }) => date === point.date)?.version ?? '',
    ),
    textColumn('reason', 'why there is no verdict, or how many swings lacked the value', ({ point }) => point.reason),
  ],
};

/** By series, then by date. */
export function* trendLines(of: Trend): Generator<TrendLine> {
  for (const series of of.series) {
    for (const point of series.points) for (const measure of MEASURES) yield { of, series, point, measure };
  }
}
