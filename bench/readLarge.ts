/** A 96 MB file on disk: a selection and a walk beside reading its bytes, and the memory of the walk. */
import { spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, readFileSync, readSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { readC3d } from '../src/c3d/readC3d.ts';
import { rewriteSource } from '../src/c3d/rewriteC3d.ts';
import type { ByteSource } from '../src/c3d/types.ts';
import { walkC3d } from '../src/c3d/walkC3d.ts';
import { buildC3d, floats } from '../tests/support/c3dBuilder.ts';
import { type BenchRow, rowsOf } from './read.ts';

const FRAME_BYTES = 60 * 16 + 8 * 4 * 4;
const UNIT = 512;
const FRAMES = Math.ceil(96_000_000 / FRAME_BYTES / UNIT) * UNIT;

/** 512 built frames, a whole number of blocks, over and over. */
function makeFile(path: string): void {
  const bytes = buildC3d({
    points: 60,
    frames: UNIT,
    channels: 8,
    samplesPerFrame: 4,
    words: { 5: 65535 },
    fields: { 'POINT:FRAMES': floats(65535), 'POINT:LONG_FRAMES': floats(FRAMES) },
  });
  const data = bytes.subarray(bytes.length - UNIT * FRAME_BYTES);
  const file = openSync(path, 'w');
  writeSync(file, bytes.subarray(0, bytes.length - data.length));
  for (let frame = 0; frame < FRAMES; frame += UNIT) writeSync(file, data);
  closeSync(file);
}

function diskSource(file: number, size: number): ByteSource {
  return { size, read: (offset, length, into) => readSync(file, into, 0, length, offset) };
}

function rewriteAll(source: ByteSource): number {
  let bytes = 0;
  for (const piece of rewriteSource(source, () => ({ processor: 'mips' })).chunks()) bytes += piece.length;
  return bytes;
}

/** Peak memory of a process that loads the reader and walks the file, or only loads it, in MB. */
function peak(path: string, size: number, walk: boolean): number {
  const code = `
    import { openSync, readFileSync, readSync } from 'node:fs';
    import { walkC3d } from ${JSON.stringify(join(import.meta.dirname, '../src/c3d/walkC3d.js'))};
    const file = openSync(${JSON.stringify(path)}, 'r');
    if (${walk}) walkC3d({ size: ${size}, read: (at, n, into) => readSync(file, into, 0, n, at) }, { onBlock: () => {} });
    console.log(Number(/VmHWM:\\s+(\\d+)/.exec(readFileSync('/proc/self/status', 'utf8'))[1]) / 1024);`;
  const run = spawnSync(process.execPath, ['--input-type=module', '-e', code], { encoding: 'utf8' });
  return Number(run.stdout);
}

export function benchLarge(runs = 5): (BenchRow | { readonly name: string; readonly peak_MB: number })[] {
  const folder = mkdtempSync(join(tmpdir(), 'c3d-bench-'));
  const path = join(folder, 'large.c3d');
  try {
    makeFile(path);
    const file = openSync(path, 'r');
    const size = readFileSync(path).length;
    const source = diskSource(file, size);
    const buffer = new Uint8Array(256 * 1024);
    const tasks: [string, () => unknown][] = [
      ['bytes of the file, whole', () => readFileSync(path)],
      [
        'bytes of the file, into one buffer',
        () => {
          for (let at = 0; at < size; at += buffer.length) readSync(file, buffer, 0, buffer.length, at);
        },
      ],
      ['read all', () => readC3d(source)],
      [
        'read 10 of 60 points',
        () => readC3d(source, { select: { points: [0, 6, 12, 18, 24, 30, 36, 42, 48, 54], analog: false } }),
      ],
      ['walk all', () => walkC3d(source, { onBlock: () => {} })],
      ['rewrite as MIPS floats, block by block', () => rewriteAll(source)],
    ];
    const times = tasks.map((): number[] => []);
    for (let run = -1; run < runs; run += 1) {
      tasks.forEach(([, task], i) => {
        const start = performance.now();
        task();
        if (run >= 0) times[i]!.push(performance.now() - start);
      });
    }
    closeSync(file);
    const names = tasks.map(([name]) => name);
    return [
      ...rowsOf(names, times),
      { name: 'a process that loads the reader from source and walks', peak_MB: peak(path, size, true) },
      { name: 'a process that only loads it', peak_MB: peak(path, size, false) },
    ];
  } finally {
    rmSync(folder, { recursive: true });
  }
}
