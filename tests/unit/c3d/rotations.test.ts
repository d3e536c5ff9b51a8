// The ROTATION group. Source of its form: check-values.md E22, E23 and an open file whose bodies keep their lengths only when columns are
// read as axes (tests/open-data/rotations.test.ts); that its numbers are floats in integer files too is from memory.
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import type { C3dRotations } from '../../../src/c3d/types.ts';
import { walkC3d } from '../../../src/c3d/walkC3d.ts';
import { type BuildSpec, buildC3d, floats, ints, texts } from '../../support/c3dBuilder.ts';
import { ENCODINGS, expectSame, rewriteAndRead } from '../../support/c3dRewriteChecks.ts';
import { codes, problemOf, read } from './helpers.ts';

const SPEC: BuildSpec = { points: 2, frames: 6, rotations: 3, channels: 1, samplesPerFrame: 2 };

/** Row-major matrix, position and reliability of one sample. */
function pose(r: C3dRotations, rotation: number, frame: number): number[][] {
  const at = rotation * r.frames + frame;
  return [
    [...r.matrices.subarray(9 * at, 9 * at + 9)],
    [...r.translations.subarray(3 * at, 3 * at + 3)],
    [r.reliability[at]!],
  ];
}

/** A stored sample: the identity at the origin with its 17 numbers changed. */
const IDENTITY = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0];
function but(changes: Readonly<Record<number, number>>): readonly number[] {
  return IDENTITY.map((value, i) => changes[i] ?? value);
}

describe('rotation matrices', () => {
  it.each(ENCODINGS)(
    '$processor $form: a matrix is stored column after column, the position in its fourth',
    (encoding) => {
      const c = read({ ...SPEC, ...encoding });
      const r = c.rotationData!;
      expect([r.labels, r.rate_Hz, r.samplesPerFrame, r.frames, c.rotations]).toEqual([
        ['R1', 'R2', 'R3'],
        100,
        1,
        6,
        3,
      ]);
      // Built as 0.8, ±0.6, 0, 0, ∓0.6, 0.8 …: x axis (0.8, ±0.6, 0), position (rotation, sample, −rotation).
      const [f8, f6] = [Math.fround(0.8), Math.fround(0.6)];
      expect(pose(r, 2, 4)).toEqual([[f8, -f6, 0, f6, f8, 0, 0, 0, 1], [2, 4, -2], [0.5]]);
      expect(pose(r, 0, 5)).toEqual([[f8, f6, 0, -f6, f8, 0, 0, 0, 1], [0, 5, 0], [0]]);
      expect(codes(c)).toEqual([]);
    },
  );

  it('RATIO 4: four samples of all rotations a frame, one track each, at four times the frame rate', () => {
    const spec: BuildSpec = { ...SPEC, rotationSamples: 4, rotation: (r, s) => but({ 12: 100 * r + s }) };
    const r = read(spec).rotationData!;
    expect([r.frames, r.samplesPerFrame, r.rate_Hz]).toEqual([24, 4, 400]);
    expect([...r.translations].filter((_, i) => i % 3 === 0)).toEqual(
      [0, 100, 200].flatMap((start) => Array.from({ length: 24 }, (_, s) => start + s)),
    );
    const fields = { 'ROTATION:RATIO': null };
    expect(read({ ...spec, fields }).rotationData).toEqual(r);
    const none = read({ ...spec, fields: { ...fields, 'ROTATION:RATE': null } });
    expect([none.rotationData!.frames, none.rotationData!.rate_Hz]).toEqual([6, 100]);
    const other = read({ ...spec, fields: { 'ROTATION:RATE': floats(300) } });
    expect([other.rotationData!.rate_Hz, codes(other)]).toEqual([400, ['rotation-rate-disagrees']]);
  });

  it('a negative or unreadable reliability or a matrix that is no number makes a pose of NaN and a negative reliability', () => {
    const bad = [
      but({ 16: -1 }),
      but({ 16: -0.5 }),
      but({ 16: Number.NaN }),
      but({ 5: Number.NaN }),
      but({ 13: Infinity }),
    ];
    const c = read({ ...SPEC, rotations: 1, rotation: (_, s) => bad[s] ?? but({ 16: 7 }) });
    expect([...c.rotationData!.reliability]).toEqual([-1, -0.5, -1, -1, -1, 7]);
    const numbers = (values: Float64Array, n: number) => Array.from({ length: 6 }, (_, f) => values[n * f]);
    expect(numbers(c.rotationData!.matrices, 9)).toEqual([...Array(5).fill(Number.NaN), 1]);
    expect(numbers(c.rotationData!.translations, 3)).toEqual([...Array(5).fill(Number.NaN), 0]);
    expect(codes(c)).toEqual([]);
  });

  it('matrices that are no rotations are given as stored and told: stretched, skewed, mirrored', () => {
    const bad = [but({ 0: 1.01 }), but({ 4: 0.1 }), but({ 10: -1 }), but({ 0: 1.0001 })];
    const c = read({ ...SPEC, rotations: 1, rotation: (_, s) => bad[s] ?? IDENTITY });
    expect(c.rotationData!.matrices[0]).toBe(Math.fround(1.01));
    expect(c.diagnostics.map((d) => d.message)).toEqual(['3 matrices are no rotations, some are left-handed']);
    expect(codes(c)).toEqual(['rotation-not-orthonormal']);
    expect(problemOf(() => read({ ...SPEC, rotation: () => but({ 0: 1.01 }) }, true)).code).toBe(
      'rotation-not-orthonormal',
    );
  });

  it('positions in the fourth row, as of matrices stored row by row, are told', () => {
    const c = read({ ...SPEC, rotations: 1, rotation: () => but({ 3: 5, 7: 6, 11: 0 }) });
    expect(codes(c)).toEqual(['rotation-fourth-row']);
  });

  it('labels beyond 255 are continued in LABELS2, those that are missing are blank', () => {
    const label = (i: number): string => `R${i + 1}`;
    const fields = { 'ROTATION:LABELS2': texts(Array.from({ length: 40 }, (_, i) => label(255 + i))) };
    const { labels } = read({ points: 1, frames: 2, rotations: 300, fields }).rotationData!;
    expect([labels.length, labels[254], labels[294], labels[295]]).toEqual([300, 'R255', 'R295', '']);
  });
});

