import type { Drift } from '../model/comparison.ts';
import { normalSurvival, tSurvival } from '../numeric/distributions.ts';
import { fitLine } from '../numeric/statistics.ts';
import { holm, LEVEL } from './adjust.ts';
import type { Sample } from './samples.ts';
import { compareText, partsBy, type SwingGroup } from './swings.ts';

/** Drift within a club: do its swings change in the order in which they were made? */

/** Two degrees of freedom about the line; many days hold four swings of each iron. */
const FEWEST_FOR_TREND = 4;

export interface Trend {
  /** Per swing of the club. */
  readonly slope: number;
  /** Two-sided, n − 2 degrees of freedom. */
  readonly p: number;
  /** Correlation of neighbouring residuals, Σ eᵢ eᵢ₊₁ / Σ eᵢ²; pairs with a missing swing between them are not neighbours. */
  readonly lag1: number;
  /** Two-sided, lag1 · √n taken as standard normal: rough for so few swings. */
  readonly lag1P: number;
}

/** Least-squares line of values over places (whole numbers, ascending), three or more. No scatter about the line: p 0, or 1 where it is level. */
export function trendOf(places: ArrayLike<number>, values: ArrayLike<number>): Trend {
  const n = values.length;
  if (n < 3) throw new RangeError(`a trend needs three swings, not ${n}`);
  const { slope, intercept } = fitLine(places, values);
  const residuals = Float64Array.from(values, (value, i) => value - intercept - slope * places[i]!);
  let centre = 0;
  for (let i = 0; i < n; i++) centre += places[i]! / n;
  let sxx = 0;
  let squares = 0;
  let neighbours = 0;
  let size = 0;
  for (let i = 0; i < n; i++) {
    sxx += (places[i]! - centre) * (places[i]! - centre);
    squares += residuals[i]! * residuals[i]!;
    size += values[i]! * values[i]!;
    if (i + 1 < n && places[i + 1]! - places[i]! === 1) neighbours += residuals[i]! * residuals[i + 1]!;
  }
  // Below the rounding of the values there is no scatter to speak of.
  if (squares <= 1e-28 * size)
    return { slope, p: Math.abs(slope) * n * n > 1e-12 * Math.sqrt(size) ? 0 : 1, lag1: 0, lag1P: 1 };
  const se = Math.sqrt(squares / (n - 2) / sxx);
  const lag1 = neighbours / squares;
  return {
    slope,
    p: Math.min(1, 2 * tSurvival(Math.abs(slope) / se, n - 2)),
    lag1,
    lag1P: Math.min(1, 2 * normalSurvival(Math.abs(lag1) * Math.sqrt(n))),
  };
}

/** Place of each swing among those of its club, by trial order, then trial id. */
function placesInClub(side: SwingGroup, swings: readonly number[]): Map<number, number> {
  const head = (swing: number): SwingGroup['records'][number]['head'] => side.records[swing]!.head;
  const sorted = [...swings].sort((a, b) => head(a).order - head(b).order || compareText(head(a).trial, head(b).trial));
  return new Map(sorted.map((swing, place) => [swing, place]));
}

/**
 * Trends of the given samples within every club of either side that has four swings with the value. `flagged`: the slope or the lag-1
 * correlation is significant after Holm over that club's list.
 */
export function driftOf(samples: readonly Sample[], group: SwingGroup, reference: SwingGroup): Drift[] {
  const out: Drift[] = [];
  for (const [side, offset] of [
    [group, 0],
    [reference, group.records.length],
  ] as const) {
    for (const [club, swings] of [...partsBy(side.clubs)].sort(([a], [b]) => compareText(a, b))) {
      const places = placesInClub(side, swings);
      const inOrder = [...places.keys()];
      const trends = samples.flatMap((sample) => {
        const present = inOrder.filter((swing) => !Number.isNaN(sample.values[offset + swing]!));
        if (present.length < FEWEST_FOR_TREND) return [];
        const trend = trendOf(
          present.map((swing) => places.get(swing)!),
          present.map((swing) => sample.values[offset + swing]!),
        );
        return [{ sample, trend }];
      });
      const slopeP = holm(trends.map(({ trend }) => trend.p));
      const lagP = holm(trends.map(({ trend }) => trend.lag1P));
      trends.forEach(({ sample, trend }, i) => {
        out.push({
          club,
          quantity: sample.quantity.id,
          position: sample.position,
          slope: trend.slope,
          p: trend.p,
          lag1: trend.lag1,
          flagged: slopeP[i]! < LEVEL || lagP[i]! < LEVEL,
        });
      });
    }
  }
  return out;
}
