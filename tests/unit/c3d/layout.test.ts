// Numbers in test names are rows of the design notes' table of problems people met with C3D files.
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import type { Processor } from '../../../src/c3d/types.ts';
import { buildC3d, floats, ints, texts } from '../../support/c3dBuilder.ts';
import { codes, problemOf, read, sample } from './helpers.ts';

const PROCESSORS: Processor[] = ['intel', 'dec', 'mips'];

describe('storage forms and byte orders', () => {
  it('rows 1–3: one trial in six encodings gives the same coordinates, words, analog values and events', () => {
    for (const processor of PROCESSORS) {
      for (const form of ['float', 'integer'] as const) {
        const c = read({
          processor,
          form,
          scale: 0.5,
          channels: 2,
          samplesPerFrame: 2,
          // Stored integers are steps of the scale; the same length in a float file is steps × scale.
          point: (p, f) => {
            const k = form === 'integer' ? 1 : 0.5;
            return [(100 * p - f) * k, -7 * k, 32000 * k, p === 1 && f === 2 ? -1 : 15888];
          },
          headerEvents: [{ label: 'RHS', time_s: 0.02 }],
        });
        expect([c.processor, c.form, c.residualScale]).toEqual([processor, form, 0.5]);
        expect(sample(c, 1, 3)).toEqual([48.5, -3.5, 16000, 15888]);
        expect(sample(c, 1, 2)[3]).toBe(-1);
        expect([...c.analog.data]).toEqual([
          0, 10, 1, 11, 2, 12, 3, 13, 4, 14, 100, 110, 101, 111, 102, 112, 103, 113, 104, 114,
        ]);
        expect(c.events).toHaveLength(1);
        expect(c.diagnostics).toEqual([]);
      }
    }
  });

  it('rows 27, 28: any negative fourth word is kept as it is, and a residual of a valid word is kept beside the point', () => {
    const words = [-1, -16512, 0x2106, 0, 255];
    const c = read({ points: 1, point: (_, f) => [1, 2, 3, words[f]!] });
    expect([...c.word4]).toEqual(words);
  });

  it('rows 26, 29, 31, 32, 34: zeros, NaN, words of −1, starred labels and odd units pass through unchanged', () => {
    const c = read({
      points: 2,
      point: (p) => (p === 0 ? [0, 0, 0, 0] : [Number.NaN, Number.NaN, Number.NaN, -1]),
      fields: { 'POINT:LABELS': texts(['*12', 'A SI']), 'POINT:UNITS': texts(['mete', 'cm']) },
    });
    expect(sample(c, 0, 0)).toEqual([0, 0, 0, 0]);
    expect(sample(c, 1, 4)).toEqual([Number.NaN, Number.NaN, Number.NaN, -1]);
    expect(c.labels).toEqual(['*12', 'A SI']);
    expect(c.units).toEqual(['mete', 'cm']);
    expect(c.diagnostics).toEqual([]);
  });

  it('row 23: a scale of zero is replaced by 1 with an error, and the size of the file tells the storage form', () => {
    for (const form of ['float', 'integer'] as const) {
      const c = read({ form, scale: 0, points: 40, frames: 30, point: (p, f) => [p, f, 3, 0] });
      expect([c.form, c.residualScale, c.frames]).toEqual([form, 1, 30]);
      expect(sample(c, 39, 29)).toEqual([39, 29, 3, 0]);
      expect(codes(c)).toEqual(['point-scale-zero']);
    }
  });

  it('a header and a POINT:SCALE of opposite signs are settled by the size of the file', () => {
    const c = read({ form: 'float', points: 40, frames: 30, fields: { 'POINT:SCALE': floats(0.1) } });
    expect([c.form, c.frames, codes(c)]).toEqual(['float', 30, ['storage-form-disagrees']]);
  });

  it('without POINT:SCALE the header holds', () => {
    const c = read({ fields: { 'POINT:SCALE': null } });
    expect([c.residualScale, codes(c)]).toEqual([Math.fround(0.1), ['point-scale-missing']]);
  });
});