describe('where the matrices lie', () => {
  it('a file of rotations alone: DATA_START holds, not the data block of the header; frames come from the bytes', () => {
    const spec: BuildSpec = { points: 0, frames: 40, rotations: 2 };
    const whole = read(spec);
    expect([whole.frames, whole.rotationData!.frames]).toEqual([40, 40]);
    const words = { 5: 200 };
    const more = read({ ...spec, words, fields: { 'POINT:FRAMES': ints(200) } });
    // 40 frames × 136 bytes are 11 blocks, which hold 41.
    expect([more.frames, codes(more).slice(0, 2)]).toEqual([41, ['no-points', 'frames-missing']]);
    const bytes = buildC3d(spec);
    const start = whole.groups.get('ROTATION')!.parameters.get('DATA_START')!.numbers[0]!;
    // A block put between the header's data block and the matrices.
    const moved = new Uint8Array(bytes.length + 512);
    moved.set(bytes.subarray(0, 512 * (start - 1)));
    moved.set(bytes.subarray(512 * (start - 1)), 512 * start);
    const patched = buildC3d({ ...spec, fields: { 'ROTATION:DATA_START': ints(start + 1) } });
    moved.set(patched.subarray(0, 512 * (start - 1)));
    const c = readC3d(bytesSource(moved));
    expect([c.header.dataBlock, c.rotationData, codes(c)]).toEqual([start, whole.rotationData, ['no-points']]);
  });

  it('without a usable DATA_START they are read after points and analog values, and that is told', () => {
    const whole = read(SPEC).rotationData!;
    for (const block of [0, 1, 30_000]) {
      const c = read({ ...SPEC, fields: { 'ROTATION:DATA_START': ints(block) } });
      expect([c.frames, c.rotationData, codes(c)]).toEqual([6, whole, ['rotation-start-unusable']]);
    }
  });

  it('a file that ends early keeps the samples that exist', () => {
    const c = read({ ...SPEC, cut: 17 * 4 * 3 * 2 + 1 });
    expect([c.frames, c.rotationData!.frames, codes(c)]).toEqual([6, 3, ['rotations-missing']]);
    expect(pose(c.rotationData!, 2, 2)).toEqual(pose(read(SPEC).rotationData!, 2, 2));
    const gone = read({ ...SPEC, cut: 17 * 4 * 3 * 6 });
    expect([gone.frames, gone.rotations, gone.rotationData]).toEqual([6, 3, null]);
  });

  it('65535 rotations with 65535 samples a frame in 2 kB take no memory', () => {
    const fields = { 'ROTATION:USED': ints(-1), 'ROTATION:RATIO': ints(-1) };
    const c = read({ ...SPEC, fields });
    expect([c.rotations, c.rotationData, c.frames]).toEqual([65535, null, 6]);
  });
});

