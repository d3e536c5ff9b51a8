import { describe, expect, it } from 'vitest';
import {
  CUTOFF_METHODS,
  type CutoffMethod,
  DEFAULT_FILTER,
  type FilterOptions,
  NO_FILTER,
} from '../../../../src/model/dayPlan.ts';
import type { LandmarkId } from '../../../../src/model/landmarks.ts';
import type { MarkerTrial } from '../../../../src/model/trial.ts';
import { createRandom } from '../../../../src/numeric/random.ts';
import { splineLambda } from '../../../../src/numeric/smoothingSpline.ts';
import { createWorkspace } from '../../../../src/numeric/workspace.ts';
import { chooseCutoffs } from '../../../../src/stages/smoothing/chooseCutoffs.ts';
import { chooseCutoff } from '../../../../src/stages/smoothing/cutoffCurves.ts';
import type { Stretch } from '../../../../src/stages/smoothing/movingStretch.ts';
import {
  type KnownSeries,
  knownSeries,
  slowAutocorrelation,
  slowIntercept,
  slowQuintic,
  slowZeroLag,
} from '../../../support/slowSmoothing.ts';
import { type Point, snapshot, trialOf } from '../support.ts';

const ws = createWorkspace({ poison: true });
const RATE = 240;

function stretchFrom(columns: readonly (readonly number[])[], weights = columns.map(() => 1)): Stretch {
  const longest = Math.max(...columns.map((column) => column.length));
  const lengths = columns.map((column) => column.length);
  const starts = lengths.map((_, c) => lengths.slice(0, c).reduce((sum, n) => sum + n, 0));
  const data = Float64Array.from(columns.flat());
  return { data, starts, lengths, weights, samples: data.length, longest, markers: 1 };
}

const residualOf = (y: readonly number[], smoothed: readonly number[]): number[] =>
  y.map((value, i) => value - smoothed[i]!);
const squares = (r: readonly number[]): number => r.reduce((sum, value) => sum + value ** 2, 0);
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/** From 6 Hz to 30 in half hertz. */
const CUTOFFS = Array.from({ length: 49 }, (_, i) => 6 + i / 2);

/** Each rule over again for series of one length and one weight, with the slow filters. */
const SLOW: Readonly<Record<CutoffMethod, (columns: readonly (readonly number[])[]) => number>> = {
  residual: (columns) => {
    const rms = (cutoff_Hz: number): number =>
      Math.sqrt(mean(columns.map((y) => mean(residualOf(y, slowZeroLag(y, cutoff_Hz, RATE)).map((r) => r ** 2)))));
    const tail = Array.from({ length: 12 }, (_, i) => 25 + (i * 35) / 11);
    const intercept = slowIntercept(tail, tail.map(rms));
    // where the curve, in steps of a hundredth, goes under the line's intercept
    let crossing = 6;
    while (rms(crossing) > intercept) crossing += 0.01;
    return crossing;
  },
  autocorrelation: (columns) => {
    const values = CUTOFFS.map((cutoff_Hz) => {
      const residuals = columns.map((y) => residualOf(y, slowZeroLag(y, cutoff_Hz, RATE)));
      const total = residuals.reduce((sum, r) => sum + squares(r), 0);
      const pooled = Array.from({ length: 24 }, (_, k) =>
        residuals.reduce((sum, r) => sum + (squares(r) / total) * slowAutocorrelation(r, 24)[k]!, 0),
      );
      return squares(pooled);
    });
    return CUTOFFS[values.indexOf(Math.min(...values))]!;
  },
  'cross-validation': (columns) => {
    const n = columns[0]!.length;
    const values = CUTOFFS.map((cutoff_Hz) => {
      const splines = columns.map((y) => slowQuintic(y, splineLambda(cutoff_Hz, RATE)));
      const left = mean(splines.map(({ smoothed }, c) => squares(residualOf(columns[c]!, smoothed)) / n));
      return left / (splines[0]!.freedom / n) ** 2;
    });
    return CUTOFFS[values.indexOf(Math.min(...values))]!;
  },
};

