// Every C3D file of the open data against expected.json: counts and sums from an independent reader, angles as stored in the files.
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import type { C3dFile } from '../../src/c3d/types.ts';
import { openData } from '../support/openData.ts';

interface Sample {
  readonly point: number;
  readonly frame: number;
  readonly xyz: readonly number[];
}

interface Expected {
  readonly bytes: number;
  readonly sha256: string;
  readonly processor: 'PC' | 'DEC' | 'MIPS';
  readonly storage: 'float' | 'int';
  readonly points: number;
  readonly frames: number;
  readonly firstFrame: number;
  readonly lastFrameHeader: number;
  readonly rate: number;
  readonly labels: number;
  readonly firstLabel: string | null;
  readonly units?: string;
  readonly paramBlock: number;
  readonly dataBlock: number;
  readonly analogPerFrameTotal: number;
  readonly analogSamplesPerFrame: number;
  readonly invalidSamples?: number;
  readonly validSamples?: number;
  readonly firstValid?: Sample;
  readonly lastValid?: Sample;
  readonly sumXYZ?: readonly number[];
  readonly rotations?: number;
  readonly storedAnglesDegByFrameIndex?: Record<string, Record<string, readonly number[]>>;
}

const index = openData('expected.json');
const expected: Record<string, Expected> = index ? JSON.parse(readFileSync(index, 'utf8')) : {};
const PROCESSOR = { PC: 'intel', DEC: 'dec', MIPS: 'mips' } as const;

/** Coordinates in expected.json have four decimals. */
const FOUR_DECIMALS = 0.5001e-4;

/** Valid = the fourth word is not negative; sums skip coordinates that are no numbers. First and last in file order. */
function summary(c: C3dFile): { invalid: number; sums: number[]; valid: [number, number][] } {
  let invalid = 0;
  const sums = [0, 0, 0];
  const valid: [number, number][] = [];
  for (let f = 0; f < c.frames; f += 1) {
    for (let p = 0; p < c.points; p += 1) {
      if (c.word4[p * c.frames + f]! < 0) {
        invalid += 1;
        continue;
      }
      valid.push([p, f]);
      for (let axis = 0; axis < 3; axis += 1) {
        const value = c.xyz[(3 * p + axis) * c.frames + f]!;
        if (!Number.isNaN(value)) sums[axis]! += value;
      }
    }
  }
  return { invalid, sums, valid };
}

function near(c: C3dFile, at: Sample): void {
  at.xyz.forEach((value, axis) => {
    const read = c.xyz[(3 * at.point + axis) * c.frames + at.frame]!;
    expect(Math.abs(read - value)).toBeLessThanOrEqual(FOUR_DECIMALS);
  });
}

describe.skipIf(index === null)('open C3D files', () => {
  const names = Object.keys(expected).filter((name) => name.endsWith('.c3d'));

  it('expected.json names all 32 files', () => {
    expect(names).toHaveLength(32);
  });

  it.each(names)('%s has the counts, sums, first and last coordinates and angles expected of it', (name) => {
    const e = expected[name]!;
    const bytes = readFileSync(openData(name)!);
    expect(bytes.length).toBe(e.bytes);
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(e.sha256);
    const c = readC3d(bytesSource(bytes), { file: name });

    expect([c.processor, c.form]).toEqual([PROCESSOR[e.processor], e.storage === 'int' ? 'integer' : 'float']);
    expect([c.points, c.frames, c.firstFrame, c.rate_Hz]).toEqual([e.points, e.frames, e.firstFrame, e.rate]);
    expect([c.header.parameterBlock, c.header.dataBlock, c.header.lastFrame]).toEqual([
      e.paramBlock,
      e.dataBlock,
      e.lastFrameHeader,
    ]);
    const stored = c.groups.get('POINT')?.parameters.get('LABELS')?.text ?? [];
    expect([stored.length, c.labels.length]).toEqual([e.labels, e.points]);
    if (e.points > 0) expect(c.labels[0]).toBe(e.firstLabel ?? '');
    if (e.units !== undefined) expect(c.units[0]).toBe(e.units === '-' ? '' : e.units);
    expect(c.analog.channels * c.analog.samplesPerFrame).toBe(e.analogPerFrameTotal);
    expect(c.analog.samplesPerFrame).toBe(e.analogSamplesPerFrame);
    expect(c.rotations).toBe(e.rotations ?? 0);

    const { invalid, sums, valid } = summary(c);
    expect(invalid).toBe(e.invalidSamples ?? 0);
    expect(valid.length).toBe(e.validSamples ?? 0);
    e.sumXYZ?.forEach((sum, axis) => {
      // Three decimals in expected.json; sums of up to 55,000 values in another order differ by less than 1e-6 of them.
      expect(Math.abs(sums[axis]! - sum)).toBeLessThanOrEqual(0.5001e-3 + 1e-12 * Math.abs(sum));
    });
    if (e.firstValid) {
      expect([e.firstValid.point, e.firstValid.frame]).toEqual(valid[0]);
      near(c, e.firstValid);
    }
    if (e.lastValid) {
      expect([e.lastValid.point, e.lastValid.frame]).toEqual(valid.at(-1));
      near(c, e.lastValid);
    }
    for (const [label, byFrame] of Object.entries(e.storedAnglesDegByFrameIndex ?? {})) {
      const point = c.labels.indexOf(label);
      expect(point).toBeGreaterThanOrEqual(0);
      for (const [frame, xyz] of Object.entries(byFrame)) near(c, { point, frame: Number(frame), xyz });
    }
  });
});
