// Writing in all six encodings: values, limits of the format, edits, and what a form cannot hold.
import { describe, expect, it } from 'vitest';
import { textList } from '../../../src/c3d/lookup.ts';
import { editable, numbersParameter, put } from '../../../src/c3d/parameterEdit.ts';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import { bytesOf, rewriteC3d } from '../../../src/c3d/rewriteC3d.ts';
import type { C3dFile } from '../../../src/c3d/types.ts';
import { writeC3d } from '../../../src/c3d/writeC3d.ts';
import { type BuildSpec, buildC3d, ints, text, texts } from '../../support/c3dBuilder.ts';
import { ENCODINGS, expectSame, rewriteAndRead } from '../../support/c3dRewriteChecks.ts';
import { slowReadC3d } from '../../support/c3dSlowReader.ts';

function built(spec: BuildSpec): C3dFile {
  return readC3d(bytesSource(buildC3d(spec)));
}

/** Coordinates with many different bits, the same on every machine. */
function wave(i: number): number {
  return Math.fround(1000 * Math.sin(0.37 * i) + 0.1 * i);
}

function written(points: number, frames: number, more: Partial<Parameters<typeof writeC3d>[0]> = {}): C3dFile {
  const xyz = Float64Array.from({ length: 3 * points * frames }, (_, i) => wave(i % 9973));
  const labels = Array.from({ length: points }, (_, i) => `P${i + 1}`);
  return readC3d(bytesSource(writeC3d({ labels, units: 'mm', rate_Hz: 240, frames, xyz, word4: null, ...more })));
}

function list(prefix: string, from: number, to: number) {
  return texts(Array.from({ length: to - from }, (_, i) => `${prefix}${from + i + 1}`));
}

