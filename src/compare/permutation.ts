import { createRandom } from '../numeric/random.ts';

/** Permutation p of a difference of means: a check beside the verdict, not the verdict. */

/** From this many splits on they are sampled. */
const MOST_SPLITS = 200_000;

/** Splits whose difference equals the observed one up to the rounding of the sums count as equal; relative to the sum of sizes. */
const TIE = 1e-12;

export interface PermutationResult {
  /** Share of splits whose |difference| is at least the observed one; sampled: (1 + count) / (1 + samples). */
  readonly p: number;
  /** Splits at least as extreme, and all splits looked at. */
  readonly count: number;
  /** Those of them whose difference has the sign of the observed one: the one-sided test. Of no meaning where that is 0. */
  readonly upper: number;
  readonly total: number;
  readonly exact: boolean;
}

/** Binomial coefficient; exact below 2⁵³. */
export function choose(n: number, k: number): number {
  let out = 1;
  for (let i = 1; i <= Math.min(k, n - k); i++) out = (out * (n - Math.min(k, n - k) + i)) / i;
  return Math.round(out);
}

/** The splits of a shape (n₁ against n₂ values), made once and used for every row of that shape. */
export interface PermutationPlan {
  readonly n: number;
  /** Values on the smaller side. */
  readonly size: number;
  readonly exact: boolean;
  /** Sampled only: marks of the smaller side, `chunks` of eight values a split; value i is bit i mod 8 of chunk ⌊i / 8⌋. */
  readonly masks: Uint8Array;
  readonly chunks: number;
  readonly samples: number;
  /** Exact only: subset sums of the two halves, ascending by subset size; scratch, overwritten by each use. */
  readonly lists: readonly [SumLists, SumLists];
}

/** Every split where there are fewer than 200,000, else `samples` seeded random ones. */
export function permutationPlan(n1: number, n2: number, seed: number, samples: number): PermutationPlan {
  const n = n1 + n2;
  const size = Math.min(n1, n2);
  const half = n >> 1;
  const exact = choose(n, size) < MOST_SPLITS;
  const lists: [SumLists, SumLists] = [sumLists(exact ? half : 0, size), sumLists(exact ? n - half : 0, size)];
  if (exact) return { n, size, exact, masks: new Uint8Array(0), chunks: 0, samples: 0, lists };
  const random = createRandom(seed);
  const deck = new Uint16Array(n);
  for (let i = 0; i < n; i++) deck[i] = i;
  const chunks = Math.ceil(n / 8);
  const masks = new Uint8Array(samples * chunks);
  for (let s = 0; s < samples; s++) {
    for (let i = 0; i < size; i++) {
      const j = i + random.int(n - i);
      const taken = deck[j]!;
      deck[j] = deck[i]!;
      deck[i] = taken;
      masks[s * chunks + (taken >> 3)]! |= 1 << (taken & 7);
    }
  }
  return { n, size, exact, masks, chunks, samples, lists };
}

/** Sums of all subsets of one half by subset size, each list ascending; a second set to merge into. */
interface SumLists {
  readonly n: number;
  readonly most: number;
  readonly now: readonly Float64Array[];
  readonly next: readonly Float64Array[];
  readonly lengths: Uint32Array;
}

function sumLists(n: number, size: number): SumLists {
  const most = Math.min(n, size);
  const make = (): Float64Array[] => Array.from({ length: most + 1 }, (_, j) => new Float64Array(choose(n, j)));
  return { n, most, now: make(), next: make(), lengths: new Uint32Array(most + 1) };
}

/** Fills the lists with the subset sums of `x[from, from + n)`: each element merges the list of one size with the shifted list below it. */
function fillSums(lists: SumLists, x: Float64Array, from: number): void {
  const { n, most, now, next, lengths } = lists;
  lengths.fill(0);
  now[0]![0] = 0;
  lengths[0] = 1;
  for (let i = 0; i < n; i++) {
    const add = x[from + i]!;
    for (let j = Math.min(most, i + 1); j >= 1; j--) {
      const without = now[j]!;
      const withIt = now[j - 1]!;
      const merged = next[j]!;
      const a = lengths[j]!;
      const b = lengths[j - 1]!;
      let p = 0;
      let q = 0;
      for (let k = 0; k < a + b; k++) {
        if (q >= b || (p < a && without[p]! <= withIt[q]! + add)) merged[k] = without[p++]!;
        else merged[k] = withIt[q++]! + add;
      }
      without.set(merged.subarray(0, a + b));
      lengths[j] = a + b;
    }
  }
}

