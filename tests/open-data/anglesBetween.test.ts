/**
 * Angles between two bodies of an open C3D file with rotations, against a reader of its bytes written here from row E22 (21 rotations from
 * block 6, 17 floats each: 4 × 4 matrix column after column and a reliability) and the Euler angles of three.
 */
import { readFileSync } from 'node:fs';
import { Euler, type EulerOrder, Matrix4 } from 'three';
import { describe, expect, it } from 'vitest';
import type { AnglesBetween } from '../../src/pipeline/anglesBetween.ts';
import { cli } from '../support/cli.ts';
import { openData } from '../support/openData.ts';

const path = openData('c3d/layout/rotation-group.c3d');
const ROTATIONS = 21;
const FRAMES = 340;
const FIRST_BYTE = 5 * 512;
const DEGREES = 180 / Math.PI;

/** Places in the file, read off its ROTATION:LABELS. */
const PELVIS = 1;
const LEFT_THIGH = 2;
const LEFT_SHANK = 3;
const TORSO = 10;

describe.skipIf(path === null)('inspect --angles-between on an open file of rotations', () => {
  it.each([
    ['pelvis', PELVIS, 'torso', TORSO, 'ZXY', 5],
    ['pelvis_4X4', PELVIS, 'torso_4X4', TORSO, 'YXZ', 5],
    ['l_thigh', LEFT_THIGH, 'l_shank', LEFT_SHANK, 'YXZ', 5],
    ['worldbody', 0, 'torso', TORSO, 'XYZ', 3],
  ] as const)('%s (%i) and %s (%i), order %s', async (parent, p, child, c, order, invalid) => {
    const bytes = readFileSync(path!);
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const body = (frame: number, rotation: number): { matrix: Matrix4; reliability: number } => {
      const at = FIRST_BYTE + 4 * 17 * (frame * ROTATIONS + rotation);
      const floats = Array.from({ length: 17 }, (_, i) => view.getFloat32(at + 4 * i, true));
      return { matrix: new Matrix4().fromArray(floats), reliability: floats[16]! };
    };
    const series: number[][] = [[], [], []];
    let missing = 0;
    for (let frame = 0; frame < FRAMES; frame++) {
      const one = body(frame, p);
      const other = body(frame, c);
      if (one.reliability < 0 || other.reliability < 0) {
        missing += 1;
        continue;
      }
      const R = new Matrix4().extractRotation(one.matrix).transpose();
      R.multiply(new Matrix4().extractRotation(other.matrix));
      const euler = new Euler().setFromRotationMatrix(R, order as EulerOrder);
      const named = { X: euler.x, Y: euler.y, Z: euler.z };
      for (const [i, axis] of [...order].entries()) series[i]!.push(named[axis as 'X'] * DEGREES);
    }
    const { code, stdout } = await cli(
      'inspect',
      '--json',
      path!,
      '--angles-between',
      `${parent},${child}`,
      '--order',
      order,
    );
    expect(code).toBe(0);
    const { angles, rotationLabels } = (
      JSON.parse(stdout) as { angles: AnglesBetween; rotationLabels: string[] }[]
    )[0]!;
    expect([rotationLabels[p], rotationLabels[c]]).toEqual([angles.parent, angles.child]);
    expect([missing, angles.missing, angles.frames]).toEqual([invalid, invalid, FRAMES]);
    for (const [i, { axis, min_deg, mean_deg, max_deg }] of angles.angles.entries()) {
      const values = series[i]!;
      // No angle of these pairs passes 180°, so that the plain mean is the same.
      expect(Math.max(...values) - Math.min(...values)).toBeLessThan(180);
      expect(axis).toBe(order[i]);
      // The stored matrices are orthonormal to 1e-5 (single precision); the reference makes them orthonormal column by column: 1e-3 degrees.
      expect(Math.abs(min_deg! - Math.min(...values))).toBeLessThan(1e-3);
      expect(Math.abs(max_deg! - Math.max(...values))).toBeLessThan(1e-3);
      expect(Math.abs(mean_deg! - values.reduce((sum, value) => sum + value, 0) / values.length)).toBeLessThan(1e-3);
    }
  });
});
