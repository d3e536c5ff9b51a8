import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import type { C3dSelect } from '../../../src/c3d/select.ts';
import type { C3dFile } from '../../../src/c3d/types.ts';
import { type C3dBlock, walkC3d } from '../../../src/c3d/walkC3d.ts';
import { type BuildSpec, buildC3d, ints, texts } from '../../support/c3dBuilder.ts';
import { codes } from './helpers.ts';

const FORMS = (['intel', 'dec', 'mips'] as const).flatMap((processor) =>
  (['float', 'integer'] as const).map((form) => ({ processor, form })),
);
const SPEC: BuildSpec = {
  points: 5,
  frames: 40,
  firstFrame: 11,
  channels: 3,
  samplesPerFrame: 2,
  point: (p, f) => [100 * p + f, -p, 7 * f, p === 2 && f % 3 === 0 ? -1 : 16 * p],
  analog: (c, s, f) => 100 * c + 50 * s + f,
  fields: {
    'POINT:LABELS': texts(['A', 'B', 'C', 'B', 'E']),
    'POINT:DESCRIPTIONS': texts(['a', 'b', 'c', 'd', 'e']),
    'POINT:UNITS': texts(['mm', 'mm', 'deg', 'mm', 'N']),
    'EVENT:USED': ints(1),
    'EVENT:LABELS': texts(['FS']),
    // Raw frame 26 at 100 Hz: stored frame 16 counted from 0.
    'EVENT:TIMES': { type: 'float', dims: [2, 1], values: [0, 0.26] },
  },
};

/** What the selection must give, cut from the whole by plain loops. */
function cut(all: C3dFile, points: number[], channels: number[], from: number, to: number) {
  const samples = all.analog.samplesPerFrame;
  const frames = Array.from({ length: to - from }, (_, i) => from + i);
  return {
    xyz: points.flatMap((p) =>
      [0, 1, 2].flatMap((axis) => frames.map((f) => all.xyz[(3 * p + axis) * all.frames + f]!)),
    ),
    word4: points.flatMap((p) => frames.map((f) => all.word4[p * all.frames + f]!)),
    analog: channels.flatMap((c) =>
      frames.flatMap((f) =>
        Array.from({ length: samples }, (_, s) => all.analog.data[(c * all.frames + f) * samples + s]!),
      ),
    ),
  };
}

describe('only what is asked for is decoded', () => {
  it.each(FORMS)(
    '$processor $form: points by label and index, frames and channels are the same values as in the whole',
    (form) => {
      const source = bytesSource(buildC3d({ ...SPEC, ...form }));
      const all = readC3d(source);
      const some = readC3d(source, { select: { points: ['C', 0, 'B'], frames: [7, 31], analog: ['A3', 0] } });
      const expected = cut(all, [2, 0, 1], [2, 0], 7, 31);
      expect({ xyz: [...some.xyz], word4: [...some.word4], analog: [...some.analog.data] }).toEqual(expected);
      expect([some.labels, some.descriptions, some.units]).toEqual([
        ['C', 'A', 'B'],
        ['c', 'a', 'b'],
        ['deg', 'mm', 'mm'],
      ]);
      expect([some.points, some.frames, some.firstFrame, some.analog.channels]).toEqual([3, 24, 18, 2]);
      expect(some.selection).toEqual({ points: [2, 0, 1], channels: [2, 0], rotations: [], from: 7, to: 31 });
    },
  );

  it('events count from the first selected frame, as in a trimmed file', () => {
    const event = readC3d(bytesSource(buildC3d(SPEC)), { select: { frames: [10, 20] } }).events[0]!;
    expect(event.frame).toBe(16 - 10);
    // 0.16 s after the first stored frame, less ten frames of 0.01 s; TIMES is a 32-bit float.
    expect(event.time_s).toBeCloseTo(0.06, 6);
  });

  it('analog false reads none, no points reads none, and a range past the end is cut', () => {
    const source = bytesSource(buildC3d(SPEC));
    const bare = readC3d(source, { select: { analog: false, frames: [38, 99] } });
    expect([bare.analog.channels, bare.analog.data.length, bare.frames, bare.xyz.length]).toEqual([0, 0, 2, 30]);
    const analog = readC3d(source, { select: { points: [] } });
    expect([analog.points, analog.xyz.length, analog.analog.data.length]).toEqual([0, 0, 240]);
    expect(readC3d(source, { select: { frames: [50, 60] } }).frames).toBe(0);
  });

  it('row 32: what is absent is left out and told, once each; strict goes on', () => {
    const source = bytesSource(buildC3d(SPEC));
    const c = readC3d(source, { strict: true, select: { points: ['A', 'X', 9, 'A', 0], analog: ['A9'] } });
    expect([c.labels, codes(c)]).toEqual([['A'], Array(3).fill('selection-not-found')]);
  });

  it('a whole file has no selection, and its bytes are read once', () => {
    const bytes = buildC3d(SPEC);
    expect(readC3d(bytesSource(bytes)).selection).toBeUndefined();
    const counted = {
      size: bytes.length,
      total: 0,
      read(at: number, length: number, into: Uint8Array): number {
        this.total += length;
        return bytesSource(bytes).read(at, length, into);
      },
    };
    readC3d(counted, { select: { points: [], analog: false } });
    expect(counted.total).toBeLessThan(bytes.length - 40 * (5 * 16 + 6 * 4));
  });

  it.each([
    [{ points: [-1] }],
    [{ points: [0.5] }],
    [{ frames: [5, 4] }],
    [{ frames: [0, Number.NaN] }],
    [{ analog: [Number.POSITIVE_INFINITY] }],
  ] as [C3dSelect][])('%j is no selection', (select) => {
    expect(() => readC3d(bytesSource(buildC3d(SPEC)), { select })).toThrow(RangeError);
  });
});

