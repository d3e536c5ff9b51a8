import { describe, expect, it } from 'vitest';
import { FormatError } from '../../../src/base/errors.ts';
import type { C3dRotations } from '../../../src/c3d/types.ts';
import { ANGLE_ORDERS, type AngleOrder, rotationFromAngles } from '../../../src/numeric/eulerAngles.ts';
import { mul3 } from '../../../src/numeric/rotationKernels.ts';
import { anglesBetween, orderNamed } from '../../../src/pipeline/anglesBetween.ts';

const DEG = Math.PI / 180;

/** Two bodies: a parent that turns about a skew axis, and a child that has known angles to it. */
function rotations(
  child: readonly (readonly [number, number, number])[],
  order: AngleOrder,
  invalid = -1,
): C3dRotations {
  const frames = child.length;
  const matrices = new Float64Array(9 * 2 * frames);
  const R = new Float64Array(9);
  for (let frame = 0; frame < frames; frame++) {
    rotationFromAngles(0.3 + 0.05 * frame, -0.4, 1.1 - 0.02 * frame, 'XYZ', matrices, 9 * frame);
    const [a, b, c] = child[frame]!;
    rotationFromAngles(a * DEG, b * DEG, c * DEG, order, R);
    mul3(matrices, 9 * frame, R, 0, matrices, 9 * (frames + frame));
    if (frame === invalid) matrices.fill(Number.NaN, 9 * frame, 9 * frame + 9);
  }
  return {
    labels: ['pelvis_4X4', 'Trunk '],
    descriptions: [],
    rate_Hz: 100,
    samplesPerFrame: 1,
    frames,
    matrices,
    translations: new Float64Array(3 * 2 * frames),
    reliability: new Float32Array(2 * frames),
  };
}

const ASKED = { parent: 'pelvis', child: 'trunk', order: 'ZXY' as AngleOrder };

describe('angles between two named rotations', () => {
  it.each(ANGLE_ORDERS)('order %s: range and mean of the angles they were made of', (order) => {
    const made = [0, 1, 2, 3, 4].map((i) => [10 + 2 * i, 30 + i, -20 - 3 * i] as const);
    const one = anglesBetween(rotations(made, order), { ...ASKED, order }, 'a.c3d');
    expect(one).toMatchObject({ parent: 'pelvis_4X4', child: 'Trunk', order, frames: 5, missing: 0, nearSingular: 0 });
    expect(one.angles.map(({ axis }) => axis).join('')).toBe(order);
    const expected = [
      [10, 14, 18],
      [30, 32, 34],
      [-32, -26, -20],
    ];
    for (const [i, { min_deg, mean_deg, max_deg }] of one.angles.entries()) {
      // Rounding of a dozen products of numbers up to one.
      expect(min_deg).toBeCloseTo(expected[i]![0]!, 10);
      expect(mean_deg).toBeCloseTo(expected[i]![1]!, 10);
      expect(max_deg).toBeCloseTo(expected[i]![2]!, 10);
    }
  });

  it('frames in which one of the two is invalid are missing and count for nothing', () => {
    const made = [0, 1, 2].map((i) => [10 * i, 5, 0] as const);
    const one = anglesBetween(rotations(made, 'ZXY', 2), ASKED, 'a.c3d');
    expect(one).toMatchObject({ frames: 3, missing: 1 });
    expect(one.angles[0]!.max_deg).toBeCloseTo(10, 10);
  });

  it('all frames missing: no numbers', () => {
    const one = anglesBetween(rotations([[1, 2, 3]], 'ZXY', 0), ASKED, 'a.c3d');
    expect(one.missing).toBe(1);
    expect(one.angles[0]).toEqual({ axis: 'Z', min_deg: null, mean_deg: null, max_deg: null });
  });

  it('an angle that passes 180° goes on without a jump', () => {
    const made = [0, 1, 2, 3, 4].map((i) => [170 + 5 * i, 0, 0] as const);
    const { min_deg, mean_deg, max_deg } = anglesBetween(rotations(made, 'ZXY'), ASKED, 'a.c3d').angles[0]!;
    expect([min_deg, mean_deg, max_deg].map((value) => Math.round(value! * 1e9) / 1e9)).toEqual([170, 180, 190]);
  });

  it('frames within 10° of the singular position are counted', () => {
    const made = [70, 79.9, 80.1, 89].map((x) => [0, x, 0] as const);
    expect(anglesBetween(rotations(made, 'ZXY'), ASKED, 'a.c3d').nearSingular).toBe(2);
  });

  it('a name that is not there is refused with those that are, and the nearest', () => {
    const made = rotations([[1, 2, 3]], 'ZXY');
    expect(() => anglesBetween(made, { ...ASKED, child: 'trnk' }, 'a.c3d')).toThrow(FormatError);
    expect(() => anglesBetween(made, { ...ASKED, child: 'trnk' }, 'a.c3d')).toThrow(
      "a.c3d: no rotation is called 'trnk'; expected pelvis_4X4, Trunk. Did you mean Trunk?",
    );
    expect(() => anglesBetween(null, ASKED, 'a.c3d')).toThrow('the file has no rotations');
  });

  it('orders are found by their letters in any case', () => {
    expect(orderNamed('zxy')).toBe('ZXY');
    expect(orderNamed('ZZX')).toBeNull();
  });
});
