/** What a symmetric low-pass filter does to noise and to fast motion, from its response to one impulse. */

/** All of a filter without phase, far from the ends of a run. One array element a sample. */
export interface FilterResponse {
  /** Response at m samples from a unit impulse, m = 0 … reach; the whole of both sides sums to 1. */
  readonly impulse: Float64Array;
  /** What the shift at a sample is estimated with: weights of the filtered samples at ± m, m = 0 … 2 reach. */
  readonly shift: Float64Array;
  /** The same of its rate of change, a sample: weight of the sample at + m, minus that of the one at − m. */
  readonly shiftRate: Float64Array;
  /** Autocovariance of filtered white noise of unit variance, by lag 0 … 2 reach. */
  readonly covariance: Float64Array;
  /** Standard deviation of filtered noise at d samples from the end of a run over that far from it, d = 0 … reach. */
  readonly end: Float64Array;
  /** Standard deviation of the filter's own estimate of its shift (`shiftAt`) over that of the filtered noise. */
  readonly shiftNoise: number;
  /** The same two of the rate of change, a sample: of the filtered series over the filtered noise, of the shift's estimate over it. */
  readonly rateNoise: number;
  readonly shiftRateNoise: number;
  /** Covariance of the noise in a filtered sample and in the estimate of its shift, over the variance of filtered noise: below 0. */
  readonly shiftCovariance: number;
  /** The same of their rates of change, a sample. */
  readonly shiftRateCovariance: number;
}

/**
 * Measures a filter: `run` filters a series of 2 reach + 1 samples in place; `reach` samples from an impulse nothing may be left of it.
 * The ends are those of a run continued by point reflection: x(−m) = 2 x(0) − x(m), so that an output at d rests on x(0) with
 * h(d) + 2 Σ h(d + m) and on x(j) with h(d − j) − h(d + j).
 */
export function filterResponse(reach: number, run: (series: Float64Array) => void): FilterResponse {
  const series = new Float64Array(2 * reach + 1);
  series[reach] = 1;
  run(series);
  const impulse = new Float64Array(reach + 1);
  let sum = 0;
  for (let m = 0; m <= reach; m++) {
    impulse[m] = (series[reach + m]! + series[reach - m]!) / 2;
    sum += m === 0 ? impulse[m]! : 2 * impulse[m]!;
  }
  for (let m = 0; m <= reach; m++) impulse[m] = impulse[m]! / sum;
  const covariance = convolved(impulse, impulse);
  const shift = shiftTaps(impulse, covariance);
  const shiftOfNoise = convolved(shift, impulse);
  const slope = slopes(impulse);
  const slopeOfShift = slopes(shiftOfNoise);
  const sd = Math.sqrt(covariance[0]!);
  return {
    impulse,
    shift,
    shiftRate: slopes(shift).map((slope) => -slope),
    covariance,
    end: endGain(impulse, sd),
    shiftNoise: Math.sqrt(product(shiftOfNoise, shiftOfNoise)) / sd,
    rateNoise: Math.sqrt(product(slope, slope)) / sd,
    shiftRateNoise: Math.sqrt(product(slopeOfShift, slopeOfShift)) / sd,
    shiftCovariance: product(impulse, shiftOfNoise) / covariance[0]!,
    shiftRateCovariance: product(slope, slopeOfShift) / covariance[0]!,
  };
}

/**
 * (h − δ) * (2δ − h), the first two terms of the series in `shiftAt`, whole: cut where the impulse response ends, what is missing of it would
 * weigh on the slow part of the motion, which is a hundred times the shift.
 */
function shiftTaps(h: Float64Array, hh: Float64Array): Float64Array {
  return hh.map((square, m) => 3 * (h[m] ?? 0) - square - (m === 0 ? 2 : 0));
}

/** Both sides of a symmetric series given by halves, in a row with `margin` zeros at either end. */
function wholeOf(half: Float64Array, margin: number): Float64Array {
  const middle = margin + half.length - 1;
  const whole = new Float64Array(2 * middle + 1);
  for (let m = 0; m < half.length; m++) {
    whole[middle + m] = half[m]!;
    whole[middle - m] = half[m]!;
  }
  return whole;
}

/** Of two symmetric series given by halves. */
function convolved(a: Float64Array, b: Float64Array): Float64Array {
  const out = new Float64Array(a.length + b.length - 1);
  const whole = wholeOf(a, 0);
  const wide = wholeOf(b, out.length + a.length);
  const middle = (wide.length - 1) / 2;
  for (let lag = 0; lag < out.length; lag++) {
    let sum = 0;
    for (let i = 0, k = middle + lag + a.length - 1; i < whole.length; i++, k--) sum += whole[i]! * wide[k]!;
    out[lag] = sum;
  }
  return out;
}

/** Sum of products over both sides, of as much as both have. */
function product(a: Float64Array, b: Float64Array): number {
  const last = Math.min(a.length, b.length);
  let sum = 0;
  for (let m = 1; m < last; m++) sum += 2 * a[m]! * b[m]!;
  return sum + a[0]! * b[0]!;
}

/** Central differences of a symmetric series, by halves (the other side has the opposite sign). */
function slopes(half: Float64Array): Float64Array {
  const wide = wholeOf(half, 2);
  const middle = (wide.length - 1) / 2;
  return Float64Array.from({ length: half.length + 1 }, (_, m) => (wide[middle + m + 1]! - wide[middle + m - 1]!) / 2);
}

