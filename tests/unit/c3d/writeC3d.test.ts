import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import { type C3dContent, writeC3d } from '../../../src/c3d/writeC3d.ts';
import { ENCODINGS } from '../../support/c3dRewriteChecks.ts';
import { slowReadC3d } from '../../support/c3dSlowReader.ts';
import { codes } from './helpers.ts';

const SEED = 20240611;

function content(over: Partial<C3dContent> = {}): C3dContent {
  const points = over.labels?.length ?? 2;
  const frames = over.frames ?? 3;
  return {
    labels: ['LASI', 'RASI'],
    units: 'mm',
    rate_Hz: 240,
    frames,
    xyz: Float64Array.from({ length: 3 * points * frames }, (_, i) => i / 4),
    word4: null,
    ...over,
  };
}

const float32 = fc.float({ noNaN: true, noDefaultInfinity: true });
const label = fc.stringMatching(/^[A-Za-z0-9:_*äö°]{1,20}$/);

const anyContent: fc.Arbitrary<C3dContent> = fc
  .record({ points: fc.integer({ min: 1, max: 6 }), frames: fc.integer({ min: 1, max: 20 }) })
  .chain(({ points, frames }) =>
    fc.record({
      labels: fc.array(label, { minLength: points, maxLength: points }),
      units: fc.constantFrom('mm', 'm', 'deg'),
      rate_Hz: fc.constantFrom(50, 100, 240, 500),
      frames: fc.constant(frames),
      firstFrame: fc.constantFrom(1, 2, 300, 65535, 70000),
      xyz: fc
        .array(float32, { minLength: 3 * points * frames, maxLength: 3 * points * frames })
        .map((values) => Float64Array.from(values)),
      word4: fc.option(
        fc
          .array(fc.integer({ min: -32768, max: 32767 }), { minLength: points * frames, maxLength: points * frames })
          .map((values) => Int16Array.from(values)),
      ),
      residualScale: fc.constantFrom(0.001, 0.5, 1),
      events: fc.array(
        fc.record({
          label,
          context: fc.constantFrom('Left', 'Right', 'General'),
          frame: fc.integer({ min: 0, max: frames - 1 }),
        }),
        { maxLength: 4 },
      ),
    }),
  )
  .map(({ events, ...rest }) => ({
    ...rest,
    events: events.map((e) => ({ label: e.label, context: e.context, time_s: e.frame / rest.rate_Hz })),
  }));

