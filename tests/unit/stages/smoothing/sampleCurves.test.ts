import { describe, expect, it } from 'vitest';
import { DEFAULT_FILTER } from '../../../../src/model/dayPlan.ts';
import { splineLambda } from '../../../../src/numeric/smoothingSpline.ts';
import { createWorkspace } from '../../../../src/numeric/workspace.ts';
import { fastPart, stretchOf } from '../../../../src/stages/smoothing/movingStretch.ts';
import { sampleCurves } from '../../../../src/stages/smoothing/sampleCurves.ts';
import {
  knownSeries,
  slowAutocorrelation,
  slowIntercept,
  slowQuintic,
  slowZeroLag,
} from '../../../support/slowSmoothing.ts';
import { type Point, trialOf } from '../support.ts';

const ws = createWorkspace({ poison: true });
const RATE = 240;
const FRAMES = 200;
const NOISE_m = 0.001;

/** Two markers of the trunk with 1 mm of noise, seeded, that know it. */
function noisyTrial() {
  const columns = Array.from({ length: 6 }, (_, c) => knownSeries(40 + c, FRAMES, RATE, NOISE_m).measured);
  const at =
    (first: number) =>
    (f: number): Point => [columns[first]![f]!, columns[first + 1]![f]!, columns[first + 2]![f]!];
  const trial = trialOf({ C7: at(0), IJ: at(3) }, { rate_Hz: RATE, frames: FRAMES });
  const points = new Map([...trial.points].map(([id, track]) => [id, { ...track, noise: NOISE_m }]));
  return { ...trial, points };
}

const squares = (r: readonly number[]): number => r.reduce((sum, value) => sum + value ** 2, 0);

describe('the sampled curves of the filter choice', () => {
  const trial = noisyTrial();
  const [curves, ...others] = sampleCurves(trial, { ...DEFAULT_FILTER, trunk_Hz: 12 }, ws);
  const part = fastPart(trial);
  const stretch = stretchOf(trial.points, [...trial.points.keys()], part, ws);
  const columns = stretch.starts.map((start, c) => [...stretch.data.subarray(start, start + stretch.lengths[c]!)]);
  const residuals = (cutoff_Hz: number): number[][] =>
    columns.map((y) => slowZeroLag(y, cutoff_Hz, RATE).map((value, i) => y[i]! - value));

  it('are of the groups that have markers, with what was used', () => {
    expect(others).toEqual([]);
    expect(curves).toMatchObject({ group: 'trunk_Hz', markers: 2, used_Hz: 12, rule: null });
  });

  it('residual: RMS over the noise at every cutoff from 2 to 60 Hz, and the line through its tail', () => {
    const { cutoffs_Hz, values } = curves!.residual;
    expect([cutoffs_Hz[0], cutoffs_Hz.at(-1), cutoffs_Hz.length]).toEqual([2, 60, 59]);
    const rms = (cutoff_Hz: number): number =>
      Math.sqrt(residuals(cutoff_Hz).reduce((sum, r) => sum + squares(r), 0) / stretch.samples) / NOISE_m;
    // two recursions of one filter: rounding alone
    cutoffs_Hz.forEach((cutoff_Hz, i) => {
      expect(values[i]! / rms(cutoff_Hz)).toBeCloseTo(1, 8);
    });
    const tail = Array.from({ length: 12 }, (_, i) => 25 + (i * 35) / 11);
    expect(curves!.tail).toMatchObject({ from_Hz: 25, to_Hz: 60 });
    expect(curves!.tail.intercept).toBeCloseTo(slowIntercept(tail, tail.map(rms)), 8);
    // the rule's cutoff, to half a hertz, is where the curve falls to that level
    const chosen = curves!.choices_Hz.residual;
    expect(rms(chosen + 0.25)).toBeLessThanOrEqual(curves!.tail.intercept);
    expect(rms(chosen - 0.25)).toBeGreaterThanOrEqual(curves!.tail.intercept);
  });

  it('autocorrelation: squared and summed over a tenth of a second of lags; least where the rule chooses', () => {
    const { cutoffs_Hz, values } = curves!.autocorrelation;
    expect([cutoffs_Hz[0], cutoffs_Hz.at(-1), cutoffs_Hz.length]).toEqual([6, 30, 49]);
    for (const at of [0, 10, 24, 48]) {
      const all = residuals(cutoffs_Hz[at]!);
      const total = all.reduce((sum, r) => sum + squares(r), 0);
      const pooled = Array.from({ length: 24 }, (_, k) =>
        all.reduce((sum, r) => sum + (squares(r) / total) * slowAutocorrelation(r, 24)[k]!, 0),
      );
      expect(values[at]! / squares(pooled)).toBeCloseTo(1, 6);
    }
    expect(cutoffs_Hz[values.indexOf(Math.min(...values))]).toBe(curves!.choices_Hz.autocorrelation);
  });

  it('cross-validation: error of the spline by dense systems; least where the rule chooses', () => {
    const { cutoffs_Hz, values } = curves!.crossValidation;
    for (const at of [4, 30]) {
      const n = columns[0]!.length;
      const splines = columns.map((y) => slowQuintic(y, splineLambda(cutoffs_Hz[at]!, RATE)));
      const sum = splines.reduce(
        (total, { smoothed }, c) => total + squares(smoothed.map((v, i) => columns[c]![i]! - v)),
        0,
      );
      const score = sum / NOISE_m ** 2 / stretch.samples / (splines[0]!.freedom / n) ** 2;
      // the dense system is ill conditioned
      expect(values[at]! / score).toBeCloseTo(1, 4);
    }
    expect(cutoffs_Hz[values.indexOf(Math.min(...values))]).toBe(curves!.choices_Hz['cross-validation']);
  });

  it('there are none where the rate leaves nothing to choose from', () => {
    const slow = trialOf({ C7: (f) => [f, 0, 0] }, { rate_Hz: 30, frames: 60 });
    expect(sampleCurves(slow, DEFAULT_FILTER, ws)).toEqual([]);
  });
});
