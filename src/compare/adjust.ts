/** Adjusting p-values over a family of tests. */

export type Correction = 'holm' | 'benjamini-hochberg';

/** Level of every adjusted test. */
export const LEVEL = 0.05;

function ascending(p: ArrayLike<number>): Uint32Array {
  const order = new Uint32Array(p.length);
  for (let i = 0; i < order.length; i++) order[i] = i;
  return order.sort((a, b) => p[a]! - p[b]! || a - b);
}

/**
 * Holm's step-down adjusted p-values in input order: p₍ᵢ₎ · (k − i + 1), made non-decreasing, at most 1. Holds the chance of one false
 * rejection or more in the family, whatever the dependence (Holm 1979, Scand J Stat 6:65-70).
 */
export function holm(p: ArrayLike<number>): Float64Array {
  const out = new Float64Array(p.length);
  let running = 0;
  ascending(p).forEach((index, rank) => {
    running = Math.max(running, Math.min(1, p[index]! * (p.length - rank)));
    out[index] = running;
  });
  return out;
}

/**
 * Benjamini–Hochberg step-up adjusted p-values in input order: p₍ᵢ₎ · k / i, made non-decreasing from the largest down, at most 1.
 * Holds the expected share of false ones among the rejections (Benjamini & Hochberg 1995, J R Stat Soc B 57:289-300).
 */
export function benjaminiHochberg(p: ArrayLike<number>): Float64Array {
  const out = new Float64Array(p.length);
  const order = ascending(p);
  let running = 1;
  for (let rank = p.length; rank >= 1; rank--) {
    const index = order[rank - 1]!;
    running = Math.min(running, (p[index]! * p.length) / rank);
    out[index] = running;
  }
  return out;
}

/** Adjusted p-values of one family, in input order. NaN is not allowed: a test without a p-value is not in the family. */
export function adjust(p: ArrayLike<number>, correction: Correction): Float64Array {
  for (let i = 0; i < p.length; i++) {
    if (!(p[i]! >= 0 && p[i]! <= 1)) throw new RangeError(`a p-value lies between 0 and 1, not ${p[i]}`);
  }
  return correction === 'holm' ? holm(p) : benjaminiHochberg(p);
}

/**
 * The unadjusted p below which one more test of a family of `size` would be rejected, beside `others` rejected ones:
 * Holm's step LEVEL / (size − others), the Benjamini–Hochberg line LEVEL · (others + 1) / size.
 */
export function cutFor(correction: Correction, size: number, others: number): number {
  if (size < 1) return LEVEL;
  return correction === 'holm' ? LEVEL / Math.max(1, size - others) : (LEVEL * Math.min(size, others + 1)) / size;
}
