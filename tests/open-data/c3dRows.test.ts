// Rows E01–E24 of the check values and rows of the table of C3D problems, on the open files that show them.
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import type { C3dFile } from '../../src/c3d/types.ts';
import { openData } from '../support/openData.ts';

const here = openData('expected.json') !== null;

function bytesOf(name: string): Buffer {
  return readFileSync(openData(`c3d/${name}.c3d`)!);
}

function open(name: string): C3dFile {
  return readC3d(bytesSource(bytesOf(name)), { file: name });
}

function codes(c: C3dFile): string[] {
  return c.diagnostics.map((d) => d.code);
}

function xyz(c: C3dFile, point: number, frame: number): number[] {
  return [0, 1, 2].map((axis) => c.xyz[(3 * point + axis) * c.frames + frame]!);
}

function near(actual: readonly number[], wanted: readonly number[], tolerance: number): void {
  expect(actual).toHaveLength(wanted.length);
  wanted.forEach((value, i) => {
    expect(Math.abs(actual[i]! - value)).toBeLessThanOrEqual(tolerance);
  });
}

/** Camera numbers of a fourth word: the low seven bits of its high byte. */
function cameras(word: number): number[] {
  return [1, 2, 3, 4, 5, 6, 7].filter((n) => (word >> 8) & (1 << (n - 1)));
}

function largestDifference(a: Float64Array, b: Float64Array): number {
  let most = 0;
  for (let i = 0; i < a.length; i += 1) most = Math.max(most, Math.abs(a[i]! - b[i]!));
  return most;
}

describe.skipIf(!here)('six encodings of one trial', () => {
  const first = ['pi', 'pr', 'vi', 'vr', 'si', 'sr'].map((kind) => `encodings/eb015${kind}`);
  const second = ['pc_int', 'pc_real', 'dec_int', 'dec_real', 'sgi_int', 'sgi_real'].map((kind) => `encodings/${kind}`);

  it('rows 1–3: the first trial agrees to 0.0002 mm with the same words, events and analog values', () => {
    const reference = open(first[0]!);
    for (const name of first.slice(1)) {
      const c = open(name);
      // 0.0002 mm: rounding of coordinates up to 2000 mm to 32-bit floats (open-data INDEX).
      expect(largestDifference(c.xyz, reference.xyz)).toBeLessThan(2e-4);
      expect(c.word4).toEqual(reference.word4);
      expect(c.residualScale).toBe(reference.residualScale);
      expect(c.analog.data).toEqual(reference.analog.data);
      expect(c.events.map((e) => [e.label, e.frame])).toEqual(reference.events.map((e) => [e.label, e.frame]));
      expect([c.labels, c.units, c.screen]).toEqual([reference.labels, reference.units, reference.screen]);
    }
    expect(reference.word4[0]).toBe(15888);
  });

  it('rows 1, 2: the second trial agrees to one integer step of 0.2812 mm', () => {
    const reference = open(second[0]!);
    for (const name of second.slice(1)) {
      const c = open(name);
      // One step of POINT:SCALE and half a float step: one copy was rounded another way (open-data INDEX).
      expect(largestDifference(c.xyz, reference.xyz)).toBeLessThan(0.2812 + 1e-4);
      expect(c.labels).toEqual(reference.labels);
    }
  });

  it('moved blocks and E14 A and D: parameter and data blocks 2 and 11, 7 and 20; equal to the first trial', () => {
    const reference = open(first[0]!);
    for (const [name, parameterBlock, dataBlock] of [
      ['layout/moved-blocks-a', 2, 11],
      ['layout/moved-blocks-d', 7, 20],
    ] as const) {
      const c = open(name);
      expect([c.header.parameterBlock, c.header.dataBlock]).toEqual([parameterBlock, dataBlock]);
      expect(c.xyz).toEqual(reference.xyz);
      expect(c.word4).toEqual(reference.word4);
      expect(c.analog.data).toEqual(reference.analog.data);
    }
  });
});