describe('write, then read', () => {
  it('gives the same columns, words, labels, units, rate and events, without a diagnostic', () => {
    fc.assert(
      fc.property(anyContent, (c) => {
        const r = readC3d(bytesSource(writeC3d(c)), { strict: true });
        expect(r.diagnostics).toEqual([]);
        expect([r.labels, r.units, r.rate_Hz, r.frames]).toEqual([c.labels, [c.units], c.rate_Hz, c.frames]);
        expect(r.firstFrame).toBe(c.firstFrame);
        expect(r.xyz).toEqual(c.xyz);
        expect(r.word4).toEqual(c.word4 ?? new Int16Array(r.word4.length));
        expect(r.residualScale).toBe(Math.fround(c.residualScale!));
        const byTime = [...c.events!].sort((a, b) => a.time_s - b.time_s);
        expect(r.events.map((e) => [e.label, e.context, e.frame])).toEqual(
          byTime.map((e) => [e.label, e.context, Math.round(e.time_s * c.rate_Hz)]),
        );
      }),
      { seed: SEED, numRuns: 200 },
    );
  });

  it('a slow reader written from the format description alone reads the same', () => {
    fc.assert(
      fc.property(anyContent, (c) => {
        const bytes = writeC3d(c);
        const slow = slowReadC3d(bytes);
        const fast = readC3d(bytesSource(bytes));
        expect([slow.labels, slow.points, slow.frames, slow.firstFrame]).toEqual([
          c.labels,
          c.labels.length,
          c.frames,
          c.firstFrame,
        ]);
        expect([slow.rate_Hz, -slow.scale]).toEqual([c.rate_Hz, fast.residualScale]);
        slow.samples.forEach((frame, f) => {
          frame.forEach(([x, y, z, w], p) => {
            const at = (axis: number): number => (3 * p + axis) * c.frames + f;
            expect([x, y, z]).toEqual([c.xyz[at(0)], c.xyz[at(1)], c.xyz[at(2)]]);
            expect(w).toBe(fast.word4[p * c.frames + f]);
          });
        });
        const start_s = (c.firstFrame! - 1) / c.rate_Hz;
        slow.events.forEach((e, i) => {
          expect([e.label, e.context]).toEqual([c.events![i]!.label, c.events![i]!.context]);
          // Seconds are 32-bit floats below 60: half a step is 1.9e-6 s.
          expect(Math.abs(e.time_s - start_s - c.events![i]!.time_s)).toBeLessThan(2e-6);
        });
      }),
      { seed: SEED, numRuns: 100 },
    );
  });

  it('more than 255 labels and descriptions are continued, and units may differ per point', () => {
    const labels = Array.from({ length: 600 }, (_, i) => `M${i}`);
    const bytes = writeC3d(
      content({
        labels,
        frames: 1,
        descriptions: labels.map((l) => `about ${l}`),
        pointUnits: labels.map((_, i) => (i % 2 ? 'deg' : 'mm')),
      }),
    );
    const c = readC3d(bytesSource(bytes));
    expect([c.labels, c.descriptions[599], c.units[599], c.units[0]]).toEqual([labels, 'about M599', 'deg', 'mm']);
    expect([...c.groups.get('POINT')!.parameters.keys()]).toContain('LABELS3');
    expect(slowReadC3d(bytes).labels).toEqual(labels);
    expect(codes(c)).toEqual([]);
  });

  it('70000 frames are read back though the header holds 65535', () => {
    const frames = 70000;
    const bytes = writeC3d(
      content({ labels: ['A'], frames, xyz: Float64Array.from({ length: 3 * frames }, (_, i) => i) }),
    );
    const c = readC3d(bytesSource(bytes));
    expect([c.frames, c.header.lastFrame, c.xyz[3 * frames - 1], codes(c)]).toEqual([
      frames,
      65535,
      3 * frames - 1,
      [],
    ]);
  });

  it('300 events are continued in TIMES2, and a time beyond a minute keeps its minute', () => {
    const events = Array.from({ length: 300 }, (_, i) => ({ label: `e${i}`, context: 'General', time_s: i }));
    const bytes = writeC3d(content({ frames: 300, rate_Hz: 1, events }));
    const c = readC3d(bytesSource(bytes));
    expect(c.events.map((e) => e.time_s)).toEqual(events.map((e) => e.time_s));
    expect(slowReadC3d(bytes).parameters.get('EVENT:TIMES')!.values.slice(124, 128)).toEqual([1, 2, 1, 3]);
  });

  it('extra parameters, screen axes and type groups come back', () => {
    const c = readC3d(
      bytesSource(
        writeC3d(
          content({
            screen: { x: '+X', y: '+Y' },
            parameters: [
              { group: 'POINT', name: 'ANGLES', type: 'char', text: ['RASI'] },
              {
                group: 'NOTES',
                name: 'MATRIX',
                type: 'float',
                numbers: [1, 2, 3, 4],
                dimensions: [2, 2],
                description: 'm',
              },
              { group: 'NOTES', name: 'WORDS', type: 'int16', numbers: [-1, 65535], dimensions: [2] },
            ],
          }),
        ),
      ),
    );
    expect([c.screen, [...c.typeGroups]]).toEqual([{ x: '+X', y: '+Y' }, [['ANGLES', ['RASI']]]]);
    const notes = c.groups.get('NOTES')!.parameters;
    expect(notes.get('MATRIX')).toMatchObject({ dimensions: [2, 2], numbers: [1, 2, 3, 4], description: 'm' });
    expect(notes.get('WORDS')!.numbers).toEqual([-1, -1]);
  });
});