describe('walking in blocks', () => {
  const long: BuildSpec = { ...SPEC, frames: 6000 };

  it.each(FORMS)(
    '$processor $form: the blocks put together are what reading at once gives, in order and whole',
    (form) => {
      const source = bytesSource(buildC3d({ ...long, ...form }));
      const select: C3dSelect = { points: [4, 1], frames: [3, 5990], analog: [1] };
      const once = readC3d(source, { select });
      let next = 0;
      let wrong = 0;
      let blocks = 0;
      const head = walkC3d(source, {
        select,
        onBlock: ({ from, frames, xyz, word4, analog }, { points }) => {
          expect([from, xyz.length, word4.length, analog.length]).toEqual([
            next,
            3 * points * frames,
            points * frames,
            2 * frames,
          ]);
          for (let column = 0; column < 3 * points; column += 1)
            for (let f = 0; f < frames; f += 1)
              if (xyz[column * frames + f] !== once.xyz[column * once.frames + from + f]) wrong += 1;
          for (let p = 0; p < points; p += 1)
            for (let f = 0; f < frames; f += 1)
              if (word4[p * frames + f] !== once.word4[p * once.frames + from + f]) wrong += 1;
          for (let s = 0; s < 2 * frames; s += 1) if (analog[s] !== once.analog.data[2 * from + s]) wrong += 1;
          next += frames;
          blocks += 1;
        },
      });
      expect([wrong, next, blocks > 1]).toEqual([0, 5987, true]);
      const { xyz: _, word4: __, analog, ...rest } = once;
      const { data: ___, ...channels } = analog;
      expect(head).toEqual({ ...rest, analog: channels });
    },
  );

  it('one buffer serves every block', () => {
    const arrays = new Set<ArrayBufferLike>();
    let blocks = 0;
    const onBlock = ({ xyz, word4 }: C3dBlock): void => {
      arrays.add(xyz.buffer).add(word4.buffer);
      blocks += 1;
    };
    walkC3d(bytesSource(buildC3d(long)), { onBlock });
    expect([arrays.size, blocks > 2]).toEqual([2, true]);
  });

  it('what is told after the data is told: fourth words outside the range', () => {
    const spec: BuildSpec = { ...long, point: () => [1, 2, 3, 70000] };
    const head = walkC3d(bytesSource(buildC3d(spec)), { onBlock: () => {} });
    expect(head.diagnostics.map((d) => [d.code, d.message])).toEqual([
      ['fourth-word-outside-range', 'the fourth word of 30000 samples is no 16-bit number'],
    ]);
  });

  it('nothing asked for gives no block', () => {
    let blocks = 0;
    const select = { points: [], analog: false };
    walkC3d(bytesSource(buildC3d(SPEC)), { select, onBlock: () => (blocks += 1) });
    expect(blocks).toBe(0);
  });
});