describe.skipIf(!here)('check values E01 to E24', () => {
  // Sources: check-values.md; E01–E10 sample02 and E11–E13 sample01 of the c3d.org set, read back and recomputed.
  it('E01, E02: the first 24 bytes and what they mean', () => {
    expect(bytesOf('encodings/pc_real').toString('hex', 0, 24)).toBe(
      '02502400400001005900 0a0012f78fbe0d000400 00004842'.replaceAll(' ', ''),
    );
    const { header } = open('encodings/pc_real');
    expect(header).toMatchObject({
      parameterBlock: 2,
      points: 36,
      analogPerFrame: 64,
      firstFrame: 1,
      lastFrame: 89,
      maxGap: 10,
      scale: Math.fround(-0.2811818719),
      dataBlock: 13,
      analogSamplesPerFrame: 4,
      rate_Hz: 50,
    });
  });

  it('E03: processor bytes 84, 85 and 86 are Intel, DEC and MIPS', () => {
    for (const [name, byte, processor] of [
      ['pc_int', 84, 'intel'],
      ['dec_int', 85, 'dec'],
      ['sgi_int', 86, 'mips'],
    ] as const) {
      expect(bytesOf(`encodings/${name}`)[515]).toBe(byte);
      expect(open(`encodings/${name}`).processor).toBe(processor);
    }
  });

  it('E07: frame 11, point 1 in the three float and the three integer files', () => {
    for (const name of ['pc_real', 'dec_real', 'sgi_real']) {
      near(xyz(open(`encodings/${name}`), 0, 10), [363.56815, 361.03754, 81.54274], 1e-4);
    }
    for (const name of ['pc_int', 'dec_int', 'sgi_int']) {
      near(xyz(open(`encodings/${name}`), 0, 10), [363.56816, 361.03752, 81.54274], 1e-4);
    }
  });

  it('E08: the fourth word 0x2106 names cameras 1 and 6 and a residual of 6 steps', () => {
    const c = open('encodings/pc_real');
    const word = c.word4[10]!;
    expect([word, cameras(word)]).toEqual([0x2106, [1, 6]]);
    // 32-bit scale: 6 × 0.28118187189.
    expect(Math.abs((word & 0xff) * c.residualScale - 1.6870912313)).toBeLessThan(1e-9);
  });

  it('E09: frame 1, point 1 is zeros with a fourth word of −1', () => {
    const c = open('encodings/pc_real');
    expect([xyz(c, 0, 0), c.word4[0]]).toEqual([[0, 0, 0], -1]);
  });

  it('E10, row 10: words 150 and 151 and the nine header events', () => {
    const bytes = bytesOf('encodings/pc_real');
    expect([bytes.readUInt16LE(298), bytes.readUInt16LE(300)]).toEqual([12345, 9]);
    const { events } = open('encodings/pc_real');
    expect(events.map((e) => e.label)).toEqual(['RHS', 'STRT', 'RMS', 'LHS', 'RTO', 'LMS', 'STOP', 'LTO', 'EOF']);
    near(
      events.map((e) => e.time_s),
      [0.38, 0.68, 0.72, 0.84, 0.92, 1.16, 1.2, 1.4, 1.76],
      1e-6,
    );
    expect(new Set(events.map((e) => e.store))).toEqual(new Set(['header']));
    expect(open('encodings/dec_int').events).toHaveLength(8);
  });

  it('E11: counts, scale, rates and header events of the first trial', () => {
    const c = open('encodings/eb015pi');
    expect([c.points, c.frames, c.rate_Hz, c.rate_Hz! * c.analog.samplesPerFrame]).toEqual([26, 450, 50, 200]);
    expect(Math.abs(c.residualScale - 0.0833333358)).toBeLessThan(1e-9);
    expect(c.events.map((e) => e.label)).toEqual(['RIC', 'RHS', 'RTO']);
    near(
      c.events.map((e) => e.time_s),
      [2.72, 5.4, 7.32],
      1e-6,
    );
  });

  it('E12, E14: frame 1, point 1: coordinates, cameras 2 to 6 and the residual', () => {
    for (const name of ['encodings/eb015pi', 'layout/moved-blocks-a', 'layout/moved-blocks-d']) {
      const c = open(name);
      near(xyz(c, 0, 0), [248.583341, 226.83334, 37.416668], 1e-5);
      const word = c.word4[0]!;
      expect(cameras(word)).toEqual([2, 3, 4, 5, 6]);
      expect(Math.abs((word & 0xff) * c.residualScale - 1.3333334)).toBeLessThan(1e-6);
    }
  });

  it('E13: scaled analog values of the first sample', () => {
    const { analog } = open('encodings/eb015pi');
    const perChannel = analog.data.length / analog.channels;
    near(
      [analog.data[0]!, analog.data[perChannel]!, analog.data[2 * perChannel]!],
      [-26.66000044, 0, -20.83200049],
      1e-6,
    );
  });

  it('E22, E23, row 40: 21 rotations at 85 Hz, 340 frames by the size of the file', () => {
    const c = open('layout/rotation-group');
    const rotation = c.groups.get('ROTATION')!.parameters;
    expect([c.rotations, rotation.get('RATE')!.numbers[0], rotation.get('RATIO')!.numbers[0]]).toEqual([21, 85, 1]);
    expect(rotation.get('DATA_START')!.numbers).toEqual([6]);
    expect(rotation.get('LABELS')!.text.slice(0, 2)).toEqual(['worldbody_4X4', 'pelvis_4X4']);
    expect(Math.floor((488448 - 5 * 512) / (21 * 17 * 4))).toBe(340);
    expect([c.frames, c.points, c.xyz.length]).toEqual([340, 0, 0]);
  });
});

