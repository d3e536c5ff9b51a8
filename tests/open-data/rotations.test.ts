// The open file of rotation matrices (issue: inertial sensors, check 6; check-values.md E22, E23).
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import type { C3dRotations } from '../../src/c3d/types.ts';
import { anglesFromRotation } from '../../src/numeric/eulerAngles.ts';
import { mulT3 } from '../../src/numeric/rotation.ts';
import { openData } from '../support/openData.ts';

const path = openData('c3d/layout/rotation-group.c3d');

function load(): C3dRotations {
  return readC3d(bytesSource(readFileSync(path!))).rotationData!;
}

/** Row-major matrix of a segment at a frame; null where it is invalid. */
function matrix(r: C3dRotations, segment: number, frame: number): Float64Array | null {
  const at = segment * r.frames + frame;
  return r.reliability[at]! < 0 ? null : r.matrices.subarray(9 * at, 9 * at + 9);
}

describe.skipIf(path === null)('open rotation matrices', () => {
  it('are 340 frames of 21 orientations at 85 Hz', () => {
    const c = readC3d(bytesSource(readFileSync(path!)));
    const r = c.rotationData!;
    expect([c.frames, r.frames, r.labels.length, r.rate_Hz, r.samplesPerFrame]).toEqual([340, 340, 21, 85, 1]);
    expect(r.labels.slice(0, 2)).toEqual(['worldbody_4X4', 'pelvis_4X4']);
    expect(c.diagnostics.map((d) => d.code)).toEqual(['no-points']);
    expect([r.matrices.length, r.translations.length, r.reliability.length]).toEqual([9 * 7140, 3 * 7140, 7140]);
  });

  it('78 of the 7,140 are missing: reliability −1 and NaN; the rest are orthonormal to 1e-5 and right-handed', () => {
    const r = load();
    let missing = 0;
    let worst = 0;
    for (let segment = 0; segment < 21; segment += 1) {
      for (let frame = 0; frame < 340; frame += 1) {
        const at = segment * 340 + frame;
        const m = r.matrices.subarray(9 * at, 9 * at + 9);
        if (r.reliability[at]! < 0) {
          missing += 1;
          expect([r.reliability[at], [...m].every(Number.isNaN)]).toEqual([-1, true]);
          expect([...r.translations.subarray(3 * at, 3 * at + 3)]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
          continue;
        }
        const column = (k: number): number[] => [m[k]!, m[3 + k]!, m[6 + k]!];
        const [x, y, z] = [column(0), column(1), column(2)] as const;
        const dot = (a: number[], b: number[]): number => a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
        const cross = [x[1]! * y[2]! - x[2]! * y[1]!, x[2]! * y[0]! - x[0]! * y[2]!, x[0]! * y[1]! - x[1]! * y[0]!];
        const off = [dot(x, x) - 1, dot(y, y) - 1, dot(x, y), dot(x, z), dot(y, z), dot(cross, z) - 1];
        worst = Math.max(worst, ...off.map(Math.abs));
      }
    }
    expect(missing).toBe(78);
    expect(worst).toBeLessThan(1e-5);
  });

  // What proves the convention: joined bodies. The origin of a shank, a forearm, a hand or a foot stands still in its neighbour's axes
  // when the stored columns are taken for those axes, and wanders by centimetres when the rows are.
  it.each([
    ['l_thigh', 'l_shank'],
    ['r_shank', 'r_foot'],
    ['l_uarm', 'l_larm'],
    ['r_larm', 'r_hand'],
    ['neck', 'head'],
  ])(
    'the origin of %s stays put: %s lies at one place in its axes to 0.01 mm, columns being the axes',
    (parent, child) => {
      const r = load();
      const [p, c] = [r.labels.indexOf(`${parent}_4X4`), r.labels.indexOf(`${child}_4X4`)];
      const spread = (rows: boolean): number => {
        const places: number[][] = [];
        for (let frame = 0; frame < r.frames; frame += 1) {
          const R = matrix(r, p, frame);
          if (R === null || matrix(r, c, frame) === null) continue;
          const d = [0, 1, 2].map(
            (k) => r.translations[3 * (c * 340 + frame) + k]! - r.translations[3 * (p * 340 + frame) + k]!,
          );
          places.push(
            [0, 1, 2].map((k) => [0, 1, 2].reduce((s, m) => s + (rows ? R[3 * k + m]! : R[3 * m + k]!) * d[m]!, 0)),
          );
        }
        expect(places.length).toBeGreaterThan(300);
        return Math.max(
          ...[0, 1, 2].map((k) => Math.max(...places.map((q) => q[k]!)) - Math.min(...places.map((q) => q[k]!))),
        );
      };
      expect(spread(false)).toBeLessThan(0.01);
      expect(spread(true)).toBeGreaterThan(10);
    },
  );

  it('gives angles between named segments: a knee of a walking person bends by 0 to 80° and hardly does anything else', () => {
    const r = load();
    const [thigh, shank] = [r.labels.indexOf('l_thigh_4X4'), r.labels.indexOf('l_shank_4X4')];
    const between = new Float64Array(9);
    const angles = new Float64Array(3);
    const bends: number[] = [];
    const others: number[] = [];
    for (let frame = 0; frame < r.frames; frame += 1) {
      const [a, b] = [matrix(r, thigh, frame), matrix(r, shank, frame)];
      if (a === null || b === null) continue;
      mulT3(a, 0, b, 0, between, 0);
      anglesFromRotation(between, 0, 'XYZ', angles);
      bends.push((angles[0]! * 180) / Math.PI);
      others.push(...[angles[1]!, angles[2]!].map((v) => Math.abs((v * 180) / Math.PI)));
    }
    // Common practice, no source: a walking knee bends to 50 to 80° and turns and tilts by a few degrees; x is its axis here.
    expect(Math.max(...bends)).toBeLessThan(0);
    expect(Math.min(...bends)).toBeGreaterThan(-80);
    expect(Math.min(...bends)).toBeLessThan(-50);
    expect(Math.max(...others)).toBeLessThan(10);
  });
});
