/** Reading tables of sensors as text beside a plain split and Number() of the same bytes. */
import { performance } from 'node:perf_hooks';
import { readImu } from '../src/imu/readImu.ts';
import { createRandom } from '../src/numeric/random.ts';

const ROWS = 20_000;
const COLUMNS = 13;

/** Time, then numbers as a logger writes them, `decimals` behind the point. */
function table(decimals: number, delimiter: string, words: boolean): Uint8Array {
  const random = createRandom(1);
  const lines = [Array.from({ length: COLUMNS }, (_, c) => `name_${c}`).join(delimiter)];
  for (let row = 0; row < ROWS; row++) {
    const cells = [(row / 200).toFixed(3)];
    for (let c = 1; c < COLUMNS; c++) cells.push((20 * random.normal()).toFixed(decimals));
    if (words) cells[1] = row % 2 === 0 ? 'pelvis' : 'thorax';
    lines.push(cells.join(delimiter));
  }
  return new TextEncoder().encode(`${lines.join('\n')}\n`);
}

function splitAndNumber(bytes: Uint8Array, delimiter: string): Float64Array {
  const lines = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('latin1').trimEnd().split('\n');
  const rows = lines.length - 1;
  const out = new Float64Array(rows * COLUMNS);
  for (let row = 0; row < rows; row++) {
    const cells = lines[row + 1]!.split(delimiter);
    for (let c = 0; c < COLUMNS; c++) out[c * rows + row] = Number(cells[c]);
  }
  return out;
}

export interface TextRow {
  readonly name: string;
  readonly median_ms: number;
  /** Against the first row. */
  readonly ratio: number;
  readonly MB_per_s: number;
}

/** Interleaved runs, so that noise of the machine meets all alike; medians of `runs`. */
export function benchText(runs = 21): TextRow[] {
  const short = table(5, ',', false);
  const long = table(17, '\t', false);
  const words = table(5, ',', true);
  const read = (bytes: Uint8Array) => readImu([{ path: 'a.csv', bytes }]);
  const tasks: [string, Uint8Array, () => unknown][] = [
    ['plain split and Number(), 5 decimals', short, () => splitAndNumber(short, ',')],
    ['read, 5 decimals', short, () => read(short)],
    ['read, 5 decimals and a column of words', words, () => read(words)],
    ['plain split and Number(), 17 decimals', long, () => splitAndNumber(long, '\t')],
    ['read, 17 decimals', long, () => read(long)],
  ];
  const times = tasks.map((): number[] => []);
  for (let run = -5; run < runs; run += 1) {
    tasks.forEach(([, , task], i) => {
      const start = performance.now();
      task();
      if (run >= 0) times[i]!.push(performance.now() - start);
    });
  }
  const medians = times.map((list) => list.sort((a, b) => a - b)[list.length >> 1]!);
  return tasks.map(([name, bytes], i) => ({
    name,
    median_ms: medians[i]!,
    ratio: medians[i]! / medians[0]!,
    MB_per_s: bytes.length / medians[i]! / 1000,
  }));
}