function endGain(h: Float64Array, sd: number): Float64Array {
  const reach = h.length - 1;
  const wide = wholeOf(h, 2 * reach);
  const middle = (wide.length - 1) / 2;
  const out = new Float64Array(reach + 1);
  for (let d = 0; d <= reach; d++) {
    let own = h[d]!;
    for (let m = 1; d + m <= reach; m++) own += 2 * h[d + m]!;
    let sum = own * own;
    for (let j = 1; j <= d + reach; j++) {
      const weight = wide[middle + d - j]! - wide[middle + d + j]!;
      sum += weight * weight;
    }
    out[d] = Math.sqrt(sum) / sd;
  }
  return out;
}

/**
 * Standard deviation of the mean of `count` neighbouring samples over that of one: of filtered noise by its covariance, of white noise
 * (null) 1 / √count.
 */
export function meanNoise(response: FilterResponse | null, count: number): number {
  if (response === null) return 1 / Math.sqrt(count);
  const { covariance } = response;
  let sum = count * covariance[0]!;
  for (let lag = 1; lag < count && lag < covariance.length; lag++) sum += 2 * (count - lag) * covariance[lag]!;
  return Math.sqrt(sum / covariance[0]!) / count;
}

/** Samples [from, to) of the column of `data` that begins at `offset`. */
export interface FilteredRun {
  readonly data: Float64Array;
  readonly offset: number;
  readonly from: number;
  readonly to: number;
}

/**
 * By how much the filter has shifted a smooth series at a sample, estimated from the filtered series y = F x alone. The shift is
 * b = F x − x. Since F x = y, b = −(1 − F) F⁻¹ y, and with F⁻¹ = 1 + (1 − F) + (1 − F)² + … the first two terms give
 * −((1 − F) + (1 − F)²) y = (1 − (1 − F)²) b: what is left out is the share (1 − F)², a quarter at the frequency where F is one half.
 * (A zero-lag Butterworth of two passes has F = 1 / (1 + (ω/ω₀)⁴), so that b = −y⁗ / ω₀⁴, of which this is a smoothed estimate.)
 * The run is continued at its ends by point reflection.
 */
export function shiftAt({ shift }: FilterResponse, { data, offset, from, to }: FilteredRun, sample: number): number {
  const own = data[offset + sample]!;
  let sum = 0;
  if (sample - shift.length >= from && sample + shift.length < to) {
    for (let m = 1, p = offset + sample; m < shift.length; m++)
      sum += shift[m]! * (data[p - m]! + data[p + m]! - 2 * own);
    return sum;
  }
  const run = { data, offset, from, to };
  for (let m = 1; m < shift.length; m++) {
    sum += shift[m]! * (continued(run, sample - m) + continued(run, sample + m) - 2 * own);
  }
  return sum;
}

/** How fast that shift changes, a sample. */
export function shiftRateAt({ shiftRate }: FilterResponse, run: FilteredRun, sample: number): number {
  const { data, offset, from, to } = run;
  let sum = 0;
  if (sample - shiftRate.length >= from && sample + shiftRate.length < to) {
    for (let m = 1, p = offset + sample; m < shiftRate.length; m++)
      sum += shiftRate[m]! * (data[p + m]! - data[p - m]!);
    return sum;
  }
  for (let m = 1; m < shiftRate.length; m++) {
    sum += shiftRate[m]! * (continued(run, sample + m) - continued(run, sample - m));
  }
  return sum;
}

/**
 * Both of three planar columns of `frames` samples each: writes the shift, or how fast it changes, of every column at a sample to `out` from `at` on.
 * The same numbers as `shiftAt` and `shiftRateAt` one column after the other, in less time: the three sums do not wait for each other.
 */
export function shiftsOfThree(
  response: FilterResponse,
  isRate: boolean,
  data: Float64Array,
  frames: number,
  from: number,
  to: number,
  sample: number,
  out: Float64Array,
  at: number,
): void {
  const taps = isRate ? response.shiftRate : response.shift;
  const reach = taps.length;
  if (sample - reach < from || sample + reach >= to) {
    for (let c = 0; c < 3; c++) {
      const run = { data, offset: c * frames, from, to };
      out[at + c] = isRate ? shiftRateAt(response, run, sample) : shiftAt(response, run, sample);
    }
    return;
  }
  const p = sample;
  const q = frames + sample;
  const r = 2 * frames + sample;
  let x = 0;
  let y = 0;
  let z = 0;
  if (isRate) {
    for (let m = 1; m < reach; m++) {
      const tap = taps[m]!;
      x += tap * (data[p + m]! - data[p - m]!);
      y += tap * (data[q + m]! - data[q - m]!);
      z += tap * (data[r + m]! - data[r - m]!);
    }
  } else {
    const twoX = 2 * data[p]!;
    const twoY = 2 * data[q]!;
    const twoZ = 2 * data[r]!;
    for (let m = 1; m < reach; m++) {
      const tap = taps[m]!;
      x += tap * (data[p - m]! + data[p + m]! - twoX);
      y += tap * (data[q - m]! + data[q + m]! - twoY);
      z += tap * (data[r - m]! + data[r + m]! - twoZ);
    }
  }
  out[at] = x;
  out[at + 1] = y;
  out[at + 2] = z;
}

function continued({ data, offset, from, to }: FilteredRun, i: number): number {
  if (i < from) return 2 * data[offset + from]! - data[offset + Math.min(to - 1, 2 * from - i)]!;
  if (i >= to) return 2 * data[offset + to - 1]! - data[offset + Math.max(from, 2 * (to - 1) - i)]!;
  return data[offset + i]!;
}
