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

/** Σ (x − mean)². */
function slowSquares(x: readonly number[]): number {
  const mean = slowMean(x);
  return x.reduce((sum, value) => sum + (value - mean) * (value - mean), 0);
}

/**
 * Under every split of whole curves, the observed split first: the largest |Welch t| over the steps that two curves of each side and half
 * of them have, and the degrees of freedom by Welch and Satterthwaite of the two variances of the means, at each step relative to the
 * squares of all curves about their mean, averaged over these steps; the counts of curves averaged too.
 */
export function slowLargestT(curves: readonly (readonly number[])[], nGroup: number): { t: number; df: number }[] {
  const all = curves.map((_, i) => i);
  const present = (of: readonly number[], step: number): number[] =>
    of.map((i) => curves[i]![step]!).filter((value) => !Number.isNaN(value));
  return subsetsOf(curves.length, nGroup).map((split) => {
    const rest = all.filter((i) => !split.includes(i));
    const steps = curves[0]!
      .map((_, step) => [present(split, step), present(rest, step)] as const)
      .filter(([a, b]) => [a, b].every((x) => x.length >= 2))
      .filter(([a, b]) => a.length >= split.length / 2 && b.length >= rest.length / 2);
    const ofMean = (x: readonly number[]): number => slowSquares(x) / (x.length - 1) / x.length;
    const t = steps.map(([a, b]) => Math.abs(slowMean(a) - slowMean(b)) / Math.sqrt(ofMean(a) + ofMean(b)));
    const share = (side: 0 | 1): number =>
      slowMean(steps.map((sides) => ofMean(sides[side]) / slowSquares([...sides[0], ...sides[1]])));
    const dfOf = (side: 0 | 1): number => slowMean(steps.map((sides) => sides[side].length - 1));
    const [v1, v2] = [share(0), share(1)];
    return { t: Math.max(...t), df: ((v1 + v2) * (v1 + v2)) / ((v1 * v1) / dfOf(0) + (v2 * v2) / dfOf(1)) };
  });
}
