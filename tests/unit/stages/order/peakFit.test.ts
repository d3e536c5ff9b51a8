/** The highest place of a series: exact where it is a quartic, its ± against simulated noise. */
import { describe, expect, it } from 'vitest';
import { type FilterDesign, filtfiltInto, zeroLag } from '../../../../src/numeric/butterworth.ts';
import { createRandom } from '../../../../src/numeric/random.ts';
import { filteredCorrelation } from '../../../../src/stages/order/noiseCorrelation.ts';
import { peakAround } from '../../../../src/stages/order/peakFit.ts';
import type { SeriesNoise } from '../../../../src/stages/order/quarticFit.ts';

const RATE_Hz = 240;
const CLEAN: SeriesNoise = { kind: 'angles', sd_rad: 0, correlation: null };

/** Frames 0 … n − 1 of a speed in rad/s. */
function series(n: number, of: (frame: number) => number): Float64Array {
  return Float64Array.from({ length: n }, (_, frame) => of(frame));
}

function filtered(x: Float64Array, design: FilterDesign): Float64Array {
  const out = new Float64Array(x.length);
  filtfiltInto(out, x, 0, x.length, design);
  return out;
}

function highestFrame(values: Float64Array, low: number, high: number): number {
  let top = Math.ceil(low);
  for (let i = top; i <= high; i++) if (values[i]! > values[top]!) top = i;
  return top;
}

function peakOf(values: Float64Array, low: number, high: number, noise: SeriesNoise = CLEAN) {
  return peakAround(values, highestFrame(values, low, high), low, high, 12, noise, RATE_Hz);
}

describe('a peak without noise', () => {
  it('of a quartic is found where it is, as high as it is', () => {
    // 9 − (x − 30.3)² / 50 + (x − 30.3)³ / 4000: one maximum nearby, at 30.3.
    const values = series(
      60,
      (f) => 9 - ((f - 30.3) * (f - 30.3)) / 50 + ((f - 30.3) * (f - 30.3) * (f - 30.3)) / 4000,
    );
    const peak = peakOf(values, 5, 50)!;
    expect(peak.at).toBeCloseTo(30.3, 8);
    expect(peak.value).toBeCloseTo(9, 10);
    expect(peak).toMatchObject({ atSd: 0, valueSd: 0, rising: false, rise: 0, rival: 0 });
  });

  it('that is not reached before the end still rises there, by its slope', () => {
    const values = series(60, (f) => 2 + 0.1 * f);
    const peak = peakOf(values, 5, 40.5)!;
    expect(peak).toMatchObject({ at: 40.5, rising: true, atSd: 0 });
    expect(peak.value).toBeCloseTo(6.05, 10);
    expect(peak.rise).toBeCloseTo(0.1, 10);
  });

  it('is none where the speed only falls', () => {
    expect(
      peakOf(
        series(60, (f) => 9 - 0.1 * f),
        5,
        40,
      ),
    ).toBeNull();
  });

  it('beside missing samples is that of the rest, with fewer than five samples none', () => {
    const whole = series(60, (f) => 9 - ((f - 30.3) * (f - 30.3)) / 50);
    const holed = whole.map((value, f) => (f === 33 ? Number.NaN : value));
    expect(peakOf(holed, 5, 50)?.at ?? 30.3).toBeCloseTo(30.3, 8);
    const few = whole.map((value, f) => (f >= 29 && f <= 32 ? value : Number.NaN));
    expect(peakAround(few, 30, 5, 50, 12, CLEAN, RATE_Hz)).toBeNull();
  });

  it('with another that is as high is told by how far that is', () => {
    const bump = (f: number, at: number, height: number): number => height * Math.exp(-((f - at) * (f - at)) / 18);
    const noise: SeriesNoise = { kind: 'white', sd: 0.02 };
    const level = series(60, (f) => bump(f, 20, 9) + bump(f, 40, 8.99));
    expect(peakOf(level, 5, 55, noise)!.rival).toBeCloseTo(20, 0);
    const lower = series(60, (f) => bump(f, 20, 9) + bump(f, 40, 8));
    expect(peakOf(lower, 5, 55, noise)!.rival).toBe(0);
  });
});

