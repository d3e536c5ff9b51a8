import { performance } from 'node:perf_hooks';
import { describe, expect, it } from 'vitest';
import { FormatError } from '../../../src/base/errors.ts';
import { readImu } from '../../../src/imu/readImu.ts';
import type { ImuRecording, NamedBytes } from '../../../src/imu/types.ts';
import { createRandom, type Random } from '../../../src/numeric/random.ts';
import { bidsFiles, latin1, named, utf16 } from '../../support/imuFiles.ts';

const LONG = Array.from({ length: 12 }, (_, i) => `${i * 0.01},${i % 2 === 0 ? 'hip' : 'wrist'},${i},-${i}.25,1e-3`);

const ORIGINALS: readonly (readonly NamedBytes[])[] = [
  [named('a.csv', `# made\ntime_s [s],sensor,gx,gy,gz\n${LONG.join('\n')}\n`)],
  [named('a.txt', `t;x;y\ns;deg/s;g\n${LONG.map((_, i) => `${i},5;"1,25";n/a`).join('\r\n')}`)],
  [{ path: 'a.tsv', bytes: utf16('t\tx\ty\n0\t1\t2\n1\t2\t3\n2\t3\t4\n', false, true) }],
  [{ path: 'a.csv', bytes: latin1('t x y\n0 1 H\xfcfte\n1 2 H\xfcfte\n2 3 Arm\n') }, named('b.csv', 't,x\n0,1\n1,2\n')],
  [
    ...bidsFiles(),
    named('sub-01/motion/sub-01_events.tsv', 'onset\tduration\ttrial_type\n0.1\t0\timpact\n'),
    named(
      'task-swing_channels.json',
      '{"reference_frame":{"Levels":{"global":{"SpatialAxes":"ALS","RotationOrder":"ZXY","RotationRule":"right-hand"}}}}',
    ),
  ],
];

const BYTES = [0, 9, 10, 13, 32, 34, 35, 44, 45, 46, 48, 57, 59, 69, 101, 110, 123, 125, 127, 128, 0xef, 0xfe, 0xff];

function damaged(bytes: Uint8Array, random: Random): Uint8Array {
  let out = Uint8Array.from(bytes);
  const at = random.int(out.length + 1);
  const byte = BYTES[random.int(BYTES.length)]!;
  const length = random.int(24);
  switch (random.int(8)) {
    case 0:
      out[at] = byte;
      break;
    case 1:
      out[at] = (out[at] ?? 0) ^ (1 << random.int(8));
      break;
    case 2:
      out = out.slice(0, at);
      break;
    case 3:
      out.fill(byte, at, at + length);
      break;
    case 4:
      out.copyWithin(at, random.int(out.length + 1), random.int(out.length + 1));
      break;
    case 5:
      out = Uint8Array.from([...out.subarray(0, at), ...out.subarray(at + length)]);
      break;
    case 6:
      out = Uint8Array.from([...out.subarray(0, at), ...Array<number>(length).fill(byte), ...out.subarray(at)]);
      break;
    default:
      out = Uint8Array.from([...out, ...out.subarray(at)]);
  }
  return out;
}

function check(recording: ImuRecording, size: number): void {
  for (const { columns, units, rows, values, words } of recording.tables) {
    expect(units.length).toBe(columns.length);
    expect(values.length).toBe(rows * columns.length);
    expect(rows).toBeGreaterThan(0);
    expect(values.length).toBeLessThanOrEqual(size + columns.length);
    expect(values.every((value) => Number.isFinite(value) || Number.isNaN(value))).toBe(true);
    for (const list of words) {
      expect(list.index.length).toBe(rows);
      expect(list.index.every((index) => index >= -1 && index < list.words.length)).toBe(true);
    }
  }
}

describe('damaged files', () => {
  it('3,000 seeded damages: read into a sound recording or refused with FormatError, nothing else', () => {
    const random = createRandom(44);
    let read = 0;
    let refused = 0;
    for (let i = 0; i < 3000; i++) {
      let files = ORIGINALS[i % ORIGINALS.length]!;
      for (let n = 1 + random.int(4); n > 0; n--) {
        const which = random.int(files.length);
        files = files.map((file, k) => (k === which ? { path: file.path, bytes: damaged(file.bytes, random) } : file));
      }
      const before = files.map(({ bytes }) => Buffer.from(bytes).toString('hex'));
      try {
        const recording = readImu(files);
        read += 1;
        check(
          recording,
          files.reduce((sum, { bytes }) => sum + bytes.length, 0),
        );
      } catch (error) {
        if (!(error instanceof FormatError)) {
          const shown = files.map(({ path, bytes }) => `${path}: ${Buffer.from(bytes).toString('latin1')}`).join('\n');
          throw new Error(`case ${i} threw ${String(error)} on\n${shown}`, { cause: error });
        }
        refused += 1;
        expect(error.problem.found).not.toBe('');
        expect(error.problem.wayOut).not.toBe('');
      }
      expect(files.map(({ bytes }) => Buffer.from(bytes).toString('hex'))).toEqual(before);
    }
    // Both ways are taken often, or the damages prove nothing.
    expect(read).toBeGreaterThan(1000);
    expect(refused).toBeGreaterThan(500);
  });

  it.each<[string, () => Uint8Array]>([
    [
      'a million line ends under a wide header',
      () => latin1(`${'c,'.repeat(2000)}c\n${'1,'.repeat(2000)}1\n${'\n'.repeat(1_000_000)}`),
    ],
    ['a hundred thousand columns', () => latin1(`${'1,'.repeat(100_000)}1\n`.repeat(3))],
    ['a million quotes', () => latin1(`t,a\n0,1\n1,2\n2,${'"'.repeat(900_000)}\n`)],
    ['a number of a million digits', () => latin1(`t,a\n0,1\n1,2\n2,${'7'.repeat(900_000)}x\n`)],
    ['cells of digits that are no numbers', () => latin1(`t,a\n${`0,${'1'.repeat(50_000)}x\n`.repeat(18)}`)],
    [
      '200,000 different words',
      () => latin1(`t,w\n${Array.from({ length: 200_000 }, (_, i) => `${i},w${i}`).join('\n')}`),
    ],
    ['blanks without end', () => latin1(`t a\n0 1\n1 2${' '.repeat(900_000)}\n2 3\n`)],
    ['random bytes', () => Uint8Array.from({ length: 500_000 }, (_, i) => (i * 7919 + (i >> 3)) & 255)],
    ['deep JSON', () => latin1(`${'['.repeat(300_000)}`)],
  ])('%s: done in seconds', (name, make) => {
    const bytes = make();
    const files = name === 'deep JSON' ? bidsFiles() : [{ path: 'a.csv', bytes }];
    if (name === 'deep JSON') files[2] = { path: files[2]!.path, bytes };
    const start = performance.now();
    try {
      check(readImu(files), bytes.length);
    } catch (error) {
      expect(error).toBeInstanceOf(FormatError);
    }
    expect(performance.now() - start).toBeLessThan(20_000);
  });
});