describe('the rule of each method', () => {
  it.each(CUTOFF_METHODS.flatMap((method) => [1, 2, 3].map((seed) => [method, seed] as const)))(
    '%s finds what its slow version finds (series %i)',
    (method, seed) => {
      // 121 samples: the dense spline system holds numbers up to n⁵
      const columns = [0, 1].map((k) => knownSeries(10 * seed + k, 121, RATE, 0.001).measured);
      const slow = SLOW[method](columns);
      expect(slow).toBeGreaterThan(6);
      const { cutoff_Hz, limit } = chooseCutoff(method, stretchFrom(columns), RATE, ws);
      expect(limit).toBeNull();
      // a crossing is rounded to half hertz after a line between the points, which lies a little over the curve
      expect(Math.abs(cutoff_Hz - slow)).toBeLessThanOrEqual(method === 'residual' ? 0.27 : 0);
    },
  );

  /** RMS error against the truth of what the method's own smoother makes of the series. */
  const errorAt = (series: readonly KnownSeries[], smooth: (y: readonly number[]) => readonly number[]): number =>
    Math.sqrt(mean(series.map(({ truth, measured }) => squares(residualOf(truth, smooth(measured))) / truth.length)));

  it.each([
    // Of 9 cases (100, 240, 500 Hz; 0.3, 1, 3 mm) residual analysis errs by 10 to 28 % more than the best cutoff, always too low, as Winter's
    // line does (Yu and others 1999, J Appl Biomech 15:318-329, found it too low too); the autocorrelation by 7 to 22 %; the spline's cutoff by 0 to 16 %.
    ['residual', 1.3],
    ['autocorrelation', 1.25],
    ['cross-validation', 1.2],
  ] as const)('%s errs at most %d times as much as the best cutoff on series of known spectrum', (method, most) => {
    for (const rate_Hz of [100, 240, 500]) {
      for (const noise_m of [0.0003, 0.001, 0.003]) {
        const series = Array.from({ length: 6 }, (_, k) =>
          knownSeries(k + 1, Math.round(1.5 * rate_Hz), rate_Hz, noise_m),
        );
        const at = (cutoff_Hz: number): number => errorAt(series, (y) => slowZeroLag(y, cutoff_Hz, rate_Hz));
        const best = Math.min(...CUTOFFS.filter((cutoff_Hz) => cutoff_Hz <= 0.25 * rate_Hz).map(at));
        const stretch = stretchFrom(series.map(({ measured }) => measured));
        const { cutoff_Hz } = chooseCutoff(method, stretch, rate_Hz, ws);
        expect(at(cutoff_Hz) / best, `${rate_Hz} Hz, ${noise_m} m: ${cutoff_Hz} Hz`).toBeLessThan(most);
        // and the choice is worth making: raw samples err more by far
        expect(at(cutoff_Hz)).toBeLessThan(0.75 * noise_m);
      }
    }
  });

  it('asks for more with less noise', () => {
    for (const method of CUTOFF_METHODS) {
      const chosen = [0.003, 0.001, 0.0003].map((noise_m) => {
        const columns = [1, 2, 3].map((seed) => knownSeries(seed, 361, RATE, noise_m).measured);
        return chooseCutoff(method, stretchFrom(columns), RATE, ws).cutoff_Hz;
      });
      expect(chosen[0]! < chosen[1]! && chosen[1]! < chosen[2]!, `${method}: ${chosen.join(', ')}`).toBe(true);
    }
  });
});

/** Three landmarks of one marker group that move as the known series, still before and after. */
function movingTrial(noise_m: (marker: number) => number, frames = 900): MarkerTrial {
  const ids: LandmarkId[] = ['IJ', 'C7', 'T8'];
  const entries = ids.map((id, marker): [LandmarkId, (f: number) => Point | null] => {
    const axes = [0, 1, 2].map((axis) => knownSeries(31 * marker + axis, frames, RATE, noise_m(marker)).measured);
    return [id, (f) => [axes[0]![f]!, axes[1]![f]!, axes[2]![f]!]];
  });
  const made = trialOf(Object.fromEntries(entries), { rate_Hz: RATE, frames });
  const points = new Map([...made.points].map(([id, track], marker) => [id, { ...track, noise: noise_m(marker) }]));
  return { ...made, points };
}

const residualFor: FilterOptions = { ...NO_FILTER, trunk_Hz: 'residual' };