describe('the ± of a peak', () => {
  const TRUE_AT = 30.3;
  const speed = (f: number): number => 9 - 0.01 * (f - TRUE_AT) * (f - TRUE_AT);
  /** Angles with noise, differentiated as the speeds are (fourth order over five frames). */
  function noisy(angles: Float64Array): Float64Array {
    return series(61, (f) => {
      const at = f + 4;
      const slope = (8 * (angles[at + 1]! - angles[at - 1]!) - (angles[at + 2]! - angles[at - 2]!)) / 12;
      return speed(f) + RATE_Hz * slope;
    });
  }

  /** Root mean squares of the errors over their own ±, and the worst error in frames. */
  function errorsOver(noiseOf: () => Float64Array, noise: SeriesNoise) {
    const runs = 800;
    let at = 0;
    let value = 0;
    let worst = 0;
    for (let run = 0; run < runs; run++) {
      const peak = peakOf(noisy(noiseOf()), 10, 50, noise)!;
      const place = peak.at - TRUE_AT;
      const height = (peak.value - 9) / peak.valueSd;
      at += (place * place) / (peak.atSd * peak.atSd) / runs;
      value += (height * height) / runs;
      worst = Math.max(worst, Math.abs(place));
    }
    return { at: Math.sqrt(at), value: Math.sqrt(value), worst };
  }

  it('is what white noise of the angles does to it', () => {
    const random = createRandom(5);
    const sd_rad = 2e-4;
    const errors = errorsOver(() => series(70, () => sd_rad * random.normal()), {
      kind: 'angles',
      sd_rad,
      correlation: null,
    });
    // 800 runs: 2.5 %; a stretch that is chosen follows its own noise a little, which no fixed one would.
    expect(errors.at).toBeGreaterThan(0.85);
    expect(errors.at).toBeLessThan(1.15);
    expect(errors.value).toBeGreaterThan(0.85);
    expect(errors.value).toBeLessThan(1.15);
    // No narrow stretch is taken for its chance agreement: those are up to three frames off, 4 ms to 12 ms.
    expect(errors.worst).toBeLessThan(1.5);
  });

  it('is what noise does that has been filtered with the angles', () => {
    const random = createRandom(6);
    const cutoff = 20;
    const raw = series(40_000, () => random.normal());
    const smooth = filtered(raw, zeroLag(cutoff, RATE_Hz));
    const inner = smooth.subarray(1000, 39_000);
    const power = inner.reduce((sum, v) => sum + v * v, 0) / inner.length;
    const sd_rad = 4e-4;
    let from = 0;
    const next = (): Float64Array => {
      from = (from + 137) % 37_000;
      return inner.slice(from, from + 70).map((v) => (v * sd_rad) / Math.sqrt(power));
    };
    const correlation = filteredCorrelation(cutoff, RATE_Hz, 40);
    const errors = errorsOver(next, { kind: 'angles', sd_rad, correlation });
    // 270 stretches that do not overlap: 4 %, and as above, more of it: a quartic follows such noise in part.
    expect(errors.at).toBeGreaterThan(0.85);
    expect(errors.at).toBeLessThan(1.25);
    expect(errors.value).toBeGreaterThan(0.85);
    expect(errors.value).toBeLessThan(1.25);
  });

  it('rests on the correlation that filtered white noise has', () => {
    const random = createRandom(7);
    const raw = series(60_000, () => random.normal());
    const smooth = filtered(raw, zeroLag(15, RATE_Hz)).subarray(1000, 59_000);
    const known = filteredCorrelation(15, RATE_Hz, 20)!;
    const product = (lag: number): number => {
      let sum = 0;
      for (let i = lag; i < smooth.length; i++) sum += smooth[i]! * smooth[i - lag]!;
      return sum / (smooth.length - lag);
    };
    // Some 60,000 · 4 · 15 / 240 = 15,000 independent values: 1 %.
    for (const lag of [0, 1, 2, 4, 8, 16]) expect(known[lag]).toBeCloseTo(product(lag) / product(0), 1.3);
    expect(filteredCorrelation(null, RATE_Hz, 20)).toBeNull();
    expect(filteredCorrelation(120, RATE_Hz, 20)).toBeNull();
  });
});
