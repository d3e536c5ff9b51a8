/** Slow, obvious versions of what src/compare does cleverly: each is written from the definition, with no shared code. */

export function slowMean(x: readonly number[]): number {
  return x.reduce((sum, value) => sum + value, 0) / x.length;
}

export function slowSd(x: readonly number[]): number {
  const mean = slowMean(x);
  return Math.sqrt(x.reduce((sum, value) => sum + (value - mean) * (value - mean), 0) / (x.length - 1));
}

/** All subsets of `size` of 0 … n − 1, by recursion. */
export function subsetsOf(n: number, size: number, from = 0): number[][] {
  if (size === 0) return [[]];
  const out: number[][] = [];
  for (let i = from; i <= n - size; i++) {
    for (const rest of subsetsOf(n, size - 1, i + 1)) out.push([i, ...rest]);
  }
  return out;
}

/** Visits every split and compares the differences of means. */
export function slowPermutation(
  a: readonly number[],
  b: readonly number[],
): { two: number; one: number; total: number } {
  const all = [...a, ...b];
  const observed = slowMean(a) - slowMean(b);
  let two = 0;
  let one = 0;
  const splits = subsetsOf(all.length, a.length);
  for (const split of splits) {
    const inside = new Set(split);
    const d = slowMean(split.map((i) => all[i]!)) - slowMean(all.filter((_, i) => !inside.has(i)));
    if (Math.abs(d) >= Math.abs(observed) - 1e-9) two += 1;
    if (Math.sign(observed) * d >= Math.abs(observed) - 1e-9) one += 1;
  }
  return { two, one, total: splits.length };
}

/** Holm by its steps: the smallest p against α/k, the next against α/(k − 1) …, stopping at the first that fails. */
export function slowHolmRejects(p: readonly number[], alpha: number): boolean[] {
  const order = p.map((_, i) => i).sort((a, b) => p[a]! - p[b]!);
  const rejected = p.map(() => false);
  for (let step = 0; step < order.length; step++) {
    if (p[order[step]!]! >= alpha / (p.length - step)) break;
    rejected[order[step]!] = true;
  }
  return rejected;
}

/** Benjamini–Hochberg by its line: the largest i with p₍ᵢ₎ < α i / k, and everything up to it. */
export function slowBhRejects(p: readonly number[], alpha: number): boolean[] {
  const order = p.map((_, i) => i).sort((a, b) => p[a]! - p[b]!);
  let last = -1;
  order.forEach((index, rank) => {
    if (p[index]! < (alpha * (rank + 1)) / p.length) last = rank;
  });
  const rejected = p.map(() => false);
  for (let rank = 0; rank <= last; rank++) rejected[order[rank]!] = true;
  return rejected;
}

/** P(T > t) by Simpson's rule on the density of Student's t (the substitution x = t + u/(1 − u) carries it to a finite range). */
export function slowTSurvival(t: number, df: number): number {
  const lnGamma = (x: number): number => {
    // Stirling's series after shifting the argument above 20.
    let shift = 0;
    let y = x;
    while (y < 20) {
      shift -= Math.log(y);
      y += 1;
    }
    return shift + (y - 0.5) * Math.log(y) - y + 0.5 * Math.log(2 * Math.PI) + 1 / (12 * y) - 1 / (360 * y * y * y);
  };
  const scale = Math.exp(lnGamma((df + 1) / 2) - lnGamma(df / 2)) / Math.sqrt(df * Math.PI);
  const density = (x: number): number => scale * Math.exp(-((df + 1) / 2) * Math.log(1 + (x * x) / df));
  const steps = 20_000;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const u = i / steps;
    const value = i === steps ? 0 : density(t + u / (1 - u)) / ((1 - u) * (1 - u));
    sum += value * (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2);
  }
  return sum / (3 * steps);
}

function slowPooledT(a: readonly number[], b: readonly number[]): number {
  const squares = (x: readonly number[]): number => {
    const mean = slowMean(x);
    return x.reduce((sum, value) => sum + (value - mean) * (value - mean), 0);
  };
  const variance = (squares(a) + squares(b)) / (a.length + b.length - 2);
  return (slowMean(a) - slowMean(b)) / Math.sqrt(variance * (1 / a.length + 1 / b.length));
}

/** Largest |t| over the steps under every split of whole curves, the observed split first; a step that one side lacks is passed over. */
export function slowLargestT(
  curves: readonly (readonly number[])[],
  nGroup: number,
  steps: readonly number[],
): number[] {
  const all = curves.map((_, i) => i);
  return subsetsOf(curves.length, nGroup).map((split) => {
    const inside = new Set(split);
    const at = (of: readonly number[], step: number): number[] =>
      of.map((i) => curves[i]![step]!).filter((value) => !Number.isNaN(value));
    return Math.max(
      ...steps.map((step) => {
        const a = at(split, step);
        const b = at(
          all.filter((i) => !inside.has(i)),
          step,
        );
        return a.length === 0 || b.length === 0 ? 0 : Math.abs(slowPooledT(a, b));
      }),
    );
  });
}
