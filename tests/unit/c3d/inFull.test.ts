// Limits of the format, each in a file of its own. Source of the limits: C3D user guide (dimensions and continuations: parameter format
// and additional point parameters; ANALOG:FORMAT and ANALOG:BITS from memory).
import { describe, expect, it } from 'vitest';
import { C3D_DIAGNOSTICS, type C3dCode, Notes } from '../../../src/c3d/diagnosticCodes.ts';
import { type BuildSpec, type Field, floats, ints, text, texts } from '../../support/c3dBuilder.ts';
import { codes, problemOf, read, sample } from './helpers.ts';

const list = (type: 'float' | 'int16', values: readonly number[]): Field => ({ type, dims: [values.length], values });
const count = (n: number, from = 0): number[] => Array.from({ length: n }, (_, i) => from + i);

describe('parameters in full', () => {
  it.each(['byte', 'int16', 'float'] as const)(
    '%s parameters of 0 to 7 dimensions keep dimensions and order',
    (type) => {
      for (let n = 0; n <= 7; n += 1) {
        const dims = [2, 3, 1, 2, 1, 2, 2].slice(0, n);
        const values = count(dims.reduce((a, b) => a * b, 1));
        const c = read({ fields: { 'OWN:THING': { type, dims, values }, 'OWN:AFTER': ints(77) } });
        const found = c.groups.get('OWN')!.parameters.get('THING')!;
        expect([found.dimensions, found.numbers, codes(c)]).toEqual([dims, values, []]);
        expect(c.groups.get('OWN')!.parameters.get('AFTER')!.numbers).toEqual([77]);
      }
    },
  );

  it('texts of three and seven dimensions are one per column, and one of no dimension is one character', () => {
    const c = read({
      fields: {
        'OWN:THREE': { type: 'char', dims: [2, 2, 2], text: 'aabbccdd' },
        'OWN:SEVEN': { type: 'char', dims: [3, 1, 1, 2, 1, 1, 1], text: 'one two'.replace(' ', '') },
        'OWN:NONE': { type: 'char', dims: [], text: 'x' },
      },
    });
    const own = c.groups.get('OWN')!.parameters;
    expect(own.get('THREE')!.text).toEqual(['aa', 'bb', 'cc', 'dd']);
    expect(own.get('SEVEN')!.text).toEqual(['one', 'two']);
    expect(own.get('NONE')!.text).toEqual(['x']);
  });

  it('every list of points and channels is continued: labels, descriptions, units, scales, offsets', () => {
    const n = 600;
    const parts = (name: string, of: (i: number) => string): Record<string, Field> => ({
      [name]: texts(count(255).map(of)),
      [`${name}2`]: texts(count(255, 255).map(of)),
      [`${name}3`]: texts(count(90, 510).map(of)),
    });
    const numbers = (name: string, type: 'float' | 'int16', of: (i: number) => number): Record<string, Field> => ({
      [name]: list(type, count(255).map(of)),
      [`${name}2`]: list(type, count(255, 255).map(of)),
      [`${name}3`]: list(type, count(90, 510).map(of)),
    });
    const c = read({
      points: n,
      channels: n,
      frames: 2,
      point: (p, f) => [p, f, 1, 0],
      analog: (ch) => 2 * ch,
      fields: {
        ...parts('POINT:LABELS', (i) => `L${i}`),
        ...parts('POINT:DESCRIPTIONS', (i) => `d${i}`),
        ...parts('POINT:UNITS', (i) => `u${i % 7}`),
        ...parts('ANALOG:LABELS', (i) => `A${i}`),
        ...parts('ANALOG:UNITS', (i) => `v${i % 5}`),
        ...numbers('ANALOG:SCALE', 'float', (i) => 1 + i / 4),
        ...numbers('ANALOG:OFFSET', 'int16', (i) => i),
      },
    });
    expect(codes(c)).toEqual([]);
    for (const i of [0, 254, 255, 509, 510, 599]) {
      expect([c.labels[i], c.descriptions[i], c.units[i]]).toEqual([`L${i}`, `d${i}`, `u${i % 7}`]);
      expect([c.analog.labels[i], c.analog.units[i], c.analog.data[2 * i]]).toEqual([
        `A${i}`,
        `v${i % 5}`,
        i * (1 + i / 4),
      ]);
      expect(sample(c, i, 1)).toEqual([i, 1, 1, 0]);
    }
  });

  it('300 events and their contexts are continued in LABELS2, CONTEXTS2 and TIMES2; the header adds its 18', () => {
    const time = (i: number): number[] => [Math.floor(i / 100), (i % 100) / 2];
    const c = read({
      frames: 400,
      rate_Hz: 2,
      headerEvents: count(18).map((i) => ({ label: `H${i}`, time_s: i / 4 })),
      fields: {
        'EVENT:USED': ints(300),
        'EVENT:LABELS': texts(count(255).map((i) => `e${i}`)),
        'EVENT:LABELS2': texts(count(45, 255).map((i) => `e${i}`)),
        'EVENT:CONTEXTS': texts(count(255).map((i) => (i % 2 ? 'Left' : 'Right'))),
        'EVENT:CONTEXTS2': texts(count(45, 255).map((i) => (i % 2 ? 'Left' : 'Right'))),
        'EVENT:TIMES': { type: 'float', dims: [2, 255], values: count(255).flatMap(time) },
        'EVENT:TIMES2': { type: 'float', dims: [2, 45], values: count(45, 255).flatMap(time) },
      },
    });
    expect([c.events.length, codes(c)]).toEqual([318, []]);
    // Event 299: 2 minutes and 49.5 s.
    const last = c.events.find((event) => event.label === 'e299')!;
    expect([last.time_s, last.frame, last.context]).toEqual([169.5, 339, 'Left']);
  });
});

