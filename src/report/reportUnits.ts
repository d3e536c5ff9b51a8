import { quantityById } from '../model/catalogue.ts';
import type { CheckpointResult } from '../model/checkpoint.ts';
import type { ComparisonRow, LengthTrend, PlayerComparison, SwingMarks } from '../model/comparison.ts';
import { type ReportSettings, reportUnit } from '../model/reportSettings.ts';
import { fromDisplay, toDisplay, type Unit } from '../model/units.ts';

/** A comparison in the units of the report. Verdicts, p-values, ratios and curves stay as they are. */
export function inReportUnits(comparison: PlayerComparison, settings: ReportSettings): PlayerComparison {
  const change = (unit: Unit): UnitChange => unitChange(unit, settings);
  return {
    ...comparison,
    rows: comparison.rows.map((row) => rowIn(row, change(row.unit))),
    firstDepartures: comparison.firstDepartures.map((first) => differenceIn(first, change(first.unit))),
    chains: comparison.chains.map((chain) => ({
      ...chain,
      links: chain.links.map((link) => ({
        ...link,
        departing: link.departing.map((entry) => differenceIn(entry, change(entry.unit))),
      })),
    })),
    drift: comparison.drift.map((drift) =>
      comparison.rows.some(({ quantity }) => quantity === drift.quantity)
        ? {
            ...drift,
            slope: change(quantityById(drift.quantity).unit).value(drift.slope),
          }
        : drift,
    ),
    marks: comparison.marks.map((marks) => marksIn(marks, change(marks.unit))),
    checkpoints: comparison.checkpoints.map((result) =>
      result.unit === 'position' ? result : checkpointIn(result, change(result.unit)),
    ),
  };
}

/** From one unit to another of the same dimension. */
export interface UnitChange {
  readonly unit: Unit;
  readonly value: (value: number) => number;
  readonly orNull: (value: number | null) => number | null;
}

/** From the unit of the tables to that of the report. */
export function unitChange(from: Unit, settings: ReportSettings): UnitChange {
  const unit = reportUnit(from, settings);
  const value = (own: number): number => (from === unit ? own : toDisplay(fromDisplay(own, from), unit));
  return { unit, value, orNull: (own) => (own === null ? null : value(own)) };
}

function differenceIn<T extends { readonly difference: number; readonly unit: Unit }>(one: T, change: UnitChange): T {
  return { ...one, unit: change.unit, difference: change.value(one.difference) };
}

function rowIn(row: ComparisonRow, { unit, orNull, value }: UnitChange): ComparisonRow {
  if (unit === row.unit) return row;
  return {
    ...row,
    unit,
    meanGroup: orNull(row.meanGroup),
    meanReference: orNull(row.meanReference),
    sdGroup: orNull(row.sdGroup),
    sdReference: orNull(row.sdReference),
    difference: orNull(row.difference),
    low95: orNull(row.low95),
    high95: orNull(row.high95),
    low90: orNull(row.low90),
    high90: orNull(row.high90),
    margin: orNull(row.margin),
    sdWithin: orNull(row.sdWithin),
    mdc: orNull(row.mdc),
    detectable: orNull(row.detectable),
    excludesBeyond: orNull(row.excludesBeyond),
    bcaLow95: orNull(row.bcaLow95),
    bcaHigh95: orNull(row.bcaHigh95),
    trend: row.trend === null ? null : trendIn(row.trend, value),
  };
}

function trendIn(trend: LengthTrend, value: UnitChange['value']): LengthTrend {
  return {
    ...trend,
    slopePer10cm: value(trend.slopePer10cm),
    expected: value(trend.expected),
    low95: value(trend.low95),
    high95: value(trend.high95),
    difference: value(trend.difference),
    differenceLow95: value(trend.differenceLow95),
    differenceHigh95: value(trend.differenceHigh95),
  };
}

function marksIn(marks: SwingMarks, { unit, value, orNull }: UnitChange): SwingMarks {
  const side = (own: SwingMarks['group']): SwingMarks['group'] =>
    own.map((mark) => ({ ...mark, value: value(mark.value), plusMinus: orNull(mark.plusMinus) }));
  return { ...marks, unit, group: side(marks.group), reference: side(marks.reference) };
}

function checkpointIn(result: CheckpointResult, { unit, orNull }: UnitChange): CheckpointResult {
  const { rule } = result.checkpoint;
  const own =
    rule.kind === 'reference'
      ? rule
      : {
          ...rule,
          low: orNull(rule.low),
          high: orNull(rule.high),
          severeLow: orNull(rule.severeLow),
          severeHigh: orNull(rule.severeHigh),
        };
  return {
    ...result,
    checkpoint: { ...result.checkpoint, rule: own },
    unit,
    value: orNull(result.value),
    sd: orNull(result.sd),
    low95: orNull(result.low95),
    high95: orNull(result.high95),
    valueReference: orNull(result.valueReference),
  };
}
