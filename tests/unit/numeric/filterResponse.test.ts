import { describe, expect, it } from 'vitest';
import { filterGain, filtfiltInto, zeroLag } from '../../../src/numeric/butterworth.ts';
import { filterResponse, meanNoise, shiftAt, shiftRateAt, shiftsOfThree } from '../../../src/numeric/filterResponse.ts';
import { createRandom } from '../../../src/numeric/random.ts';

const RATE_HZ = 240;
const filter = zeroLag(12, RATE_HZ);
const run = (series: Float64Array): void => filtfiltInto(series, series, 0, series.length, filter);
const response = filterResponse(25, run);
const random = createRandom(5);
/** Rows of filtered white noise, the slow obvious way. */
const noises = Array.from({ length: 4000 }, () => {
  const series = Float64Array.from({ length: 160 }, () => random.normal());
  run(series);
  return series;
});
const sdOf = (of: (row: Float64Array) => number): number =>
  Math.sqrt(noises.reduce((sum, row) => sum + of(row) * of(row), 0) / noises.length);

// Four thousand rows: a ratio of two standard deviations is known to 1.1 % · √2; three times that.
const TOLERANCE = 0.047;

describe('the response of a filter to one impulse', () => {
  it('gives the standard deviation of filtered noise, of means of it and of its slope', () => {
    const sd = sdOf((row) => row[80]!);
    expect(Math.sqrt(response.covariance[0]!) / sd).toBeCloseTo(1, 1);
    expect(Math.abs(Math.sqrt(response.covariance[0]!) / sd - 1)).toBeLessThan(TOLERANCE);
    const mean = sdOf((row) => row.subarray(70, 94).reduce((a, b) => a + b) / 24);
    expect(Math.abs(meanNoise(response, 24) / (mean / sd) - 1)).toBeLessThan(TOLERANCE);
    const slope = sdOf((row) => (row[81]! - row[79]!) / 2);
    expect(Math.abs(response.rateNoise / (slope / sd) - 1)).toBeLessThan(TOLERANCE);
    expect(meanNoise(null, 16)).toBe(0.25);
  });

  it.each([0, 1, 3, 6, 12])('noise %i samples from an end is larger as stated', (d) => {
    const ratio = sdOf((row) => row[d]!) / sdOf((row) => row[80]!);
    expect(Math.abs(response.end[d]! / ratio - 1)).toBeLessThan(TOLERANCE);
  });

  it('the noise in the estimate of the shift is as stated', () => {
    const whole = (row: Float64Array) => ({ data: row, offset: 0, from: 0, to: row.length });
    const sd = sdOf((row) => row[80]!);
    const shift = sdOf((row) => shiftAt(response, whole(row), 80));
    expect(Math.abs(response.shiftNoise / (shift / sd) - 1)).toBeLessThan(TOLERANCE);
    const rate = sdOf((row) => shiftRateAt(response, whole(row), 80));
    expect(Math.abs(response.shiftRateNoise / (rate / sd) - 1)).toBeLessThan(TOLERANCE);
  });

  it('noise in the estimate of the shift goes with the noise of the sample, against its sign, as stated', () => {
    const whole = (row: Float64Array) => ({ data: row, offset: 0, from: 0, to: row.length });
    const variance = noises.reduce((sum, row) => sum + row[80]! * row[80]!, 0) / noises.length;
    const meanOf = (of: (row: Float64Array) => number): number =>
      noises.reduce((sum, row) => sum + of(row), 0) / noises.length / variance;
    // A covariance of standard deviations 1 and s is known to s · √(1 + ρ²) / √4000, below 0.02 s; three times that.
    const place = meanOf((row) => row[80]! * shiftAt(response, whole(row), 80));
    expect(Math.abs(response.shiftCovariance - place)).toBeLessThan(0.06 * response.shiftNoise);
    expect(place).toBeLessThan(-0.1);
    const rate = meanOf((row) => ((row[81]! - row[79]!) / 2) * shiftRateAt(response, whole(row), 80));
    expect(Math.abs(response.shiftRateCovariance - rate)).toBeLessThan(
      0.06 * response.rateNoise * response.shiftRateNoise,
    );
    expect(rate).toBeLessThan(-0.5 * response.rateNoise * response.shiftRateNoise);
  });

  // Of a sine the filter leaves the share F = gain²; the estimate is 1 − (1 − F)² of the shift.
  it.each([4, 8, 12, 16])(
    'the shift of a sine of %i Hz is found but for the share that the series leaves out',
    (f_Hz) => {
      const w = (2 * Math.PI * f_Hz) / RATE_HZ;
      const single = filterGain(filter, f_Hz, RATE_HZ);
      const F = single * single;
      const filtered = Float64Array.from({ length: 400 }, (_, i) => F * Math.cos(w * (i - 200)));
      const all = { data: filtered, offset: 0, from: 0, to: 400 };
      const expected = (F - 1) * (1 - (1 - F) * (1 - F));
      // The weights are cut at 25 samples, where 0.5 % of them is left.
      expect(Math.abs(shiftAt(response, all, 200) - expected)).toBeLessThan(0.005);
      expect(Math.abs(shiftRateAt(response, all, 206) + w * expected * Math.sin(6 * w))).toBeLessThan(0.008 * w);
    },
  );

  // The definition is one column after the other: not a bit may differ, in the middle, near either end and on a run inside of a longer series.
  it.each([
    ['place', false],
    ['rate', true],
  ] as const)('three columns at a time have the very shifts of each alone: %s', (_order, isRate) => {
    const frames = 160;
    const data = new Float64Array(3 * frames);
    for (let c = 0; c < 3; c++) data.set(noises[c]!, c * frames);
    const out = new Float64Array(5);
    for (const [from, to] of [
      [0, frames],
      [20, 140],
    ] as const) {
      for (let sample = from; sample < to; sample++) {
        shiftsOfThree(response, isRate, data, frames, from, to, sample, out, 1);
        for (let c = 0; c < 3; c++) {
          const column = { data, offset: c * frames, from, to };
          expect(out[1 + c]).toBe((isRate ? shiftRateAt : shiftAt)(response, column, sample));
        }
      }
    }
    expect([out[0], out[4]]).toEqual([0, 0]);
  });
});