describe.skipIf(!here)('problems people met, on the files that show them', () => {
  it('row 8: event times of trimmed files count from raw frame 1', () => {
    const c = open('angles/walk-full');
    expect([c.firstFrame, c.events.length]).toEqual([148, 12]);
    // The earliest stored time is 1.53 s at 100 Hz or later: every event lies inside the 315 frames.
    for (const e of c.events) {
      expect(e.frame).toBeGreaterThanOrEqual(0);
      expect(e.frame).toBeLessThan(c.frames);
      expect(e.frame).toBe(Math.round(e.time_s * 100));
    }
    const times = c.groups.get('EVENT')!.parameters.get('TIMES')!.numbers;
    const earliest = Math.min(...times.filter((_, i) => i % 2 === 1));
    expect(c.events[0]!.frame).toBe(Math.round(earliest * 100) - 147);
    const j = open('landmarks/isb-landmarks-walk-200hz');
    expect(j.events.map((e) => e.frame)).toEqual([14, 33, 106, 128, 203, 226, 302]);
  });

  it('row 12: contexts missing, flat times, more subjects than events', () => {
    expect(open('landmarks/isb-landmarks-walk-200hz').events.every((e) => e.context === '' && e.label !== '')).toBe(
      true,
    );
    expect(codes(open('angles/walk-full'))).toEqual(['event-times-layout']);
    const c = open('layout/parameter-overflow');
    expect([c.events.length, c.groups.get('EVENT')!.parameters.get('SUBJECTS')!.text.length]).toEqual([6, 15]);
  });

  it('rows 13, 25, 33: missing ANALOG, damaged records and files without points are read', () => {
    const bare = open('layout/missing-desc-length-byte');
    expect([bare.groups.has('ANALOG'), codes(bare)]).toEqual([false, ['parameter-without-description']]);
    const cut = open('layout/bad-parameter-offset');
    expect(codes(cut)).toEqual(['parameter-cut', 'parameter-without-description', 'point-scale-disagrees']);
    const analogOnly = open('layout/emg-only');
    expect([analogOnly.points, analogOnly.frames, analogOnly.analog.channels]).toEqual([0, 4564, 8]);
    expect(codes(analogOnly)).toContain('no-points');
  });

  it('row 25: a corrupt chain keeps the groups before the damage', () => {
    const c = open('layout/corrupt-parameter-chain');
    expect([...c.groups.keys()]).toEqual(['POINT', 'ANALOG', 'FORCE_PLATFORM', 'EMG', 'EVENT']);
    expect([c.labels.length, c.events.length]).toEqual([45, 7]);
    expect(codes(c)).toContain('parameter-cut');
    expect(() => readC3d(bytesSource(bytesOf('layout/corrupt-parameter-chain')), { strict: true })).toThrow(/LABELS/);
  });

  it('row 14: header rate and scale stand in for missing parameters', () => {
    expect([open('layout/no-parameters').rate_Hz, codes(open('layout/no-parameters'))]).toEqual([
      30,
      ['no-parameters', 'rate-from-header', 'point-scale-missing', 'labels-fewer-than-points'],
    ]);
    expect(codes(open('layout/no-rate-scale-units'))).toEqual(['rate-from-header', 'point-scale-missing']);
  });

  it('row 17: 29 frames of 1149 are kept and 1120 said to be missing', () => {
    const c = open('layout/29-of-1149-frames');
    expect([c.frames, codes(c)]).toEqual([29, ['frames-missing']]);
    expect(c.diagnostics[0]).toMatchObject({ message: '29 of 1149 frames are there, 1120 are missing', offset: 28640 });
    expect([c.units.length, new Set(c.units)]).toEqual([54, new Set(['mm'])]);
  });

  it('rows 20, 22, 43: parameters without their group, past the declared blocks, and a last offset past the end', () => {
    expect(codes(open('layout/parameters-before-group'))).toEqual(['parameter-without-group']);
    expect(open('layout/parameters-before-group').groups.get('#7')!.parameters.size).toBe(9);
    expect(codes(open('layout/parameters-past-blocks'))).toEqual(['parameter-blocks-wrong', 'event-outside-file']);
    expect(codes(open('encodings/sgi_real'))).toEqual(['parameter-chain-past-end', 'labels-more-than-points']);
  });

  it('row 18: two groups of one name are merged', () => {
    expect(codes(open('angles/static-full-ff'))).toEqual(['group-repeated', 'parameter-repeated']);
  });

  it('rows 26, 29, 34, 38: the golf swing passes through as stored: words of −1, no units, Latin-1 descriptions', () => {
    const c = open('swings/golf-200hz-mirrored-lab');
    expect(c.word4.every((word) => word === -1)).toBe(true);
    expect([c.units, c.screen, codes(c)]).toEqual([[''], null, ['text-not-utf8']]);
    expect(c.descriptions.some((d) => d.includes('Schläger'))).toBe(true);
    expect(c.xyz.some((value) => value !== 0)).toBe(true);
  });

  it('row 30: labels of model outputs are set apart', () => {
    const c = open('angles/walk-full');
    expect([...c.typeGroups.keys()]).toEqual(['ANGLES', 'FORCES', 'MOMENTS', 'POWERS']);
    expect(c.typeGroups.get('ANGLES')).toContain('LPelvisAngles');
  });

  it('row 34: odd unit texts pass through', () => {
    expect(open('layout/parameters-past-blocks').units).toEqual(['mete']);
  });

  it('row 35: the frame length of a wrong header count is settled by the file size', () => {
    const c = open('layout/wrong-analog-used');
    expect([c.analog.channels, c.analog.samplesPerFrame, c.frames]).toEqual([16, 7, 840]);
    expect(codes(c)).toEqual(['analog-count-disagrees']);
  });

  it('words of 65535 in a float file are held and told, and their coordinates are all zero', () => {
    const c = open('angles/gait-modelled-nonzero-start');
    expect(codes(c)).toEqual(['fourth-word-outside-range']);
    let held = 0;
    for (let p = 0; p < c.points; p += 1) {
      for (let f = 0; f < c.frames; f += 1) {
        if (c.word4[p * c.frames + f] !== 32767) continue;
        held += 1;
        expect(xyz(c, p, f)).toEqual([0, 0, 0]);
      }
    }
    expect(held).toBe(1996);
  });

  it('row 39: a copy under a path with accents and blanks is read alike', () => {
    const folder = mkdtempSync(join(tmpdir(), 'c3d-'));
    try {
      const inner = join(folder, 'Schläge früh');
      mkdirSync(inner);
      const copy = join(inner, 'été 1.c3d');
      copyFileSync(openData('c3d/encodings/pc_int.c3d')!, copy);
      expect(readC3d(bytesSource(readFileSync(copy))).xyz).toEqual(open('encodings/pc_int').xyz);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
