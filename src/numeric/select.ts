/** Order statistics without sorting everything. */

/**
 * The k-th smallest (from 0) of the first `n` values, which are reordered: none before it is larger, none after it smaller. No NaN among them.
 * Quickselect with the median of three (Hoare 1961, Comm ACM 4:321-322).
 */
export function selectInPlace(values: Float64Array, n: number, k: number): number {
  let low = 0;
  let high = n - 1;
  while (low < high) {
    const pivot = medianOfThree(values[low]!, values[(low + high) >> 1]!, values[high]!);
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i]! < pivot) i += 1;
      while (values[j]! > pivot) j -= 1;
      if (i > j) break;
      const value = values[i]!;
      values[i] = values[j]!;
      values[j] = value;
      i += 1;
      j -= 1;
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k]!;
}

function medianOfThree(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}

/** The median of the first `n` values, which are reordered; of an even number the mean of the middle two. No NaN among them; NaN without any. */
export function medianInPlace(values: Float64Array, n: number): number {
  if (n === 0) return Number.NaN;
  const half = n >> 1;
  const upper = selectInPlace(values, n, half);
  if (n % 2 === 1) return upper;
  let lower = values[0]!;
  for (let i = 1; i < half; i++) if (values[i]! > lower) lower = values[i]!;
  return (lower + upper) / 2;
}
