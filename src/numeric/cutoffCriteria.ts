/** What a cutoff is chosen by: the residual's size, its likeness to white noise, the cross-validated error of a spline. */

export interface TailLine {
  /** Where the line meets 0 Hz: the noise that the filter lets through, as Winter reads it. */
  readonly intercept: number;
  /** Per Hz. */
  readonly slope: number;
}

/** Line by least squares through a curve between two frequencies, both included. Throws RangeError under two points. */
export function tailLine(
  frequencies_Hz: ArrayLike<number>,
  curve: ArrayLike<number>,
  from_Hz: number,
  to_Hz: number,
): TailLine {
  let n = 0;
  let meanX = 0;
  let meanY = 0;
  for (let i = 0; i < frequencies_Hz.length; i++) {
    const x = frequencies_Hz[i]!;
    if (x < from_Hz || x > to_Hz) continue;
    n += 1;
    meanX += x;
    meanY += curve[i]!;
  }
  if (n < 2) throw new RangeError(`a line needs two points between ${from_Hz} and ${to_Hz} Hz, not ${n}`);
  meanX /= n;
  meanY /= n;
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < frequencies_Hz.length; i++) {
    const x = frequencies_Hz[i]!;
    if (x < from_Hz || x > to_Hz) continue;
    xx += (x - meanX) * (x - meanX);
    xy += (x - meanX) * (curve[i]! - meanY);
  }
  const slope = xy / xx;
  return { intercept: meanY - slope * meanX, slope };
}

/**
 * Residual analysis (Winter 2009, Biomechanics and Motor Control of Human Movement, 4th ed., section 3.4.4.3): the cutoff at which the RMS
 * of what the filter takes off equals the intercept of the line through the curve's tail, linear between the points of the curve, which
 * ascend in frequency. −∞ where the curve starts at or under the intercept, ∞ where it stays above it.
 */
export function residualCutoff(frequencies_Hz: ArrayLike<number>, rms: ArrayLike<number>, intercept: number): number {
  if (rms[0]! <= intercept) return Number.NEGATIVE_INFINITY;
  for (let i = 1; i < frequencies_Hz.length; i++) {
    if (rms[i]! > intercept) continue;
    const share = (rms[i - 1]! - intercept) / (rms[i - 1]! - rms[i]!);
    return frequencies_Hz[i - 1]! + share * (frequencies_Hz[i]! - frequencies_Hz[i - 1]!);
  }
  return Number.POSITIVE_INFINITY;
}

/** Adds weight × Σ r[i] r[i + k] of the n residuals from `from` on to sums[k], k = 0 … sums.length − 1. */
export function addLaggedProducts(
  sums: Float64Array,
  residual: Float64Array,
  from: number,
  n: number,
  weight: number,
): void {
  const end = from + n;
  const lags = sums.length;
  let k = 0;
  // four lags at a time: one reading of the series serves them all
  for (; k + 3 < lags && k + 3 < n; k += 4) {
    let s0 = 0;
    let s1 = 0;
    let s2 = 0;
    let s3 = 0;
    const whole = end - k - 3;
    for (let i = from; i < whole; i++) {
      const r = residual[i]!;
      s0 += r * residual[i + k]!;
      s1 += r * residual[i + k + 1]!;
      s2 += r * residual[i + k + 2]!;
      s3 += r * residual[i + k + 3]!;
    }
    for (let i = whole; i < end - k; i++) {
      s0 += residual[i]! * residual[i + k]!;
      if (i + k + 1 < end) s1 += residual[i]! * residual[i + k + 1]!;
      if (i + k + 2 < end) s2 += residual[i]! * residual[i + k + 2]!;
    }
    sums[k] = sums[k]! + weight * s0;
    sums[k + 1] = sums[k + 1]! + weight * s1;
    sums[k + 2] = sums[k + 2]! + weight * s2;
    sums[k + 3] = sums[k + 3]! + weight * s3;
  }
  for (; k < lags; k++) {
    let sum = 0;
    for (let i = from; i + k < end; i++) sum += residual[i]! * residual[i + k]!;
    sums[k] = sums[k]! + weight * sum;
  }
}

/**
 * How far a residual is from white: the sum of its squared autocorrelations at the lags from 1 on (Challis 1999, J Appl Biomech
 * 15:303-317). `sums` as `addLaggedProducts` makes them; 0 where there is no residual.
 */
export function unlikeWhite(sums: ArrayLike<number>): number {
  let total = 0;
  if (!(sums[0]! > 0)) return 0;
  for (let k = 1; k < sums.length; k++) {
    const correlation = sums[k]! / sums[0]!;
    total += correlation * correlation;
  }
  return total;
}

/**
 * Generalised cross-validation (Craven and Wahba 1979, Numer Math 31:377-403; Woltring 1986, Adv Eng Software 8:104-113): the mean
 * squared residual over the square of the freedom left per sample, (Σ r² / N) / (tr(I − H) / N)². Several series count as one.
 */
export function crossValidation(squares: number, freedom: number, samples: number): number {
  return (squares * samples) / (freedom * freedom);
}

/** Index of the least value; −1 for an empty or all-NaN curve. */
export function leastOf(curve: ArrayLike<number>): number {
  let at = -1;
  for (let i = 0; i < curve.length; i++) if (!Number.isNaN(curve[i]) && (at < 0 || curve[i]! < curve[at]!)) at = i;
  return at;
}