describe('analog words of 12, 14 and 16 bits', () => {
  // A converter of n bits gives 0 … 2^n − 1 about an offset of 2^(n − 1) when unsigned, −2^(n − 1) … 2^(n − 1) − 1 when signed.
  it.each([12, 14, 16])('%i bits, signed and unsigned: the ends of the range and the middle come out right', (bits) => {
    const half = { 12: 2048, 14: 8192, 16: 32768 }[bits]!;
    const spec: BuildSpec = { form: 'integer', channels: 3, frames: 1 };
    const common = { 'ANALOG:BITS': ints(bits), 'ANALOG:SCALE': list('float', [2, 2, 2]) };
    const unsigned = read({
      ...spec,
      analog: (c) => [0, half, 2 * half - 1][c]!,
      fields: { ...common, 'ANALOG:FORMAT': text('UNSIGNED'), 'ANALOG:OFFSET': list('int16', [half, half, half]) },
    });
    const signed = read({
      ...spec,
      analog: (c) => [-half, 0, half - 1][c]!,
      fields: { ...common, 'ANALOG:FORMAT': text('SIGNED'), 'ANALOG:OFFSET': list('int16', [0, 0, 0]) },
    });
    const expected = [-2 * half, 0, 2 * (half - 1)];
    expect([[...unsigned.analog.data], codes(unsigned)]).toEqual([expected, []]);
    expect([[...signed.analog.data], codes(signed)]).toEqual([expected, []]);
  });

  it('another width or format is told and read as signed words', () => {
    const fields = { 'ANALOG:BITS': ints(13), 'ANALOG:FORMAT': text('OTHER') };
    const c = read({ form: 'integer', channels: 1, frames: 1, analog: () => 65535, fields });
    expect([[...c.analog.data], codes(c)]).toEqual([[-1], ['analog-format-unknown', 'analog-format-unknown']]);
  });

  it('70,000 frames with a gain of 1/4: floats(…) scales and every frame is there', () => {
    const c = read({
      form: 'integer',
      points: 1,
      channels: 1,
      frames: 70_000,
      point: (_, f) => [f % 1000, 0, 0, 0],
      analog: (_c, _s, f) => f % 1000,
      fields: { 'ANALOG:GEN_SCALE': floats(0.25), 'POINT:LONG_FRAMES': floats(70_000) },
    });
    expect([c.frames, c.analog.data[69_999], c.xyz[69_999]]).toEqual([70_000, 999 / 4, 999 * c.residualScale]);
  });
});

describe('strict reading', () => {
  it.each(Object.entries(C3D_DIAGNOSTICS).map(([code, { severity }]) => [code, severity] as [C3dCode, string]))(
    '%s (%s): a warning or an error refuses at once, with code and offset; information does not',
    (code, severity) => {
      const strict = new Notes('a.c3d', true);
      const add = (): void => strict.add(code, 'found', 12);
      if (severity === 'info') {
        add();
        expect(strict.list().map((d) => d.code)).toEqual([code]);
        return;
      }
      expect(problemOf(add)).toMatchObject({ code, offset: 12, file: 'a.c3d' });
      const tolerant = new Notes('a.c3d', false);
      tolerant.add(code, 'found', 12);
      expect(tolerant.list()).toEqual([{ code, severity, message: 'found', offset: 12 }]);
    },
  );
});
