/** Reading one swing trial (60 points × 1200 frames, 8 analog channels × 4, float) beside plain passes over the same bytes. */
import { performance } from 'node:perf_hooks';
import { bytesSource, readC3d } from '../src/c3d/readC3d.ts';
import { bytesOf, rewriteSource } from '../src/c3d/rewriteC3d.ts';
import type { Processor } from '../src/c3d/types.ts';
import { buildC3d } from '../tests/support/c3dBuilder.ts';

export interface BenchRow {
  readonly name: string;
  readonly median_ms: number;
  /** Least of all runs: what is left where other work disturbs the machine. */
  readonly least_ms: number;
  /** Median and least against those of the first row, the anchor, measured in turn with it. */
  readonly ratio: number;
  readonly ratio_least: number;
}

const POINTS = 60;
const FRAMES = 1200;

function trial(form: 'float' | 'integer', processor: Processor = 'intel'): Uint8Array {
  return buildC3d({
    processor,
    form,
    points: POINTS,
    frames: FRAMES,
    rate_Hz: 240,
    channels: 8,
    samplesPerFrame: 4,
    point: (p, f) => [p * 20 + (f % 97), p - (f % 31), 900 + (f % 53), 0],
    analog: (c, s, f) => c * 10 + s + (f % 7),
  });
}

/** Every 4-byte word of the data section read once as a float and added up: the least any reader does. */
function sumPass(words: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < words.length; i += 1) sum += words[i]!;
  return sum;
}

/** The same words put into columns, without a header, checks or word 4: what a reader of one byte order would do at best. */
function columnPass(words: Float32Array, out: Float64Array, perFrame: number): number {
  const frames = words.length / perFrame;
  for (let c = 0; c < perFrame; c += 1) {
    for (let f = 0; f < frames; f += 1) out[c * frames + f] = words[f * perFrame + c]!;
  }
  return out[out.length - 1]!;
}

/** Rows of tasks from their times; the first is the anchor. */
export function rowsOf(names: readonly string[], times: readonly number[][]): BenchRow[] {
  const sorted = times.map((one) => [...one].sort((a, b) => a - b));
  const at = (i: number, place: number): number => sorted[i]![place]!;
  const middle = sorted[0]!.length >> 1;
  return names.map((name, i) => ({
    name,
    median_ms: at(i, middle),
    least_ms: at(i, 0),
    ratio: at(i, middle) / at(0, middle),
    ratio_least: at(i, 0) / at(0, 0),
  }));
}

type Task = readonly [string, () => unknown];

export function benchRead(runs = 101): BenchRow[] {
  const floatBytes = trial('float');
  const integerBytes = trial('integer');
  const mips = trial('float', 'mips');
  const dec = trial('float', 'dec');
  const mipsInteger = trial('integer', 'mips');
  const perFrame = 4 * POINTS + 32;
  const words = new Float32Array(perFrame * FRAMES).map((_, i) => i % 1013);
  const columns = new Float64Array(words.length);
  const arrays = new Map<string, Float64Array | Int16Array>();
  let place = 0;
  const lend = <T extends Float64Array | Int16Array>(make: (n: number) => T, length: number): T => {
    const key = `${place++} ${length}`;
    const known = arrays.get(key);
    if (known) return known as T;
    const fresh = make(length);
    arrays.set(key, fresh);
    return fresh;
  };
  const memory = {
    float64: (n: number) => lend((length) => new Float64Array(length), n),
    int16: (n: number) => lend((length) => new Int16Array(length), n),
  };
  const read = (bytes: Uint8Array, reuse: boolean): void => {
    place = 0;
    readC3d(bytesSource(bytes), reuse ? { memory } : {});
  };
  const anchor: Task = ['plain pass: sum of all words', () => sumPass(words)];
  const reading: Task[] = [
    ['plain pass: words into columns', () => columnPass(words, columns, perFrame)],
    ['read float trial, lent memory', () => read(floatBytes, true)],
    ['read float trial, fresh memory', () => read(floatBytes, false)],
    ['read integer trial, lent memory', () => read(integerBytes, true)],
    ['read float trial MIPS, lent memory', () => read(mips, true)],
    ['read float trial DEC, lent memory', () => read(dec, true)],
    ['read integer trial MIPS, lent memory', () => read(mipsInteger, true)],
  ];
  const rewriting: Task[] = [
    [
      'rewrite float trial as MIPS floats',
      () => bytesOf(rewriteSource(bytesSource(floatBytes), () => ({ processor: 'mips' }))),
    ],
    [
      'rewrite float trial as integers',
      () => bytesOf(rewriteSource(bytesSource(floatBytes), () => ({ form: 'integer' }))),
    ],
  ];
  return [...interleaved([anchor, ...reading], runs), ...interleaved([anchor, ...rewriting], runs).slice(1)];
}

/** Every task in turn, so that noise of the machine meets all alike; the first is the anchor. */
function interleaved(tasks: readonly Task[], runs: number): BenchRow[] {
  const times = tasks.map((): number[] => []);
  for (let run = -20; run < runs; run += 1) {
    tasks.forEach(([, task], i) => {
      const start = performance.now();
      task();
      if (run >= 0) times[i]!.push(performance.now() - start);
    });
  }
  return rowsOf(
    tasks.map(([name]) => name),
    times,
  );
}
