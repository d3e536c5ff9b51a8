import { describe, expect, it } from 'vitest';
import { FormatError } from '../../../src/base/errors.ts';
import { bytesSource, readC3d } from '../../../src/c3d/readC3d.ts';
import { buildC3d, ints } from '../../support/c3dBuilder.ts';
import { hostileOriginals, runHostileCases } from '../../support/c3dHostile.ts';

describe('damaged files', () => {
  it('2000 seeded mutations give a file or a FormatError, never anything else, and never more values than bytes', () => {
    const result = runHostileCases(2000, 20240612);
    expect(result.faults).toEqual([]);
    // The mutations must reach both sides, or the check says nothing.
    expect(result.refused).toBeGreaterThan(100);
    expect(result.read).toBeGreaterThan(500);
  });

  it('every cut of a file, byte by byte through header and parameters, gives a file or a FormatError', () => {
    const bytes = hostileOriginals()[0]!;
    for (let length = 0; length < bytes.length; length += length < 1600 ? 1 : 37) {
      try {
        const c = readC3d(bytesSource(bytes.slice(0, length)));
        expect(c.xyz.length).toBe(3 * c.points * c.frames);
      } catch (error) {
        expect(error).toBeInstanceOf(FormatError);
      }
    }
  });

  it('a file that declares 65535 points, 65535 analog values and 2^32 frames in 2 kB takes no memory', () => {
    const c = readC3d(
      bytesSource(
        buildC3d({
          words: { 2: 65535, 3: 65535, 5: 65534 },
          fields: {
            'TRIAL:ACTUAL_START_FIELD': ints(1, 0),
            'TRIAL:ACTUAL_END_FIELD': ints(-1, -1),
            'POINT:USED': ints(-1),
          },
        }),
      ),
    );
    expect([c.points, c.frames, c.xyz.length]).toEqual([65535, 0, 0]);
  });

  it('a file without stored values has no frames, whatever it declares', () => {
    const fields = { 'TRIAL:ACTUAL_START_FIELD': ints(1, 0), 'TRIAL:ACTUAL_END_FIELD': ints(-1, -1) };
    expect(readC3d(bytesSource(buildC3d({ points: 0, fields }))).frames).toBe(0);
  });

  it('a chain of tiny records that all declare the rest of the section is walked in linear time', () => {
    const section = new Uint8Array(512 * 900);
    for (let at = 4; at + 12 < section.length; at += 10) {
      // Name "A", group 1, next record 7 bytes after the offset word's start, char [255, 255].
      section.set([1, 1, 65, 7, 0, 0xff, 2, 255, 255, 0], at);
    }
    section.set([1, 0x50, 255, 84]);
    const bytes = new Uint8Array(512 + section.length + 512);
    bytes.set(buildC3d().subarray(0, 512));
    bytes.set(section, 512);
    new DataView(bytes.buffer).setUint16(16, bytes.length / 512, true);
    const start = performance.now();
    const c = readC3d(bytesSource(bytes));
    // 46,000 records take about 30 ms here; values read past each record would take minutes.
    expect(performance.now() - start).toBeLessThan(3000);
    expect(c.diagnostics.some((d) => d.code === 'parameter-cut')).toBe(true);
  });
});