describe('a selection', () => {
  const source = bytesSource(buildC3d({ ...SPEC, rotationSamples: 2 }));
  const all = readC3d(source).rotationData!;

  it('reads rotations only where it asks for them, by label or index, of its frames', () => {
    expect(readC3d(source, { select: { frames: [1, 3] } }).rotationData).toBeNull();
    const c = readC3d(source, { select: { points: [], analog: false, frames: [2, 5], rotations: ['R3', 0] } });
    const r = c.rotationData!;
    expect([r.labels, r.frames, c.selection!.rotations]).toEqual([['R3', 'R1'], 6, [2, 0]]);
    for (let s = 0; s < 6; s += 1)
      expect([pose(r, 0, s), pose(r, 1, s)]).toEqual([pose(all, 2, s + 4), pose(all, 0, s + 4)]);
    const absent = readC3d(source, { select: { rotations: ['R9'] } });
    expect([absent.rotationData, codes(absent)]).toEqual([null, ['selection-not-found']]);
    expect(readC3d(source, { select: { rotations: true } }).rotationData).toEqual(all);
  });
});

describe('walking in blocks', () => {
  it.each([
    ['rotations alone', { points: 0, frames: 9000, rotations: 2 }],
    ['points and rotations', { points: 3, frames: 5000, rotations: 2, rotationSamples: 3 }],
    ['rotations that end early', { points: 3, frames: 5000, rotations: 2, rotationSamples: 3, cut: 68 * 2 * 7001 }],
  ] as [string, BuildSpec][])('%s: the blocks put together are what reading at once gives', (_, spec) => {
    const source = bytesSource(buildC3d(spec));
    const select = { rotations: ['R2', 0], frames: [3, 8990] } as const;
    const once = readC3d(source, { select }).rotationData!;
    const tracks = [0, 1].map(() => ({
      matrices: [] as number[],
      translations: [] as number[],
      reliability: [] as number[],
    }));
    let blocks = 0;
    const head = walkC3d(source, {
      select,
      onBlock: ({ rotations }) => {
        blocks += 1;
        const { frames, matrices, translations, reliability } = rotations!;
        tracks.forEach((track, r) => {
          for (let i = 9 * r * frames; i < 9 * (r + 1) * frames; i += 1) track.matrices.push(matrices[i]!);
          for (let i = 3 * r * frames; i < 3 * (r + 1) * frames; i += 1) track.translations.push(translations[i]!);
          for (let i = r * frames; i < (r + 1) * frames; i += 1) track.reliability.push(reliability[i]!);
        });
      },
    });
    expect(blocks).toBeGreaterThan(2);
    const { frames, matrices, translations, reliability, ...rest } = once;
    expect(head.rotationData).toEqual(rest);
    expect(Float64Array.from(tracks.flatMap((t) => t.matrices))).toEqual(matrices);
    expect(Float64Array.from(tracks.flatMap((t) => t.translations))).toEqual(translations);
    expect(Float32Array.from(tracks.flatMap((t) => t.reliability))).toEqual(reliability);
  });

  it('without rotations asked for a block has none', () => {
    let all = 0;
    walkC3d(bytesSource(buildC3d(SPEC)), {
      select: { points: [0] },
      onBlock: ({ rotations }) => {
        expect(rotations).toBeNull();
        all += 1;
      },
    });
    expect(all).toBe(1);
  });
});

