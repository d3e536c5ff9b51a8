/** The curve over the cutoff that each rule reads, for the markers of one segment group together. */

import type { CutoffMethod } from '../../model/dayPlan.ts';
import { filtfiltInto, LEAST_PAD, padLength, zeroLag } from '../../numeric/butterworth.ts';
import {
  addLaggedProducts,
  crossValidation,
  leastOf,
  residualCutoff,
  type TailLine,
  tailLine,
  unlikeWhite,
} from '../../numeric/cutoffCriteria.ts';
import {
  factorSpline,
  type SplineFactor,
  splineFreedom,
  splineLambda,
  splineResidualInto,
} from '../../numeric/smoothingSpline.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import type { Stretch } from './movingStretch.ts';

/** A cutoff is chosen between these, to half a hertz; under 6 Hz the turn of the chest at impact is off by more than a degree. */
export const LOWEST_HZ = 6;
export const HIGHEST_HZ = 30;
const STEP_HZ = 0.5;
const STRIDE = 4;
/** At low rates nothing above this share of the rate is tried. */
const HIGHEST_SHARE = 0.2;
/** Winter reads the line by eye where the curve is straight. Here: above what the body moves at, below half the rate. */
const TAIL_HZ = [25, 60] as const;
const TAIL_SHARES = [0.2, 0.4] as const;
const TAIL_POINTS = 12;
/** Longest lag of the autocorrelation: what a filter of 10 Hz leaves of a movement hangs together for about as long (no source). */
const LONGEST_LAG_S = 0.1;

/** Cutoff of a group in Hz; `limit`: the rule asks for one beyond it. */
export interface Choice {
  readonly cutoff_Hz: number;
  readonly limit: 'lowest' | 'highest' | null;
}

/** The cutoff that the rule finds in the stretch, between 6 and 30 Hz (at most a fifth of the rate), in steps of 0.5 Hz. */
export function chooseCutoff(method: CutoffMethod, stretch: Stretch, rate_Hz: number, ws: Workspace): Choice {
  const cutoffs = cutoffsFor(rate_Hz);
  if (method === 'residual') return within(cutoffs, crossingOf(stretch, cutoffs, rate_Hz, ws));
  const curve = (method === 'autocorrelation' ? whitenessOf : splineErrorOf)(stretch, rate_Hz, ws);
  const at = leastAlong(cutoffs, curve);
  const limit = at === 0 ? 'lowest' : at === cutoffs.length - 1 ? 'highest' : null;
  return { cutoff_Hz: cutoffs[at]!, limit };
}

/** Index of the least value, by strides first and then one by one around the least of those: the curves have one wide valley. */
function leastAlong(cutoffs: readonly number[], curve: (cutoff_Hz: number) => number): number {
  const values = new Float64Array(cutoffs.length).fill(Number.NaN);
  const read = (i: number): void => {
    if (i >= 0 && i < cutoffs.length && Number.isNaN(values[i])) values[i] = curve(cutoffs[i]!);
  };
  for (let i = 0; i < cutoffs.length; i += STRIDE) read(i);
  read(cutoffs.length - 1);
  const near = leastOf(values);
  for (let i = near - STRIDE + 1; i < near + STRIDE; i++) read(i);
  return leastOf(values);
}

/** To the nearest step; what lies beyond the ends is the end. */
function within(cutoffs: readonly number[], wanted_Hz: number): Choice {
  const lowest = cutoffs[0]!;
  const highest = cutoffs[cutoffs.length - 1]!;
  if (wanted_Hz < lowest) return { cutoff_Hz: lowest, limit: 'lowest' };
  if (wanted_Hz > highest) return { cutoff_Hz: highest, limit: 'highest' };
  return { cutoff_Hz: Math.round(wanted_Hz / STEP_HZ) * STEP_HZ, limit: null };
}

/** False where the rate is too low for a choice. */
export function canChoose(rate_Hz: number): boolean {
  return HIGHEST_SHARE * rate_Hz >= LOWEST_HZ + STEP_HZ;
}

/** The cutoffs that can be chosen, Hz. */
export function cutoffsFor(rate_Hz: number): readonly number[] {
  const highest = Math.min(HIGHEST_HZ, HIGHEST_SHARE * rate_Hz);
  const count = Math.floor((highest - LOWEST_HZ) / STEP_HZ) + 1;
  return Array.from({ length: count }, (_, i) => LOWEST_HZ + i * STEP_HZ);
}

/** RMS of what the filter takes off, each marker over its noise, by a cutoff of `lowest_Hz` or more. */
export function residualOf(
  stretch: Stretch,
  rate_Hz: number,
  lowest_Hz: number,
  ws: Workspace,
): (cutoff_Hz: number) => number {
  const residual = ws.float64(stretch.samples);
  const scratch = ws.float64(padFor(rate_Hz, lowest_Hz));
  return (cutoff_Hz) => {
    residualsInto(residual, stretch, cutoff_Hz, rate_Hz, scratch);
    return Math.sqrt(squaresOf(residual, stretch) / stretch.samples);
  };
}

