/** Descriptive statistics of plain samples. Samples are present numbers: leave missing ones out before, a NaN gives NaN. */

export function mean(x: ArrayLike<number>): number {
  if (x.length === 0) return Number.NaN;
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i]!;
  const first = sum / x.length;
  let rest = 0;
  for (let i = 0; i < x.length; i++) rest += x[i]! - first;
  return first + rest / x.length;
}

/** Sum of squared deviations from the mean; 0 for one sample, NaN for none. */
export function sumOfSquares(x: ArrayLike<number>): number {
  const centre = mean(x);
  let sum = 0;
  for (let i = 0; i < x.length; i++) {
    const e = x[i]! - centre;
    sum += e * e;
  }
  return x.length === 0 ? Number.NaN : sum;
}

/** Sample variance (n − 1); NaN for fewer than two samples. */
export function variance(x: ArrayLike<number>): number {
  return x.length < 2 ? Number.NaN : sumOfSquares(x) / (x.length - 1);
}

/** Sample standard deviation (n − 1); NaN for fewer than two samples. */
export function sd(x: ArrayLike<number>): number {
  return Math.sqrt(variance(x));
}

export function rms(x: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i]! * x[i]!;
  return x.length === 0 ? Number.NaN : Math.sqrt(sum / x.length);
}

function sorted(x: ArrayLike<number>): Float64Array | null {
  const copy = Float64Array.from(x).sort();
  // NaN sorts to the end.
  return copy.length === 0 || Number.isNaN(copy[copy.length - 1]) ? null : copy;
}

/** Percentile, p in 0..100, linear between the order statistics at (n − 1) p / 100 (Hyndman & Fan 1996, type 7). NaN for none. */
export function percentile(x: ArrayLike<number>, p: number): number {
  if (!(p >= 0 && p <= 100)) throw new RangeError(`a percentile is between 0 and 100, not ${p}`);
  const s = sorted(x);
  return s === null ? Number.NaN : sortedPercentile(s, p);
}

/** As `percentile`, of samples already in ascending order. */
export function sortedPercentile(ascending: ArrayLike<number>, p: number): number {
  const n = ascending.length;
  if (n === 0) return Number.NaN;
  const place = ((n - 1) * p) / 100;
  const low = Math.min(Math.floor(place), n - 1);
  const high = Math.min(low + 1, n - 1);
  return ascending[low]! + (place - low) * (ascending[high]! - ascending[low]!);
}

export function median(x: ArrayLike<number>): number {
  return percentile(x, 50);
}

/** 1 / Φ⁻¹(¾): times the median absolute deviation it estimates a normal standard deviation. */
export const MAD_TO_SD = 1.482602218505602;

/** Median absolute deviation from the median, unscaled. */
export function mad(x: ArrayLike<number>): number {
  const centre = median(x);
  return median(Float64Array.from(x, (v) => Math.abs(v - centre)));
}

/** Least-squares line y = intercept + slope · x. NaN where x has no spread. */
export function fitLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
): { readonly slope: number; readonly intercept: number } {
  const mx = mean(x);
  const my = mean(y);
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < x.length; i++) {
    sxx += (x[i]! - mx) * (x[i]! - mx);
    sxy += (x[i]! - mx) * (y[i]! - my);
  }
  const slope = sxx > 0 ? sxy / sxx : Number.NaN;
  return { slope, intercept: my - slope * mx };
}

/** Mean direction in rad, (−π, π], of angles in rad, and the length of their mean vector (1: all the same). */
export function circularMean(angles_rad: ArrayLike<number>): { readonly mean_rad: number; readonly length: number } {
  let c = 0;
  let s = 0;
  for (let i = 0; i < angles_rad.length; i++) {
    c += Math.cos(angles_rad[i]!);
    s += Math.sin(angles_rad[i]!);
  }
  return { mean_rad: Math.atan2(s, c), length: Math.hypot(c, s) / angles_rad.length };
}
