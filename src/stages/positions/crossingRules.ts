/** P2, P3, P5, P6, P8, P9: which passing of the horizontal is meant, and why there is none. */

import { formatFixed } from '../../base/format.ts';
import type { Moment, MomentMethod, PositionId } from '../../model/positions.ts';
import { type AngleSeries, highest, type Passing, passings, timePassing } from './elevation.ts';
import type { LocalFit } from './localFit.ts';
import { type FoundMoment, missingMoment, momentAt } from './momentMaker.ts';

export type Limb = 'shaft' | 'lead arm' | 'trail arm';

export interface CrossingRule {
  readonly position: PositionId;
  readonly limb: Limb;
  readonly rising: boolean;
  readonly which: 'first' | 'last';
  readonly method: MomentMethod;
  /** What the limb is made of where not all of it is seen, such as 'lead forearm'. */
  readonly words?: string;
}

/** Definitions 6. */
export const CROSSING_RULES: readonly CrossingRule[] = [
  { position: 'P2', limb: 'shaft', rising: true, which: 'last', method: 'shaft-horizontal' },
  { position: 'P3', limb: 'lead arm', rising: true, which: 'last', method: 'lead-arm-horizontal' },
  { position: 'P5', limb: 'lead arm', rising: false, which: 'first', method: 'lead-arm-horizontal' },
  { position: 'P6', limb: 'shaft', rising: false, which: 'last', method: 'shaft-horizontal' },
  { position: 'P8', limb: 'shaft', rising: true, which: 'first', method: 'shaft-horizontal' },
  { position: 'P9', limb: 'trail arm', rising: true, which: 'first', method: 'trail-arm-horizontal' },
];

/** Frames in which a crossing is sought [from, to), and in which the local fit may use samples [low, high). */
export interface SearchRange {
  readonly from: number;
  readonly to: number;
  readonly low: number;
  readonly high: number;
}

/**
 * The passing that the rule means: with an event the one nearest to it within `reach_frames`, otherwise the first or last in the range.
 * Missing with the largest elevation reached.
 */
export function findCrossing(
  rule: CrossingRule,
  series: AngleSeries,
  range: SearchRange,
  event_s: number | null,
  reach_frames: number,
  rate_Hz: number,
  fit: LocalFit,
): Moment {
  const found = passings(series, range.from, range.to).filter((p) => p.rising === rule.rising);
  if (found.length === 0) return whyNone(rule, series, range);
  let chosen = rule.which === 'first' ? found[0]! : found[found.length - 1]!;
  if (event_s !== null) {
    const at = event_s * rate_Hz;
    const away = (p: Passing): number => (Number.isNaN(p.frame) ? Number.POSITIVE_INFINITY : Math.abs(p.frame - at));
    for (const p of found) if (away(p) < Math.min(reach_frames + 1, away(chosen))) chosen = p;
  }
  if (Number.isNaN(chosen.frame)) {
    return missingMoment('limb-hidden', `the ${wordsOf(rule)} in view where it passes the horizontal`);
  }
  return timed(rule, series, chosen, range, rate_Hz, fit);
}

function timed(
  rule: CrossingRule,
  series: AngleSeries,
  passing: Passing,
  range: SearchRange,
  rate_Hz: number,
  fit: LocalFit,
): FoundMoment | Moment {
  const at = timePassing(series, passing, range.low, range.high, rate_Hz, fit);
  if (at === null)
    return missingMoment('too-few-samples', `six samples of the ${wordsOf(rule)} around ${rule.position}`);
  return momentAt(at.time_s, at.sd_s, rule.method, at.filled ? ['filled'] : []);
}

function wordsOf(rule: CrossingRule): string {
  return rule.words ?? rule.limb;
}

function whyNone(rule: CrossingRule, series: AngleSeries, range: SearchRange): Moment {
  const top = highest(series, range.from, range.to);
  if (Number.isNaN(top))
    return missingMoment('too-few-samples', `samples of the ${wordsOf(rule)} around ${rule.position}`);
  const degrees = (top * 180) / Math.PI;
  if (top < 0) {
    return missingMoment(
      'never-horizontal',
      `the ${wordsOf(rule)} at the horizontal; the ${wordsOf(rule)} peaked ${formatFixed(-degrees, 0)}° below horizontal`,
    );
  }
  const begins = rule.position === 'P2' || rule.position === 'P3';
  return begins
    ? missingMoment('recording-begins-later', `a recording that begins before the ${wordsOf(rule)} is horizontal`)
    : missingMoment(
        'no-crossing',
        `the ${wordsOf(rule)} passing the horizontal ${rule.rising ? 'upward' : 'downward'}; it reached ${formatFixed(degrees, 0)}° above and did not pass`,
      );
}