describe.each(ENCODINGS)('written as $processor $form, read by both readers', ({ processor, form }) => {
  it.each([
    ['300 points', () => written(300, 7)],
    ['70,000 frames of 2 points', () => written(2, 70_000)],
    ['frames beyond number 65535', () => written(2, 10, { firstFrame: 65_530 })],
    [
      '300 events, past two minutes',
      () =>
        written(2, 40_000, {
          events: Array.from({ length: 300 }, (_, i) => ({ label: `E${i}`, context: 'Left', time_s: i * 0.5 })),
        }),
    ],
    [
      '300 analog channels',
      () =>
        built({
          frames: 6,
          channels: 300,
          samplesPerFrame: 2,
          fields: {
            'ANALOG:LABELS': list('A', 0, 255),
            'ANALOG:LABELS2': list('A', 255, 300),
            'ANALOG:SCALE': { type: 'float', dims: [255], values: Array<number>(255).fill(0.25) },
            'ANALOG:SCALE2': { type: 'float', dims: [45], values: Array<number>(45).fill(0.5) },
            'ANALOG:OFFSET': { type: 'int16', dims: [255], values: Array<number>(255).fill(3) },
            'ANALOG:OFFSET2': { type: 'int16', dims: [45], values: Array<number>(45).fill(-7) },
          },
          analog: (c, s, f) => 7 * c - 31 * s + f,
        }),
    ],
    [
      '300 labels and 66,000 frames of 3 used points',
      () => {
        const old = written(3, 66_000);
        const groups = editable(old.groups);
        for (const [name, from, to] of [
          ['LABELS', 0, 255],
          ['LABELS2', 255, 300],
        ] as const) {
          const labels = Array.from({ length: to - from }, (_, i) => `L${from + i + 1}`);
          const fresh = numbersParameter('POINT', name, 'int16', [], [4, to - from]);
          put(groups, { ...fresh, type: 'char', text: labels });
        }
        const file = readC3d(bytesSource(bytesOf(rewriteC3d({ ...old, groups }))));
        expect([file.points, file.frames, textList(file.groups, 'POINT', 'LABELS').length]).toEqual([3, 66_000, 300]);
        return file;
      },
    ],
  ] as const)('%s', (_, make) => {
    const old = make();
    const again = rewriteAndRead(old, { processor, form });
    expect(again.report.diagnostics).toEqual([]);
    expectSame(old, again, processor, form);
    const slow = slowReadC3d(again.bytes);
    const { file } = again;
    expect([slow.points, slow.labels.slice(0, file.points)]).toEqual([file.points, file.labels]);
    expect([slow.frames, slow.firstFrame]).toEqual([file.frames, file.firstFrame]);
    let wrong = 0;
    slow.samples.forEach((frame, f) => {
      frame.forEach((sample, p) => {
        for (let axis = 0; axis < 3; axis += 1) {
          if (sample[axis] !== file.xyz[(3 * p + axis) * file.frames + f]) wrong += 1;
        }
        if (sample[3] !== file.word4[p * file.frames + f]) wrong += 1;
      });
    });
    // Scales of the channels are a power of two, so this is exact.
    const per = file.analog.samplesPerFrame;
    slow.analog.forEach((rows, f) => {
      rows.forEach((row, s) => {
        row.forEach((raw, c) => {
          const value = c < 255 ? (raw - 3) * 0.25 : (raw + 7) * 0.5;
          if (value !== file.analog.data[(c * file.frames + f) * per + s]) wrong += 1;
        });
      });
    });
    expect(wrong).toBe(0);
  });

  it('300 labels of 3 used points', () => {
    const old = built({
      points: 3,
      frames: 4,
      fields: { 'POINT:LABELS': list('L', 0, 255), 'POINT:LABELS2': list('L', 255, 300) },
    });
    const again = rewriteAndRead(old, { processor, form });
    expectSame(old, again, processor, form);
    expect(slowReadC3d(again.bytes).labels).toHaveLength(300);
  });

  it('locks, descriptions, ids, seven dimensions, bytes, padding and header events are kept', () => {
    const old = built({
      points: 1,
      headerEvents: [{ label: 'TOP', time_s: 0.03 }],
      fields: {
        'ODD:SEVEN': { type: 'int16', dims: [2, 1, 1, 2, 1, 1, 2], values: [1, -2, 3, -4, 5, -6, 32767, -32768] },
        'ODD:BYTES': { type: 'byte', dims: [3], values: [0, 128, 255] },
        'ODD:NONE': { type: 'float', dims: [0], values: [] },
        'ODD:TEXT': text(Uint8Array.from([0x20, 0xe4, 0x20, 0x00, 0x41])),
      },
      arrange: (records) => [
        ...records.map((r) => ({ ...r, locked: true, description: `about ${r.name}` })),
        { id: 99, name: 'LONELY', field: ints(5) },
        { id: -77, name: 'EMPTY', field: null, description: 'ä' },
      ],
    });
    const again = rewriteAndRead(old, { processor, form });
    expectSame(old, again, processor, form);
    expect(again.file.groups.get('EMPTY')?.id).toBe(77);
    expect(again.file.events.map((e) => [e.label, e.store])).toEqual([['TOP', 'header']]);
  });
});

