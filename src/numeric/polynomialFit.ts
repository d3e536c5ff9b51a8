/** A polynomial through part of a series by least squares: its sums, its values, its residual. x is samples from `centre` over `half`; NaN samples are stepped over. */

/**
 * Fills the lower triangle of `normal` (terms × terms, row-major) with Σ x^(r + c) and `rhs` with Σ x^r · y over the samples of [from, to];
 * what both held is lost. Returns how many samples were present. `choleskyInPlace` and `choleskySolveInPlace` make the coefficients of it.
 */
export function polynomialSums(
  series: Float64Array,
  from: number,
  to: number,
  centre: number,
  half: number,
  terms: number,
  normal: Float64Array,
  rhs: Float64Array,
): number {
  normal.fill(0);
  rhs.fill(0);
  let count = 0;
  for (let i = from; i <= to; i++) {
    const y = series[i]!;
    if (Number.isNaN(y)) continue;
    count += 1;
    const x = (i - centre) / half;
    let pr = 1;
    for (let r = 0; r < terms; r++) {
      rhs[r] = rhs[r]! + pr * y;
      let pc = pr;
      for (let c = 0; c <= r; c++) {
        normal[r * terms + c] = normal[r * terms + c]! + pc;
        pc *= x;
      }
      pr *= x;
    }
  }
  return count;
}

/** Value (0), first (1) or second (2) derivative by x of Σ coefficient k · x^k, k < terms. */
export function polynomialAt(coefficients: Float64Array, terms: number, x: number, order: 0 | 1 | 2): number {
  let sum = 0;
  for (let k = terms - 1; k >= order; k--) {
    const factor = order === 0 ? 1 : order === 1 ? k : k * (k - 1);
    sum = sum * x + factor * coefficients[k]!;
  }
  return sum;
}

/** Sum of the squared residuals over the samples of [from, to]. */
export function residualSquares(
  series: Float64Array,
  from: number,
  to: number,
  centre: number,
  half: number,
  coefficients: Float64Array,
  terms: number,
): number {
  let squares = 0;
  for (let i = from; i <= to; i++) {
    const y = series[i]!;
    if (Number.isNaN(y)) continue;
    const e = y - polynomialAt(coefficients, terms, (i - centre) / half, 0);
    squares += e * e;
  }
  return squares;
}