describe('analog values and rotations', () => {
  const frames = 7;
  const wave = (i: number): number => Math.fround(50 * Math.sin(0.7 * i));
  const full = content({
    frames,
    firstFrame: 11,
    analog: {
      labels: Array.from({ length: 300 }, (_, i) => `A${i}`),
      units: Array.from({ length: 300 }, (_, i) => (i % 2 ? 'V' : 'N')),
      samplesPerFrame: 3,
      data: Float64Array.from({ length: 300 * 3 * frames }, (_, i) => wave(i)),
    },
    rotations: {
      labels: ['pelvis', 'thorax'],
      descriptions: ['of the pelvis', ''],
      samplesPerFrame: 2,
      // Thirds turn about (1, 1, 1): rows 0 1 0, 0 0 1, 1 0 0 forwards; the identity in every other sample.
      matrices: Float64Array.from(
        { length: 9 * 2 * 2 * frames },
        (_, i) => (Math.floor(i / 9) % 2 ? [0, 1, 0, 0, 0, 1, 1, 0, 0] : [1, 0, 0, 0, 1, 0, 0, 0, 1])[i % 9]!,
      ),
      translations: Float64Array.from({ length: 3 * 2 * 2 * frames }, (_, i) => i),
      reliability: Float32Array.from({ length: 2 * 2 * frames }, (_, i) => i / 8),
    },
  });

  it('come back, channels continued beyond 255, without a diagnostic', () => {
    const c = readC3d(bytesSource(writeC3d(full)), { strict: true });
    expect(c.diagnostics).toEqual([]);
    const { labels, units, samplesPerFrame, data } = full.analog!;
    expect(c.analog).toEqual({ channels: 300, labels, units, samplesPerFrame, data });
    expect(c.rotationData).toEqual({ ...full.rotations, rate_Hz: 480, frames: 14 });
    expect(c.xyz).toEqual(full.xyz);
    const slow = slowReadC3d(writeC3d(full));
    expect(slow.analog[2]![1]![299]).toBe(data[(299 * frames + 2) * 3 + 1]);
  });

  it.each(ENCODINGS)('$processor $form: the target says the same, integers within their step', (target) => {
    const plain = readC3d(bytesSource(writeC3d(full)));
    const c = readC3d(bytesSource(writeC3d(full, target)), { strict: true });
    expect([c.processor, c.form, c.diagnostics]).toEqual([target.processor, target.form, []]);
    expect([c.labels, c.events, c.firstFrame]).toEqual([plain.labels, plain.events, 11]);
    expect(c.rotationData).toEqual(plain.rotationData);
    const worst = (a: Float64Array, b: Float64Array): number =>
      a.reduce((m, v, i) => Math.max(m, Math.abs(v - b[i]!)), 0);
    const integer = target.form === 'integer';
    expect(worst(c.xyz, plain.xyz)).toBeLessThanOrEqual(integer ? c.residualScale * (0.5 + 1e-9) : 0);
    // Each channel has its largest value, at most 50, over 32000.
    expect(worst(c.analog.data, plain.analog.data)).toBeLessThanOrEqual(integer ? (50 / 32000) * (0.5 + 1e-6) : 0);
  });

  it('a value that the target lacks is refused and named', () => {
    const bad = { ...full, analog: { ...full.analog!, data: full.analog!.data.slice().fill(Number.NaN, 4, 5) } };
    expect(() => writeC3d(bad, { form: 'integer' })).toThrow(
      /intel integer: channel 1 "A0", frame 1 counted from 0: NaN/,
    );
    expect(() => writeC3d(bad, { processor: 'dec' })).toThrow(RangeError);
    expect(readC3d(bytesSource(writeC3d(bad, { processor: 'mips' }))).analog.data[4]).toBe(Number.NaN);
  });

  it('rotations alone make a file without points', () => {
    const alone = { ...full, labels: [], xyz: new Float64Array(0) };
    const { analog: _, ...bare } = alone;
    const c = readC3d(bytesSource(writeC3d(bare)));
    expect([c.points, c.frames, codes(c)]).toEqual([0, frames, ['no-points']]);
    expect(c.rotationData!.translations).toEqual(full.rotations!.translations);
  });

  it('sizes that disagree are refused with the number in them', () => {
    const refuse = (over: Partial<C3dContent>, message: RegExp): void => {
      expect(() => writeC3d({ ...full, ...over })).toThrow(RangeError);
      expect(() => writeC3d({ ...full, ...over })).toThrow(message);
    };
    refuse({ analog: { ...full.analog!, data: new Float64Array(3) } }, /analog.data: 3 values, not 6300/);
    refuse({ analog: { ...full.analog!, samplesPerFrame: 0.5 } }, /samplesPerFrame: 0.5/);
    refuse({ rotations: { ...full.rotations!, samplesPerFrame: 3 } }, /rotations.matrices: 252 values, not 378/);
    refuse({ rotations: { ...full.rotations!, labels: [] } }, /0 rotations/);
  });
});