/** Pairs (one sum of each list) whose total is at least `limit`. */
function pairsAbove(a: Float64Array, na: number, b: Float64Array, nb: number, limit: number): number {
  let count = 0;
  let q = nb;
  for (let p = 0; p < na; p++) {
    while (q > 0 && a[p]! + b[q - 1]! >= limit) q -= 1;
    count += nb - q;
  }
  return count;
}

/** Pairs whose total is at most `limit`. */
function pairsBelow(a: Float64Array, na: number, b: Float64Array, nb: number, limit: number): number {
  let count = 0;
  let q = nb;
  for (let p = 0; p < na; p++) {
    while (q > 0 && a[p]! + b[q - 1]! > limit) q -= 1;
    count += q;
  }
  return count;
}

/**
 * Two-sided permutation test of the difference of means of `x[0, n1)` and `x[n1, n)`; the values must not be NaN and n must be the plan's.
 * Subset sums of the two halves are merged in ascending order and paired, so every split is counted without being visited.
 */
export function permutationTest(x: Float64Array, n1: number, plan: PermutationPlan): PermutationResult {
  const { n, size } = plan;
  if (x.length !== n) throw new RangeError(`the plan is for ${n} values, not ${x.length}`);
  let sum = 0;
  for (let i = 0; i < n; i++) sum += x[i]!;
  const centre = sum / n;
  const centred = new Float64Array(n);
  let scale = 0;
  for (let i = 0; i < n; i++) {
    centred[i] = x[i]! - centre;
    scale += Math.abs(centred[i]!);
  }
  // With the grand mean removed the difference of means is the sum of one side times 1/n₁ + 1/n₂.
  const firstIsSmall = n1 === size;
  let observed = 0;
  for (let i = firstIsSmall ? 0 : n1; i < (firstIsSmall ? n1 : n); i++) observed += centred[i]!;
  const limit = Math.abs(observed) - TIE * scale;
  if (!plan.exact) return sampled(centred, plan, limit, observed);
  const [one, two] = plan.lists;
  fillSums(one, centred, 0);
  fillSums(two, centred, one.n);
  let above = 0;
  let below = 0;
  for (let j = 0; j <= size; j++) {
    if (j > one.most || size - j > two.most) continue;
    const a = one.now[j]!;
    const b = two.now[size - j]!;
    above += pairsAbove(a, one.lengths[j]!, b, two.lengths[size - j]!, limit);
    below += pairsBelow(a, one.lengths[j]!, b, two.lengths[size - j]!, -limit);
  }
  const total = choose(n, size);
  const count = limit <= 0 ? total : above + below;
  return { p: count / total, count, upper: observed < 0 ? below : above, total, exact: true };
}

/** Sums of every choice among eight values, chunk after chunk, so that a split costs one addition for eight values. */
function chunkSums(x: Float64Array, chunks: number): Float64Array {
  const sums = new Float64Array(256 * chunks);
  for (let chunk = 0; chunk < chunks; chunk++) {
    const at = 256 * chunk;
    for (let bit = 128; bit > 0; bit >>= 1) {
      const value = x[8 * chunk + 31 - Math.clz32(bit)] ?? 0;
      for (let higher = at; higher < at + 256; higher += 2 * bit) sums[higher + bit] = sums[higher]! + value;
    }
  }
  return sums;
}

/** Sums of the splits, in their order, and perhaps one more. Two splits side by side: alone, an addition waits for the one before it. */
function splitSums(sums: Float64Array, { masks, chunks, samples }: PermutationPlan): Float64Array {
  const out = new Float64Array(samples + (samples & 1));
  const end = 256 * chunks;
  for (let s = 0; s < samples; s += 2) {
    let one = s * chunks;
    // of an odd number the last is worked out twice
    let two = Math.min(s + 1, samples - 1) * chunks;
    let a = 0;
    let b = 0;
    for (let at = 0; at < end; at += 256) {
      a += sums[at + masks[one++]!]!;
      b += sums[at + masks[two++]!]!;
    }
    out[s] = a;
    out[s + 1] = b;
  }
  return out;
}

function sampled(x: Float64Array, plan: PermutationPlan, limit: number, observed: number): PermutationResult {
  const { chunks, samples } = plan;
  let above = 0;
  let below = 0;
  const sums = splitSums(chunkSums(x, chunks), plan);
  for (let s = 0; s < samples; s++) {
    if (sums[s]! >= limit) above += 1;
    else if (sums[s]! <= -limit) below += 1;
  }
  const count = above + below;
  return { p: (1 + count) / (1 + samples), count, upper: observed < 0 ? below : above, total: samples, exact: false };
}