export interface Tail extends TailLine {
  readonly from_Hz: number;
  readonly to_Hz: number;
}

/** The line through the tail of the residual's RMS. */
export function tailOf(rmsAt: (cutoff_Hz: number) => number, rate_Hz: number): Tail {
  const from_Hz = Math.min(TAIL_HZ[0], TAIL_SHARES[0] * rate_Hz);
  const to_Hz = Math.min(TAIL_HZ[1], TAIL_SHARES[1] * rate_Hz);
  const tail = Array.from({ length: TAIL_POINTS }, (_, i) => from_Hz + (i * (to_Hz - from_Hz)) / (TAIL_POINTS - 1));
  return { from_Hz, to_Hz, ...tailLine(tail, tail.map(rmsAt), from_Hz, to_Hz) };
}

/** Where the residual's RMS falls to the intercept of its tail. It falls throughout, so that halving finds it. */
function crossingOf(stretch: Stretch, cutoffs: readonly number[], rate_Hz: number, ws: Workspace): number {
  const rmsAt = residualOf(stretch, rate_Hz, LOWEST_HZ, ws);
  const { intercept } = tailOf(rmsAt, rate_Hz);
  let low = 0;
  let high = cutoffs.length - 1;
  let lowRms = rmsAt(cutoffs[low]!);
  let highRms = rmsAt(cutoffs[high]!);
  while (high - low > 1 && lowRms > intercept && highRms <= intercept) {
    const middle = (low + high) >> 1;
    const rms = rmsAt(cutoffs[middle]!);
    if (rms > intercept) {
      low = middle;
      lowRms = rms;
    } else {
      high = middle;
      highRms = rms;
    }
  }
  return residualCutoff([cutoffs[low]!, cutoffs[high]!], [lowRms, highRms], intercept);
}

/** How far from white the residual is, by cutoff. */
export function whitenessOf(stretch: Stretch, rate_Hz: number, ws: Workspace): (cutoff_Hz: number) => number {
  const sums = ws.float64(Math.max(2, Math.round(LONGEST_LAG_S * rate_Hz) + 1));
  const residual = ws.float64(stretch.samples);
  const scratch = ws.float64(padFor(rate_Hz, LOWEST_HZ));
  return (cutoff_Hz) => {
    residualsInto(residual, stretch, cutoff_Hz, rate_Hz, scratch);
    sums.fill(0);
    for (let c = 0; c < stretch.starts.length; c++) {
      addLaggedProducts(sums, residual, stretch.starts[c]!, stretch.lengths[c]!, stretch.weights[c]!);
    }
    return unlikeWhite(sums);
  };
}

/** The cross-validated error of the spline, by cutoff. */
export function splineErrorOf(stretch: Stretch, rate_Hz: number, ws: Workspace): (cutoff_Hz: number) => number {
  const residual = ws.float64(stretch.longest);
  const scratch = ws.float64(stretch.longest);
  return (cutoff_Hz) => {
    const lambda = splineLambda(cutoff_Hz, rate_Hz);
    let squares = 0;
    let freedom = 0;
    let factor: SplineFactor | null = null;
    let own = 0;
    for (let c = 0; c < stretch.starts.length; c++) {
      const n = stretch.lengths[c]!;
      if (factor === null || factor.n !== n) {
        factor = factorSpline(n, lambda);
        own = splineFreedom(factor);
      }
      splineResidualInto(residual, stretch.data, stretch.starts[c]!, factor, scratch);
      let sum = 0;
      for (let i = 0; i < n; i++) sum += residual[i]! * residual[i]!;
      squares += stretch.weights[c]! * sum;
      freedom += own;
    }
    return crossValidation(squares, freedom, stretch.samples);
  };
}

function padFor(rate_Hz: number, lowest_Hz: number): number {
  return Math.max(LEAST_PAD, Math.ceil(rate_Hz / lowest_Hz));
}

/** What the zero-lag filter takes off each column. */
function residualsInto(
  out: Float64Array,
  { data, starts, lengths, samples }: Stretch,
  cutoff_Hz: number,
  rate_Hz: number,
  scratch: Float64Array,
): void {
  const design = zeroLag(cutoff_Hz, rate_Hz);
  for (let c = 0; c < starts.length; c++) {
    const from = starts[c]!;
    const n = lengths[c]!;
    filtfiltInto(out, data, from, from + n, design, padLength(design, n), scratch);
  }
  for (let i = 0; i < samples; i++) out[i] = data[i]! - out[i]!;
}

function squaresOf(residual: Float64Array, { starts, lengths, weights }: Stretch): number {
  let total = 0;
  for (let c = 0; c < starts.length; c++) {
    let sum = 0;
    for (let i = starts[c]!; i < starts[c]! + lengths[c]!; i++) sum += residual[i]! * residual[i]!;
    total += weights[c]! * sum;
  }
  return total;
}