describe('missing samples', () => {
  const xyz = Float64Array.of(1, Number.NaN, 2, 5, 3, 6);

  it('without fourth words a point that is no number is invalid and stored as zeros', () => {
    const c = readC3d(bytesSource(writeC3d(content({ labels: ['A'], frames: 2, xyz }))));
    expect([[...c.word4], [...c.xyz]]).toEqual([
      [0, -1],
      [1, 0, 2, 5, 3, 6],
    ]);
  });

  it('with a fourth word that calls it valid it stays what it is', () => {
    const c = readC3d(bytesSource(writeC3d(content({ labels: ['A'], frames: 2, xyz, word4: Int16Array.of(0, 7) }))));
    expect([[...c.word4], [...c.xyz]]).toEqual([
      [0, 7],
      [1, Number.NaN, 2, 5, 3, 6],
    ]);
  });
});

describe('what the writer promises', () => {
  it('same content, same bytes, in whole blocks', () => {
    const a = writeC3d(content());
    expect(writeC3d(content())).toEqual(a);
    expect(a.length % 512).toBe(0);
  });

  it('the default residual scale is the largest coordinate / 32000, or 1 where all are zero', () => {
    // Source: c3d.org user guide, floating-point format: |scale| should be max coordinate / 32000.
    const scaleOf = (xyz: Float64Array): number =>
      -slowReadC3d(writeC3d(content({ labels: ['A'], frames: 1, xyz }))).scale;
    expect(scaleOf(Float64Array.of(1, -1600, 2))).toBe(Math.fround(0.05));
    expect(scaleOf(Float64Array.of(0, 0, 0))).toBe(1);
  });

  it('refuses with the number in it what the format cannot hold', () => {
    const refuse = (over: Partial<C3dContent>, message: RegExp): void => {
      expect(() => writeC3d(content(over))).toThrow(RangeError);
      expect(() => writeC3d(content(over))).toThrow(message);
    };
    refuse({ xyz: new Float64Array(5) }, /xyz: 5 values, not 18/);
    refuse({ word4: new Int16Array(5) }, /word4: 5 values, not 6/);
    refuse({ rate_Hz: 0 }, /rate_Hz: 0/);
    refuse({ firstFrame: 0 }, /firstFrame: 0/);
    refuse({ frames: 1.5 }, /frames: 1.5/);
    refuse({ descriptions: ['one'] }, /descriptions: 1, not 2/);
    refuse({ labels: ['x'.repeat(256), 'b'] }, /256/);
    refuse({ events: [{ label: 'a', context: '', time_s: Number.NaN }] }, /NaN/);
    refuse({ xyz: new Float64Array(18).fill(1e39) }, /1e\+39/);
    refuse({ residualScale: -1 }, /residualScale: -1/);
    const extra = (parameter: NonNullable<C3dContent['parameters']>[number]): Partial<C3dContent> => ({
      parameters: [parameter],
    });
    refuse(extra({ group: 'POINT', name: 'USED', type: 'int16', numbers: [1], dimensions: [] }), /POINT:USED/);
    refuse(extra({ group: 'A', name: 'a b', type: 'int16', numbers: [1], dimensions: [] }), /a b/);
    refuse(extra({ group: 'A', name: 'B', type: 'int16', numbers: [70000], dimensions: [] }), /70000/);
    refuse(
      extra({ group: 'A', name: 'B', type: 'float', numbers: [1, 2], dimensions: [3] }),
      /2 values for dimensions \[3\]/,
    );
  });
});
