import type { ReportSettings } from '../model/reportSettings.ts';
import type { Change, DayMean, Estimate, SessionComparison, SessionRow } from '../model/sessions.ts';
import type { Trend, TrendMean, TrendSeries } from '../model/trend.ts';
import { type UnitChange, unitChange } from './reportUnits.ts';

/** Two days of a player in the units of the report. Verdicts, p-values and shares stay as they are. */
export function sessionInReportUnits(comparison: SessionComparison, settings: ReportSettings): SessionComparison {
  return { ...comparison, rows: comparison.rows.map((row) => rowIn(row, unitChange(row.unit, settings))) };
}

/** A season in the units of the report, its last day against the first with it. */
export function trendInReportUnits(trend: Trend, settings: ReportSettings): Trend {
  return {
    ...trend,
    series: trend.series.map((series) => seriesIn(series, unitChange(series.unit, settings))),
    last: trend.last === null ? null : sessionInReportUnits(trend.last, settings),
  };
}

function estimateIn<T extends Estimate>(estimate: T, { orNull }: UnitChange): T {
  const { value, low95, high95 } = estimate;
  return { ...estimate, value: orNull(value), low95: orNull(low95), high95: orNull(high95) };
}

function changeIn(own: Change, change: UnitChange): Change {
  const { orNull, value } = change;
  return { ...estimateIn(own, change), margin: orNull(own.margin), reapplication: value(own.reapplication) };
}

function meanIn(own: DayMean, { orNull }: UnitChange): DayMean {
  return { ...own, mean: orNull(own.mean), sd: orNull(own.sd) };
}

/** What a static trial takes off is an angle: it has no other unit. */
function rowIn(row: SessionRow, change: UnitChange): SessionRow {
  if (change.unit === row.unit) return row;
  const day = (own: SessionRow['before']): SessionRow['before'] => ({
    ...own,
    group: meanIn(own.group, change),
    reference: meanIn(own.reference, change),
    gap: estimateIn(own.gap, change),
  });
  return {
    ...row,
    unit: change.unit,
    before: day(row.before),
    after: day(row.after),
    group: changeIn(row.group, change),
    reference: changeIn(row.reference, change),
    gap: changeIn(row.gap, change),
  };
}

function seriesIn(series: TrendSeries, change: UnitChange): TrendSeries {
  if (change.unit === series.unit) return series;
  const mean = (own: TrendMean): TrendMean => ({ ...estimateIn(own, change), sd: change.orNull(own.sd) });
  return {
    ...series,
    unit: change.unit,
    points: series.points.map((point) => ({
      ...point,
      group: mean(point.group),
      reference: mean(point.reference),
      gap: estimateIn(point.gap, change),
      margin: change.orNull(point.margin),
      change:
        point.change === null
          ? null
          : {
              ...point.change,
              group: changeIn(point.change.group, change),
              reference: changeIn(point.change.reference, change),
              gap: changeIn(point.change.gap, change),
            },
    })),
  };
}