describe('cutoffs of a trial', () => {
  it('sets what is set, chooses the rest, names the rule and leaves a group without markers unfiltered', () => {
    const trial = movingTrial(() => 0.001);
    const unchanged = snapshot(trial);
    const { value, diagnostics } = chooseCutoffs(trial, { ...residualFor, head_Hz: 9, legs_Hz: 'residual' }, ws);
    expect(value).toMatchObject({ head_Hz: 9, legs_Hz: null, upperArm_Hz: null, chosen: { trunk_Hz: 'residual' } });
    expect(value.chosen).not.toHaveProperty('legs_Hz');
    expect(value.trunk_Hz).toBeGreaterThan(7);
    expect(value.trunk_Hz).toBeLessThan(16);
    expect(diagnostics).toEqual([]);
    expect(unchanged()).toBe(true);
    expect(chooseCutoffs(trial, DEFAULT_FILTER, ws).value).toEqual(DEFAULT_FILTER);
  });

  it('does not let one noisy marker decide for its group', () => {
    for (const method of CUTOFF_METHODS) {
      const options = { ...NO_FILTER, trunk_Hz: method };
      const even = chooseCutoffs(
        movingTrial(() => 0.0005),
        options,
        ws,
      ).value.trunk_Hz!;
      const uneven = chooseCutoffs(
        movingTrial((marker) => (marker === 1 ? 0.01 : 0.0005)),
        options,
        ws,
      ).value.trunk_Hz!;
      const allNoisy = chooseCutoffs(
        movingTrial(() => 0.01),
        options,
        ws,
      ).value.trunk_Hz!;
      expect(allNoisy).toBeLessThan(even - 3);
      // a step or two for the information that the noisy marker no longer gives
      expect(Math.abs(uneven - even), `${method}: ${even} and ${uneven} Hz`).toBeLessThanOrEqual(2);
    }
  });

  it('is not moved by a long wait before the swing', () => {
    const random = createRandom(8);
    const swing = movingTrial(() => 0.001, 361);
    const wait = 2400;
    const fast = trialOf(
      Object.fromEntries(
        [...swing.points].map(([id, { data }]) => [
          id,
          (f: number): Point => {
            const at = (c: number): number =>
              data[c * 361 + Math.max(0, f - wait)]! + (f < wait ? 0.001 * random.normal() : 0);
            return [at(0), at(1), at(2)];
          },
        ]),
      ),
      { rate_Hz: RATE, frames: wait + 361 },
    );
    const alone = chooseCutoffs(swing, residualFor, ws).value.trunk_Hz!;
    const withWait = chooseCutoffs(fast, residualFor, ws).value.trunk_Hz!;
    // the part is 361 frames around the fastest moment and need not be the same ones
    expect(Math.abs(withWait - alone)).toBeLessThanOrEqual(2);
  });

  it('uses the longest run of measured samples of a marker, and the default where no run lasts half a second', () => {
    const whole = movingTrial(() => 0.001);
    const holed = (every: number): MarkerTrial => {
      const points = new Map(
        [...whole.points].map(([id, track]) => {
          const state = track.state.map((sample, f) => (f % every === 0 ? 0 : sample));
          const data = track.data.map((value, i) => ((i % 900) % every === 0 ? Number.NaN : value));
          return [id, { ...track, state, data }] as const;
        }),
      );
      return { ...whole, points };
    };
    const few = chooseCutoffs(holed(150), residualFor, ws);
    expect(few.diagnostics).toEqual([]);
    expect(Math.abs(few.value.trunk_Hz! - chooseCutoffs(whole, residualFor, ws).value.trunk_Hz!)).toBeLessThanOrEqual(
      3,
    );
    const many = chooseCutoffs(holed(100), residualFor, ws);
    expect(many.value).toEqual({ ...NO_FILTER, trunk_Hz: 12 });
    expect(many.diagnostics).toEqual([
      expect.objectContaining({
        code: 'cutoff-not-chosen',
        message:
          'trunk: no marker was measured for 0.5 s without a gap around the swing; the default of 12 Hz was used',
      }),
    ]);
  });

  it('keeps within 6 and 30 Hz and says where a rule asks for more or less', () => {
    const random = createRandom(5);
    const still = trialOf({ C7: () => [random.normal(), random.normal(), random.normal()] }, { frames: 600 });
    const clean = movingTrial(() => 0);
    for (const method of CUTOFF_METHODS) {
      const low = chooseCutoffs(still, { ...NO_FILTER, trunk_Hz: method }, ws);
      expect(low.value.trunk_Hz, method).toBeLessThanOrEqual(7);
      if (low.value.trunk_Hz === 6) expect(low.diagnostics.map(({ code }) => code)).toEqual(['cutoff-at-limit']);
      const high = chooseCutoffs(clean, { ...NO_FILTER, trunk_Hz: method }, ws);
      expect(high.value.trunk_Hz, method).toBeGreaterThan(15);
    }
    expect(chooseCutoffs(still, residualFor, ws).diagnostics[0]?.message).toBe(
      'trunk: residual asks for a lower cutoff than 6 Hz, the lowest that is used',
    );
    expect(chooseCutoffs(clean, { ...NO_FILTER, trunk_Hz: 'cross-validation' }, ws).diagnostics[0]?.message).toBe(
      'trunk: cross-validation asks for a higher cutoff than 30 Hz, the highest that is used',
    );
  });

  it('chooses nothing at a rate that leaves no choice, and says so', () => {
    const slow = trialOf({ C7: (f) => [f / 30, 0, 0] }, { rate_Hz: 30, frames: 90 });
    const { value, diagnostics } = chooseCutoffs(slow, residualFor, ws);
    expect(value.trunk_Hz).toBe(12);
    expect(diagnostics[0]?.message).toContain('30 frames per second leave nothing to choose from');
  });
});
