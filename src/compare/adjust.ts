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
 * For each test the unadjusted p below which it is rejected, the other tests being what they are; exact for both procedures.
 * Holm: LEVEL / (k − j), j the others that pass his steps first. Benjamini–Hochberg: LEVEL · (j + 1) / k, j the most others of which
 * the j-th lies under that line.
 */
export function cutsOf(p: ArrayLike<number>, correction: Correction): Float64Array {
  const k = p.length;
  const order = ascending(p);
  const out = new Float64Array(k);
  for (let own = 0; own < k; own++) {
    let j = 0;
    let passed = 0;
    for (let rank = 0; rank < k; rank++) {
      if (order[rank] === own) continue;
      const other = p[order[rank]!]!;
      j += 1;
      if (correction === 'holm') {
        if (!(other < LEVEL / (k - j + 1))) break;
        passed = j;
      } else if (other < (LEVEL * (j + 1)) / k) passed = j;
    }
    out[own] = correction === 'holm' ? LEVEL / (k - passed) : (LEVEL * (passed + 1)) / k;
  }
  return out;
}
