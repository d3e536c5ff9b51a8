import { compareRecords } from '../src/compare/compareRecords.ts';
import { testCurves } from '../src/compare/curveTest.ts';
import { splitLabellings } from '../src/compare/labellings.ts';
import { DEFAULT_COMPARE } from '../src/model/dayPlan.ts';
import { createRandom } from '../src/numeric/random.ts';
import { median } from '../src/numeric/statistics.ts';
import { clubPlan } from '../tests/support/plans.ts';
import { smoothCurve } from '../tests/support/smoothCurves.ts';
import { fullDay } from '../tests/support/swingRecords.ts';
import { benchAnalyse } from './analyse.ts';

interface Measured {
  readonly name: string;
  readonly median_ms: number;
  /** The least of all runs: what is left where other programs share the cores. */
  readonly least_ms: number;
}

/**
 * The arithmetic of the curve test with nothing clever about it: sums of the chosen rows and of their squares, Welch's t² of every step,
 * the largest, and the two variances summed over the steps.
 */
function plainPermutations(
  curves: Float64Array,
  n: number,
  n1: number,
  steps: number,
  places: Uint16Array,
): Float64Array {
  const n2 = n - n1;
  const count = places.length / n1;
  const scaled = new Float64Array(n * steps);
  for (let k = 0; k < steps; k++) {
    let mean = 0;
    let squares = 0;
    for (let c = 0; c < n; c++) mean += curves[c * steps + k]! / n;
    for (let c = 0; c < n; c++) squares += (curves[c * steps + k]! - mean) * (curves[c * steps + k]! - mean);
    for (let c = 0; c < n; c++) scaled[c * steps + k] = (curves[c * steps + k]! - mean) / Math.sqrt(squares);
  }
  const sum = new Float64Array(steps);
  const own = new Float64Array(steps);
  const out = new Float64Array(count);
  for (let p = 0; p < count; p++) {
    sum.fill(0);
    own.fill(0);
    for (let i = 0; i < n1; i++) {
      const row = places[p * n1 + i]! * steps;
      for (let k = 0; k < steps; k++) {
        const x = scaled[row + k]!;
        sum[k]! += x;
        own[k]! += x * x;
      }
    }
    let largest = 0;
    let v1 = 0;
    let v2 = 0;
    for (let k = 0; k < steps; k++) {
      const s = sum[k]!;
      const a = (own[k]! - (s * s) / n1) / (n1 * (n1 - 1));
      const b = (1 - own[k]! - (s * s) / n2) / (n2 * (n2 - 1));
      const t2 = (s * (1 / n1 + 1 / n2) * s * (1 / n1 + 1 / n2)) / (a + b);
      if (t2 > largest) largest = t2;
      v1 += a;
      v2 += b;
    }
    const df = ((v1 + v2) * (v1 + v2)) / ((v1 * v1) / (n1 - 1) + (v2 * v2) / (n2 - 1));
    const shrink = (8 * df + 1) / (8 * df + 3);
    out[p] = shrink * shrink * df * Math.log1p(largest / df);
  }
  return out;
}

/** 10,000 permutations of 10 + 10 curves of 101 steps: the program's test, and a plain loop over the same permutations beside it, run in turn. */
function benchCurves(): Measured[] {
  const [n1, n, steps, samples] = [10, 20, 101, 9_999];
  const random = createRandom(2);
  const curves = Array.from({ length: n }, () => smoothCurve(random, steps, 20));
  const flat = new Float64Array(n * steps);
  for (const [c, curve] of curves.entries()) flat.set(curve, c * steps);
  const labels = splitLabellings(n1, n - n1, 1, samples);
  const places = new Uint16Array((samples + 1) * n1);
  let at = 0;
  for (let l = 0; l < labels.count; l++) {
    for (let c = 0; c < n; c++) {
      if ((labels.masks[l * labels.chunks + Math.floor(c / labels.width)]! >> (c % labels.width)) & 1) places[at++] = c;
    }
  }
  const ours: number[] = [];
  const plain: number[] = [];
  for (let run = 0; run < 25; run++) {
    const start = performance.now();
    testCurves(curves, n1, labels);
    const between = performance.now();
    plainPermutations(flat, n, n1, steps, places);
    const end = performance.now();
    if (run < 5) continue;
    ours.push(between - start);
    plain.push(end - between);
  }
  const drawing: number[] = [];
  for (let run = 0; run < 9; run++) {
    const start = performance.now();
    splitLabellings(n1, n - n1, 1, samples);
    drawing.push(performance.now() - start);
  }
  return [
    {
      name: '10,000 permutations of 10 + 10 curves of 101 steps',
      median_ms: median(ours),
      least_ms: Math.min(...ours),
    },
    { name: 'the same by a plain loop', median_ms: median(plain), least_ms: Math.min(...plain) },
    {
      name: 'drawing the permutations, once for all curves',
      median_ms: median(drawing),
      least_ms: Math.min(...drawing),
    },
  ];
}

/** One player's comparison, all quantities and positions, some departing; beside it half of the analysis of as many trials. */
export async function benchCompare(): Promise<readonly Measured[]> {
  const plan = { player: { id: 'wren', hand: 'right' as const }, clubs: [clubPlan()], options: DEFAULT_COMPARE };
  const players = [
    [8, 8],
    [10, 10],
    [20, 20],
  ].map(([nDriver, nIrons]) => {
    const shift = (quantity: string): number => (quantity.includes('bend') ? 8 : 0);
    const records = fullDay(createRandom(1), nDriver!, nIrons!, 2, shift);
    const times: number[] = [];
    for (let run = 0; run < 20; run++) {
      const start = performance.now();
      compareRecords(records, plan);
      if (run >= 5) times.push(performance.now() - start);
    }
    return { name: `compare ${nDriver} + ${nIrons} swings`, median_ms: median(times), least_ms: Math.min(...times) };
  });
  const trial = benchAnalyse(31).find(({ name }) => name.includes('whole'))!;
  return [
    ...benchCurves(),
    ...players,
    {
      name: 'half of the analysis of 40 trials of 60 markers × 1200 frames',
      median_ms: 20 * trial.median_ms,
      least_ms: 20 * trial.least_ms,
    },
  ];
}
