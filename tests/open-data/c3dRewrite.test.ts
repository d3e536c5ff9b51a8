// Every C3D file of the open data rewritten in all six encodings and read back (issue: C3D, check 1).
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import { ENCODINGS, expectSame, rewriteAndRead } from '../support/c3dRewriteChecks.ts';
import { openData } from '../support/openData.ts';

const index = openData('expected.json');
const names = index
  ? Object.keys(JSON.parse(readFileSync(index, 'utf8')) as Record<string, unknown>).filter((n) => n.endsWith('.c3d'))
  : [];

describe.skipIf(index === null)('open C3D files, rewritten', () => {
  it('are 32', () => {
    expect(names).toHaveLength(32);
  });

  it.each(names)('%s reads back equal in all six encodings', (name) => {
    const source = bytesSource(readFileSync(openData(name)!));
    const old = readC3d(source, { file: name });
    expect(old.rotationData === null).toBe(!name.includes('rotation-group'));
    for (const { processor, form } of ENCODINGS) {
      const again = rewriteAndRead(old, { processor, form, source });
      expect(again.report.diagnostics.filter(({ code }) => code.endsWith('left-out'))).toEqual([]);
      expectSame(old, again, processor, form);
    }
  });

  it('rotation matrices come back equal through MIPS, the NaN of invalid ones included', () => {
    const stored = readFileSync(openData('c3d/layout/rotation-group.c3d')!);
    const old = readC3d(bytesSource(stored));
    const mips = rewriteAndRead(old, { processor: 'mips', source: bytesSource(stored) });
    const back = rewriteAndRead(mips.file, { processor: 'intel', source: bytesSource(mips.bytes) });
    const start = (bytes: Uint8Array): number => {
      const block = readC3d(bytesSource(bytes)).groups.get('ROTATION')!.parameters.get('DATA_START')!.numbers[0]!;
      return 512 * (block - 1);
    };
    const length = 340 * 21 * 17 * 4;
    const floats = (bytes: Uint8Array): number[] => {
      const part = Buffer.from(bytes.slice(start(bytes), start(bytes) + length));
      return Array.from({ length: length / 4 }, (_, i) => part.readFloatLE(4 * i));
    };
    expect(floats(back.bytes)).toEqual(floats(stored));
    expect(floats(back.bytes).some((v) => Number.isNaN(v))).toBe(true);
  });
});
