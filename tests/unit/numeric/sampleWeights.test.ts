import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  interpolatePoint,
  interpolatePointVelocity,
  interpolateRotation,
  interpolateValue,
} from '../../../src/numeric/interpolate.ts';
import { expRotation } from '../../../src/numeric/rotation.ts';
import {
  pointAtSample,
  rotationAtSample,
  sampleWeights,
  valueAtSample,
  velocityAtSample,
} from '../../../src/numeric/sampleWeights.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';

const RATE_Hz = 240;

/** Points of so many frames, some of them missing. */
function pointsOf(frames: number, missing: readonly number[]): Float64Array {
  const data = new Float64Array(3 * frames);
  for (let f = 0; f < frames; f++) {
    for (let c = 0; c < 3; c++) data[c * frames + f] = missing.includes(f) ? Number.NaN : Math.sin(0.3 * f + c) + c;
  }
  return data;
}

function rotationsOf(frames: number, missing: readonly number[]): Float64Array {
  const ms = new Float64Array(9 * frames);
  for (let f = 0; f < frames; f++) {
    expRotation([0.1 * Math.sin(f / 3), 0.2 * f, 0.05 * f], ms, 9 * f);
    if (missing.includes(f)) ms.fill(Number.NaN, 9 * f, 9 * f + 9);
  }
  return ms;
}

const series = fc.record({
  frames: fc.integer({ min: 1, max: 24 }),
  missing: fc.array(fc.integer({ min: 0, max: 23 }), { maxLength: 4 }),
  times: fc.array(fc.double({ min: -3, max: 27 }), { minLength: 1, maxLength: 6 }),
});

describe('weights worked out once for many series', () => {
  // The oracle makes its own weights for each series and time. The same sums in the same order: no tolerance.
  it('give what the interpolation of each series alone gives, to the last bit, beside gaps and bounds too', () => {
    fc.assert(
      fc.property(series, ({ frames, missing, times }) => {
        const ws = createWorkspace({ poison: true });
        const data = pointsOf(frames, missing);
        const ms = rotationsOf(frames, missing);
        const at = sampleWeights(times, frames, ws);
        const [found, expected] = [new Float64Array(3), new Float64Array(3)];
        const [turned, asked] = [new Float64Array(9), new Float64Array(9)];
        times.forEach((t, i) => {
          expect(valueAtSample(at, i, data, frames)).toBe(interpolateValue(data, frames, frames, t));
          pointAtSample(at, i, data, found);
          interpolatePoint(data, frames, t, expected);
          expect([...found]).toEqual([...expected]);
          velocityAtSample(at, i, data, RATE_Hz, found);
          interpolatePointVelocity(data, frames, t, RATE_Hz, expected);
          expect([...found]).toEqual([...expected]);
          rotationAtSample(at, i, ms, turned, 0);
          interpolateRotation(ms, frames, t, asked);
          expect([...turned]).toEqual([...asked]);
        });
      }),
      { seed: 31, numRuns: 300 },
    );
  });

  it('give NaN at a time that is NaN', () => {
    const at = sampleWeights([Number.NaN], 12, createWorkspace({ poison: true }));
    const out = new Float64Array(3);
    pointAtSample(at, 0, pointsOf(12, []), out);
    expect([...out]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(valueAtSample(at, 0, pointsOf(12, []))).toBeNaN();
  });
});