describe('frame counts', () => {
  it('row 7: the count is last − first + 1, not the last frame', () => {
    const c = read({ firstFrame: 300, frames: 7, fields: { 'POINT:FRAMES': null } });
    expect([c.frames, c.firstFrame, codes(c)]).toEqual([7, 300, []]);
  });

  it('row 5, E18: TRIAL words [4464, 1] are 70000 frames, low + high × 65536', () => {
    // Source: check-values.md E18 (c3d.org trialactualendfield.htm, its printed × 65535 corrected).
    const fields = { 'TRIAL:ACTUAL_START_FIELD': ints(1, 0), 'TRIAL:ACTUAL_END_FIELD': ints(4464, 1) };
    const c = read({ points: 1, frames: 70000, fields, point: (_, f) => [f, 0, 0, 0] });
    expect([c.frames, c.header.lastFrame, codes(c)]).toEqual([70000, 65535, []]);
    expect(c.xyz[69999]).toBe(69999);
  });

  it('row 5: POINT:LONG_FRAMES holds where TRIAL is absent and the header is full', () => {
    const c = read({
      points: 1,
      frames: 66000,
      fields: { 'POINT:LONG_FRAMES': floats(66000) },
      point: (_, f) => [f, 0, 0, 0],
    });
    expect([c.frames, codes(c)]).toEqual([66000, []]);
  });

  it('row 6: POINT:FRAMES is read as a float and as a word above 32767', () => {
    expect(read({ frames: 6, fields: { 'POINT:FRAMES': floats(6) } }).frames).toBe(6);
    const c = read({ points: 1, frames: 40000, point: (_, f) => [f, 0, 0, 0] });
    expect([c.frames, codes(c)]).toEqual([40000, []]);
  });

  it('row 16: a file without TRIAL is read', () => {
    expect(read({}).groups.has('TRIAL')).toBe(false);
  });

  it('row 17: a cut file keeps its whole frames and says how many are missing and where the file ends', () => {
    const bytes = buildC3d({ points: 3, frames: 20, cut: 50 });
    const c = readC3d(bytesSource(bytes));
    // One frame is 48 bytes: 50 bytes cut leave 18 whole frames.
    expect([c.frames, codes(c)]).toEqual([18, ['frames-missing']]);
    expect(c.diagnostics[0]).toMatchObject({ severity: 'error', offset: bytes.length });
    expect(c.diagnostics[0]!.message).toBe('18 of 20 frames are there, 2 are missing');
    expect(sample(c, 2, 17)).toEqual([37, 23, 36, 0]);
  });

  it('where the counts differ the one that fits the file size is used', () => {
    const c = read({ points: 40, frames: 20, fields: { 'POINT:FRAMES': ints(21) } });
    expect([c.frames, codes(c)]).toEqual([20, ['frame-count-disagrees']]);
  });

  it('points of header and POINT:USED that differ are settled by the file size', () => {
    for (const [used, inHeader] of [
      [9, 8],
      [8, 9],
    ] as const) {
      const c = read({ points: 8, frames: 50, fields: { 'POINT:USED': ints(used) }, words: { 2: inHeader } });
      expect([c.points, c.frames]).toEqual([8, 50]);
      expect(codes(c)).toContain('point-count-disagrees');
    }
  });

  it('bytes after the last frame are said, not taken for frames', () => {
    const c = read({ tail: 1024 });
    expect([c.frames, codes(c)]).toEqual([5, ['bytes-after-data']]);
  });

  it('frames larger than a read block come out whole', () => {
    // 20000 points × 16 bytes = 320 kB a frame, above the 256 KiB of a block.
    const c = read({ points: 20000, frames: 2, point: (p, f) => [p, f, p + f, 0] });
    expect(sample(c, 19999, 1)).toEqual([19999, 1, 20000, 0]);
  });
});

describe('rates', () => {
  it('row 14: without POINT:RATE the header holds; without both the rate is null, an error, and strict refuses', () => {
    const header = read({ fields: { 'POINT:RATE': null } });
    expect([header.rate_Hz, codes(header)]).toEqual([100, ['rate-from-header']]);
    const spec = { fields: { 'POINT:RATE': null }, floatWords: { 11: 0 } };
    const none = read(spec);
    expect([none.rate_Hz, none.diagnostics[0]?.severity, codes(none)]).toEqual([null, 'error', ['rate-missing']]);
    expect(problemOf(() => read(spec, true)).code).toBe('rate-missing');
  });

  it('row 15: a header that disagrees is told, and POINT:RATE holds', () => {
    const c = read({ floatWords: { 11: 60 } });
    expect([c.rate_Hz, codes(c)]).toEqual([100, ['rate-disagrees']]);
  });
});