describe('what a form cannot hold', () => {
  const hard = [Number.NaN, Number.POSITIVE_INFINITY, 1.7014118346046923e38, -3e38, 1e-40];
  const fine = [1.7014116e38, -1e-38, 3e-39, 0.1, -0, 12345.678];
  const values = [...hard, ...fine];
  const old = built({ points: 1, frames: values.length, point: (_, f) => [values[f]!, 1, 2, 0x0503] });

  it('DEC: each sample is named; NaN, infinities and large values become invalid, tiny ones zero; all else is exact', () => {
    const again = rewriteAndRead(old, { processor: 'dec' });
    expect(again.report.notHeld.map((s) => s.frame)).toEqual([0, 1, 2, 3, 4]);
    expect(again.report.diagnostics.map((d) => d.code)).toEqual(Array(5).fill('sample-not-held'));
    expect([...again.file.xyz.subarray(0, values.length)]).toEqual([
      0,
      0,
      0,
      0,
      0,
      ...fine.map((v) => Math.fround(v) + 0),
    ]);
    expect([...again.file.word4]).toEqual([-1, -1, -1, -1, ...Array<number>(7).fill(0x0503)]);
  });

  it('Intel and MIPS floats hold them all', () => {
    for (const processor of ['intel', 'mips'] as const) {
      const again = rewriteAndRead(old, { processor });
      expect(again.report.notHeldCount).toBe(0);
      expect(again.file.xyz).toEqual(old.xyz);
    }
  });

  it('integers: the step fits the largest coordinate, residuals follow the step, cameras stay', () => {
    const mm = built({ points: 1, frames: 3, scale: 100, point: (_, f) => [[1600, -3200, 5][f]!, 0, 0, 0x7f02] });
    const { file, report } = rewriteAndRead(mm, { form: 'integer' });
    expect(report.step).toBe(Math.fround(0.1));
    expect(file.word4[0]).toBe(0x7fff);
    expect(report.diagnostics.map((d) => d.code)).toEqual(['residual-held-at-limit']);
    expect(Math.abs(file.xyz[1]! + 3200)).toBeLessThanOrEqual(0.05);
  });

  it('float analog that is no 16-bit number gets a step of its own, signed and unsigned', () => {
    for (const format of ['SIGNED', 'UNSIGNED']) {
      const floats = built({
        points: 1,
        frames: 50,
        channels: 2,
        fields: { 'ANALOG:FORMAT': text(format) },
        analog: (c, _, f) => (c === 0 ? f : 1e5 * Math.sin(f)),
      });
      const again = rewriteAndRead(floats, { form: 'integer' });
      expect(again.report.analogSteps.map((s) => s.channel)).toEqual([1]);
      expectSame(floats, again, 'intel', 'integer');
    }
  });
});

describe('parts of a file', () => {
  it('points that go take their labels, descriptions, units and type lists along', () => {
    const old = built({
      points: 3,
      fields: {
        'POINT:LABELS': texts(['A', 'B', 'C']),
        'POINT:DESCRIPTIONS': texts(['a', 'b', 'c']),
        'POINT:UNITS': texts(['mm', 'deg', 'm']),
        'POINT:ANGLES': texts(['B', 'C']),
      },
    });
    const { file, report } = rewriteAndRead(old, { keep: ['A', 'C'] });
    expect(report.pointsLeftOut).toEqual(['B']);
    expect([file.labels, file.descriptions, file.units]).toEqual([
      ['A', 'C'],
      ['a', 'c'],
      ['mm', 'm'],
    ]);
    expect([...file.typeGroups]).toEqual([['ANGLES', ['C']]]);
    expect([...file.xyz.subarray(3 * file.frames)]).toEqual([...old.xyz.subarray(6 * old.frames)]);
  });

  it('a cut keeps analog and events with their frames, header events too', () => {
    const old = built({
      frames: 20,
      firstFrame: 101,
      channels: 1,
      samplesPerFrame: 2,
      headerEvents: [
        { label: 'OUT', time_s: 0.01 },
        { label: 'IN', time_s: 0.07 },
      ],
      fields: {
        'EVENT:USED': ints(2),
        'EVENT:LABELS': texts(['X', 'Y']),
        'EVENT:TIMES': { type: 'float', dims: [2, 2], values: [0, 1.02, 0, 1.08] },
      },
    });
    const { file, report } = rewriteAndRead(old, { frames: [5, 10], processor: 'dec', form: 'integer' });
    expect([file.firstFrame, file.frames]).toEqual([106, 5]);
    expect(file.events.map((e) => [e.label, e.frame])).toEqual([
      ['IN', 2],
      ['Y', 3],
    ]);
    expect(report.eventsLeftOut).toHaveLength(2);
    expect([...file.analog.data]).toEqual([...old.analog.data.subarray(10, 20)]);
  });

  it('a label that no point has and an empty range are refused', () => {
    const old = built({});
    expect(() => rewriteC3d(old, { drop: ['NONE'] })).toThrow(RangeError);
    expect(() => rewriteC3d(old, { frames: [3, 3] })).toThrow(RangeError);
    expect(() => rewriteC3d(old, { frames: [0, 6] })).toThrow(RangeError);
  });
});
