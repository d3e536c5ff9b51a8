// Numbers in test names are rows of the design notes' table of problems people met with C3D files.
import { describe, expect, it } from 'vitest';
import { type Field, floats, ints, text, texts } from '../../support/c3dBuilder.ts';
import { codes, problemOf, read } from './helpers.ts';

const list = (type: 'float' | 'int16', ...values: number[]): Field => ({ type, dims: [values.length], values });

describe('analog values', () => {
  it('row 36: samples are stored sample-major within a frame and come out as columns', () => {
    const c = read({ channels: 3, samplesPerFrame: 2, frames: 2, analog: (ch, s, f) => 100 * ch + 10 * s + f });
    expect([...c.analog.data]).toEqual([0, 10, 1, 11, 100, 110, 101, 111, 200, 210, 201, 211]);
    expect(c.analog.labels).toEqual(['A1', 'A2', 'A3']);
  });

  it('row 37: (raw − OFFSET) × SCALE × GEN_SCALE holds for float and integer files alike', () => {
    for (const form of ['float', 'integer'] as const) {
      const c = read({
        form,
        channels: 2,
        frames: 1,
        analog: (ch) => 2110 + ch,
        fields: {
          'ANALOG:OFFSET': list('int16', 2048, 2047),
          'ANALOG:SCALE': list('float', -0.5, 2),
          'ANALOG:GEN_SCALE': floats(0.25),
        },
      });
      expect([...c.analog.data]).toEqual([62 * -0.5 * 0.25, 64 * 2 * 0.25]);
    }
  });

  it('an OFFSET may be stored as float', () => {
    const c = read({ channels: 1, frames: 1, analog: () => 5, fields: { 'ANALOG:OFFSET': list('float', 1.5) } });
    expect([...c.analog.data]).toEqual([3.5]);
  });

  it('FORMAT UNSIGNED makes integer samples and integer offsets unsigned', () => {
    const spec = { form: 'integer', channels: 1, frames: 1, analog: () => 65535 } as const;
    const fields = { 'ANALOG:OFFSET': list('int16', 32768), 'ANALOG:FORMAT': text('UNSIGNED') };
    expect([...read({ ...spec, fields }).analog.data]).toEqual([32767]);
    const signed = { ...fields, 'ANALOG:FORMAT': text('SIGNED') };
    expect([...read({ ...spec, fields: signed }).analog.data]).toEqual([-1 + 32768]);
  });

  it('row 23: scales of zero are replaced by 1 and told with the channel', () => {
    const c = read({
      channels: 2,
      frames: 1,
      analog: () => 9,
      fields: { 'ANALOG:SCALE': list('float', 2, 0), 'ANALOG:GEN_SCALE': floats(0) },
    });
    expect([...c.analog.data]).toEqual([18, 9]);
    expect(codes(c)).toEqual(['analog-scale-zero', 'analog-scale-zero']);
    expect(c.diagnostics[1]!.message).toContain('channels 2 ');
  });

  it('missing scales and offsets are 1 and 0, and labels and scales beyond 255 are continued', () => {
    const few = read({
      channels: 2,
      frames: 1,
      analog: () => 9,
      fields: { 'ANALOG:SCALE': null, 'ANALOG:OFFSET': null },
    });
    expect([[...few.analog.data], codes(few)]).toEqual([[9, 9], ['analog-scale-missing']]);
    const fill = (n: number, value: number): number[] => Array<number>(n).fill(value);
    const many = read({
      channels: 300,
      frames: 1,
      analog: () => 1,
      fields: {
        'ANALOG:LABELS': texts(fill(255, 1).map((_, i) => `C${i}`)),
        'ANALOG:LABELS2': texts(fill(45, 1).map((_, i) => `C${i + 255}`)),
        'ANALOG:SCALE': list('float', ...fill(255, 2)),
        'ANALOG:SCALE2': list('float', ...fill(45, 3)),
        'ANALOG:OFFSET': list('int16', ...fill(255, 0)),
        'ANALOG:OFFSET2': list('int16', ...fill(45, 0)),
      },
    });
    expect([many.analog.labels[299], many.analog.data[254], many.analog.data[299], codes(many)]).toEqual([
      'C299',
      2,
      3,
      [],
    ]);
  });

  it('row 35: a header count that is not channels × samples is settled by the file size', () => {
    // Header word 3 holds the channels instead of channels × samples, as a real file does.
    const c = read({ channels: 4, samplesPerFrame: 3, frames: 40, words: { 3: 4 } });
    expect([c.analog.channels, c.analog.samplesPerFrame, c.frames, codes(c)]).toEqual([
      4,
      3,
      40,
      ['analog-count-disagrees'],
    ]);
    const wrongUsed = read({ channels: 4, samplesPerFrame: 3, frames: 40, fields: { 'ANALOG:USED': ints(7) } });
    expect([wrongUsed.analog.channels, wrongUsed.frames]).toEqual([4, 40]);
  });

  it('row 35: values that do not divide into samples are set aside, points are read, strict refuses', () => {
    const spec = {
      channels: 7,
      frames: 40,
      words: { 10: 2 },
      fields: { 'ANALOG:USED': null },
      point: (p: number, f: number) => [p, f, 1, 0] as const,
    };
    const c = read(spec);
    expect([c.analog.channels, c.analog.data.length, c.frames]).toEqual([0, 0, 40]);
    expect(c.xyz[40 + 39]).toBe(39);
    expect(codes(c)).toEqual(['analog-does-not-divide']);
    expect(problemOf(() => read(spec, true)).code).toBe('analog-does-not-divide');
  });

  it('row 35: an ANALOG:RATE that is no whole multiple of the frame rate is told, strict refuses', () => {
    const spec = { channels: 2, samplesPerFrame: 2, fields: { 'ANALOG:RATE': floats(250) } };
    expect(codes(read(spec))).toEqual(['analog-rate-disagrees']);
    expect(problemOf(() => read(spec, true)).code).toBe('analog-rate-disagrees');
  });

  it('a header without samples per frame takes them from ANALOG:USED', () => {
    const c = read({ channels: 4, samplesPerFrame: 3, frames: 40, words: { 10: 0 } });
    expect([c.analog.channels, c.analog.samplesPerFrame]).toEqual([4, 3]);
  });

  it('units are one for all or one per channel', () => {
    const one = read({ channels: 2, fields: { 'ANALOG:UNITS': text('V') } });
    const each = read({ channels: 2, fields: { 'ANALOG:UNITS': texts(['N', 'Nm']) } });
    expect([one.analog.units, each.analog.units]).toEqual([['V'], ['N', 'Nm']]);
  });
});