describe('written again', () => {
  /** Bits of all stored numbers of the matrices, in the order of the file. */
  const stored = (bytes: Uint8Array): string[] => {
    const c = readC3d(bytesSource(bytes));
    const at = 512 * (c.groups.get('ROTATION')!.parameters.get('DATA_START')!.numbers[0]! - 1);
    const length = 68 * c.rotations * c.rotationData!.frames;
    const big = c.processor === 'mips';
    return Array.from({ length: length / 4 }, (_, i) => {
      const word = Buffer.from(bytes).subarray(at + 4 * i, at + 4 * i + 4);
      return (big ? word : Buffer.from(word).reverse()).toString('hex');
    });
  };
  const odd: BuildSpec = {
    ...SPEC,
    rotationSamples: 2,
    firstFrame: 31,
    // An invalid one with numbers in it, a fourth row of its own, a reliability with digits.
    rotation: (r, s) => [but({ 16: -1, 12: 5.5 }), but({ 11: 0.5 }), but({ 16: 0.1 + r + s, 13: 1e-40 })][(r + s) % 3]!,
  };

  it.each(ENCODINGS)(
    '$processor $form: everything that was read is there again, from the source and without it',
    (to) => {
      for (const from of ENCODINGS) {
        const bytes = buildC3d({ ...SPEC, rotationSamples: 2, ...from });
        const old = readC3d(bytesSource(bytes));
        expectSame(old, rewriteAndRead(old, { ...to, source: bytesSource(bytes) }), to.processor, to.form);
        expectSame(old, rewriteAndRead(old, to), to.processor, to.form);
      }
    },
  );

  it('Intel and MIPS keep every bit, also of invalid ones and of a NaN that carries a number', () => {
    const bytes = buildC3d(odd);
    const old = readC3d(bytesSource(bytes));
    const at = 512 * (old.groups.get('ROTATION')!.parameters.get('DATA_START')!.numbers[0]! - 1);
    new DataView(bytes.buffer).setUint32(at + 4, 0x7fa1_2345, true);
    const source = bytesSource(bytes);
    const mips = rewriteAndRead(old, { processor: 'mips', form: 'integer', source });
    expect(stored(mips.bytes)).toEqual(stored(bytes));
    expect(stored(mips.bytes)[1]).toBe('7fa12345');
    const back = rewriteAndRead(mips.file, { processor: 'intel', source: bytesSource(mips.bytes) });
    expect(stored(back.bytes)).toEqual(stored(bytes));
  });

  it('DEC: a rotation with a number that DEC lacks becomes invalid and is named; the others keep their numbers', () => {
    const bytes = buildC3d(odd);
    const old = readC3d(bytesSource(bytes));
    const { file, report } = rewriteAndRead(old, { processor: 'dec', source: bytesSource(bytes) });
    // Of three kinds one has 1e-40, below the least DEC float: 36 samples / 3.
    expect([report.notHeldCount, report.notHeld[0]]).toEqual([
      12,
      { kind: 'rotation', index: 2, frame: 0, value: Math.fround(1e-40) },
    ]);
    expect(report.diagnostics[0]!.message).toMatch(/^rotation 3 "R3", frame 0 counted from 0: 9\.99/);
    const was = old.rotationData!;
    const is = file.rotationData!;
    is.reliability.forEach((value, i) => {
      const lost = was.translations[3 * i + 1] !== 0 && was.reliability[i]! >= 0;
      expect(value).toBe(lost ? -1 : was.reliability[i]);
    });
  });

  it('a cut keeps the samples of its frames', () => {
    const bytes = buildC3d(odd);
    const old = readC3d(bytesSource(bytes));
    for (const source of [bytesSource(bytes), undefined]) {
      const { file } = rewriteAndRead(old, { frames: [2, 5], ...(source ? { source } : {}) });
      const r = file.rotationData!;
      expect([file.frames, file.firstFrame, r.frames]).toEqual([3, 33, 6]);
      for (let rotation = 0; rotation < 3; rotation += 1) {
        for (let s = 0; s < 6; s += 1) expect(pose(r, rotation, s)).toEqual(pose(old.rotationData!, rotation, s + 4));
      }
    }
  });

  it('a file of rotations alone, and one that ends early', () => {
    for (const spec of [
      { points: 0, frames: 40, rotations: 2 },
      { ...SPEC, cut: 17 * 4 * 3 * 2 + 1 },
    ]) {
      const bytes = buildC3d(spec);
      const old = readC3d(bytesSource(bytes));
      const again = rewriteAndRead(old, { processor: 'mips', source: bytesSource(bytes) });
      expectSame(old, again, 'mips', 'float');
    }
  });

  it('where analog values are set aside in a file without points, the frames that stay are those of the rotations', () => {
    // 7 analog values a frame do not divide by 2 samples; 3 of 20 samples of the rotations are cut off.
    const fields = { 'ANALOG:USED': null };
    const spec = { points: 0, frames: 20, channels: 7, rotations: 3, words: { 10: 2 }, fields, cut: 68 * 3 * 3 };
    const bytes = buildC3d(spec);
    const old = readC3d(bytesSource(bytes));
    expect([old.frames, old.analog.channels, old.rotationData!.frames]).toEqual([20, 0, 17]);
    const { file, report } = rewriteAndRead(old, { source: bytesSource(bytes) });
    expect([file.frames, file.rotationData!.frames]).toEqual([17, 17]);
    expect(file.rotationData!.matrices).toEqual(old.rotationData!.matrices);
    expect(report.diagnostics.map((d) => d.code)).toEqual(['analog-left-out']);
  });
});