describe('pointers and blocks', () => {
  it('row 24: a file that begins with zeros is refused with what was found', () => {
    const problem = problemOf(() => readC3d(bytesSource(new Uint8Array(2048)), { file: 'x.c3d' }));
    expect(problem).toMatchObject({ file: 'x.c3d', code: 'not-c3d', offset: 1, expected: '80' });
    expect(problem.found).toContain('begins with zeros');
  });

  it('row 41: DATA_START 0 or another block is told and the header is followed', () => {
    for (const start of [0, 40]) {
      const c = read({ fields: { 'POINT:DATA_START': ints(start) } });
      expect([sample(c, 1, 4), codes(c)]).toEqual([[14, 16, 9, 0], ['data-start-disagrees']]);
    }
  });

  it('a header without a usable data block falls back on DATA_START', () => {
    for (const block of [0, 1, 60000]) {
      const c = read({ words: { 9: block } });
      expect(sample(c, 1, 4)).toEqual([14, 16, 9, 0]);
      expect(codes(c)).toContain('data-block-from-parameter');
    }
    const problem = problemOf(() => read({ words: { 9: 60000 }, fields: { 'POINT:DATA_START': null } }));
    expect(problem).toMatchObject({ code: 'data-block-outside-file', offset: 16 });
  });

  it('row 42: a data block above 127 is unsigned', () => {
    const c = read({ dataBlock: 188 });
    expect([c.header.dataBlock, sample(c, 1, 4), codes(c)]).toEqual([188, [14, 16, 9, 0], []]);
  });

  it('moved parameter and data blocks are followed', () => {
    const c = read({ parameterBlock: 9, dataBlock: 30, processor: 'mips' });
    expect([sample(c, 1, 4), codes(c)]).toEqual([[14, 16, 9, 0], []]);
  });

  it('a parameter pointer of 0 means block 2; one outside the file is refused', () => {
    const bytes = buildC3d();
    bytes[0] = 0;
    expect(codes(readC3d(bytesSource(bytes)))).toEqual(['parameter-pointer-zero']);
    bytes[0] = 200;
    expect(problemOf(() => readC3d(bytesSource(bytes)))).toMatchObject({
      code: 'parameter-block-outside-file',
      offset: 0,
    });
  });

  it('E03: an unknown processor byte is refused at its offset', () => {
    const bytes = buildC3d();
    bytes[515] = 83;
    expect(problemOf(() => readC3d(bytesSource(bytes)))).toMatchObject({ code: 'processor-unknown', offset: 515 });
  });

  it('a file shorter than a header is refused', () => {
    expect(problemOf(() => readC3d(bytesSource(new Uint8Array(511)))).code).toBe('file-too-short');
    expect(problemOf(() => readC3d(bytesSource(new Uint8Array(0)))).code).toBe('file-too-short');
  });

  it('a source that gives fewer bytes than its size is refused at the place where they end', () => {
    const bytes = buildC3d();
    const short = { size: bytes.length + 512, read: bytesSource(bytes).read };
    const c = { ...short, read: (o: number, n: number, into: Uint8Array) => Math.min(short.read(o, n, into), 100) };
    expect(problemOf(() => readC3d(c))).toMatchObject({ code: 'read-cut-short', offset: 100 });
  });
});

describe('kinds of files', () => {
  it('row 13: a file without ANALOG has no channels', () => {
    const c = read({});
    expect([c.analog.channels, c.analog.data.length, codes(c)]).toEqual([0, 0, []]);
  });

  it('row 33: a file without points keeps its analog values', () => {
    const c = read({ points: 0, channels: 2, frames: 4 });
    expect([c.points, c.frames, c.analog.data.length, codes(c)]).toEqual([0, 4, 8, ['no-points']]);
  });

  it('row 40: rotation matrices after the points are not taken for frames', () => {
    // 2 points × 5 frames = 160 bytes of points in one block, then one block per 512 bytes of rotations.
    const base = buildC3d();
    const rotationBlock = base.length / 512 + 1;
    const fields = { 'ROTATION:USED': ints(3), 'ROTATION:DATA_START': ints(rotationBlock), 'POINT:FRAMES': ints(90) };
    const c = read({ fields, words: { 5: 90 }, tail: 5 * 3 * 17 * 4 });
    expect([c.rotations, c.frames, c.rotationData?.frames]).toEqual([3, 16, 5]);
    expect(codes(c).slice(0, 2)).toEqual(['frames-missing', 'rotations-missing']);
    const whole = read({ fields: { ...fields, 'POINT:FRAMES': ints(5) }, tail: 5 * 3 * 17 * 4 });
    expect([whole.frames, whole.rotationData?.frames]).toEqual([5, 5]);
  });

  it('memory lent by the caller is used and wholly written', () => {
    const lent: (Float64Array | Int16Array)[] = [];
    const keep = <T extends Float64Array | Int16Array>(array: T): T => {
      array.fill(77);
      lent.push(array);
      return array;
    };
    const memory = {
      float64: (n: number) => keep(new Float64Array(n)),
      int16: (n: number) => keep(new Int16Array(n)),
    };
    const spec = { channels: 3, samplesPerFrame: 2, frames: 9 };
    const c = readC3d(bytesSource(buildC3d(spec)), { memory });
    const fresh = read(spec);
    expect(lent).toEqual([c.xyz, c.word4, c.analog.data]);
    expect(lent[0]).toBe(c.xyz);
    expect([c.xyz, c.word4, c.analog.data]).toEqual([fresh.xyz, fresh.word4, fresh.analog.data]);
  });

  it('row 39: accents and blanks in the name of the file stay as they are in messages', () => {
    const name = 'Schläge von früh/été 1.c3d';
    const problem = problemOf(() => readC3d(bytesSource(new Uint8Array(600)), { file: name }));
    expect(problem.file).toBe(name);
  });
});
