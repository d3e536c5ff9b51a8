import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import { readForces } from '../../src/intake/forces.ts';
import type { SettledFacts } from '../../src/intake/settleFacts.ts';
import type { Fact } from '../../src/model/trial.ts';
import { openData } from '../support/openData.ts';

const folder = openData('c3d');
const fact = <T>(value: T): Fact<T> => ({ value, source: 'set', evidence: '' });

/** Files in millimetres with +Z up; which way the target lies does not matter here. */
const settled = (rate_Hz: number): SettledFacts => ({
  facts: {
    units: fact('mm' as const),
    rate_Hz: fact(rate_Hz),
    up: fact('+Z' as const),
    target: fact('+X' as const),
    hand: fact('right' as const),
    mirrored: fact(false),
  },
  targetDirection: [1, 0, 0],
  exchangeSides: false,
  diagnostics: [],
});

// People walk over these platforms: a foot presses with up to about 0.7 to 1 kN, up, and within the corners (see c3dForces.test.ts).
describe.skipIf(folder === null)('force platforms of real files at the frames of the markers', () => {
  it.each([
    ['encodings/eb015pi', 2, []],
    ['encodings/pc_real', 2, []],
    ['landmarks/isb-landmarks-walk-200hz', 2, []],
    // Its moments are called N·m but are N·mm by their size: the unit that lies on the platform is taken.
    ['angles/gait-modelled-nonzero-start', 1, []],
  ] as const)('%s: loaded platforms push up, and press within their corners', (name, pressed, told) => {
    const file = readC3d(bytesSource(new Uint8Array(readFileSync(`${folder}/${name}.c3d`))));
    const { value, diagnostics } = readForces(file, settled(file.rate_Hz!));
    expect(diagnostics.map(({ code }) => code).filter((code) => /^force-(t|m|pressure)/.test(code))).toEqual(told);
    const n = file.frames;
    const loaded = value!.plates.filter(({ force_N }) => Math.max(...force_N.subarray(n, 2 * n)) > 400);
    expect(loaded.length).toBe(pressed);
    for (const { force_N, pressure_m, corners_m } of loaded) {
      const most = Math.max(...force_N.subarray(n, 2 * n));
      expect(most).toBeLessThan(1100);
      expect(Math.min(...force_N.subarray(n, 2 * n))).toBeGreaterThan(-20);
      let frames = 0;
      for (let f = 0; f < n; f += 1) {
        if (!(force_N[n + f]! > 50)) continue;
        frames += 1;
        for (const axis of [0, 2]) {
          const edges = corners_m.map((corner) => corner[axis]!);
          expect(pressure_m[axis * n + f]!).toBeGreaterThan(Math.min(...edges));
          expect(pressure_m[axis * n + f]!).toBeLessThan(Math.max(...edges));
        }
        expect(Math.abs(pressure_m[n + f]!)).toBeLessThan(0.03);
      }
      expect(frames).toBeGreaterThan(20);
    }
  });
});
