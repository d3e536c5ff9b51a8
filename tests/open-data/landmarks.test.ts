/** Pelvis and thorax of a real body from exact ISB landmarks. */

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import type { LandmarkId } from '../../src/model/landmarks.ts';
import type { SegmentId } from '../../src/model/motion.ts';
import { mulT3 } from '../../src/numeric/rotation.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { calibrate } from '../../src/stages/calibrate.ts';
import { jointAngles } from '../../src/stages/jointAngles.ts';
import { segmentPoses } from '../../src/stages/segmentPoses.ts';
import { openData } from '../support/openData.ts';
import { PLAYER, type Point, playerTrialOf } from '../unit/stages/support.ts';

const path = openData('c3d/landmarks/isb-landmarks-walk-200hz.c3d');

const LABELS: readonly (readonly [string, LandmarkId])[] = [
  ['SNJ', 'IJ'],
  ['SXS', 'PX'],
  ['CV7', 'C7'],
  ['TV8', 'T8'],
  ['L_IAS', 'lead_ASIS'],
  ['R_IAS', 'trail_ASIS'],
  ['L_IPS', 'lead_PSIS'],
  ['R_IPS', 'trail_PSIS'],
];

/** Motion in a frame with Y up (the file's +Z) and X along the way from the first to the last place of the mid-ASIS on the floor. */
function walkOf(file: string) {
  const c3d = readC3d(bytesSource(readFileSync(file)));
  const { frames } = c3d;
  const at = (label: string, f: number): Point => {
    const point = c3d.labels.indexOf(label);
    if (point < 0) throw new RangeError(`no point ${label}`);
    return [0, 1, 2].map((axis) => c3d.xyz[(3 * point + axis) * frames + f]! / 1000) as unknown as Point;
  };
  const middle = (f: number, axis: 0 | 1): number => (at('L_IAS', f)[axis] + at('R_IAS', f)[axis]) / 2;
  const dx = middle(frames - 1, 0) - middle(0, 0);
  const dy = middle(frames - 1, 1) - middle(0, 1);
  const length = Math.hypot(dx, dy);
  const [c, s] = [dx / length, dy / length];
  const points = Object.fromEntries(
    LABELS.map(([label, id]) => [
      id,
      (f: number): Point => {
        const [x, y, z] = at(label, f);
        return [c * x + s * y, z, s * x - c * y]; // Z = X × Y
      },
    ]),
  );
  const ws = createWorkspace();
  const trial = playerTrialOf(points, { frames, rate_Hz: 200 });
  const { value: calibration } = calibrate(trial, PLAYER, ws);
  const motion = segmentPoses(trial, { calibration, club: null, quality: [] }, ws).value;
  return { motion, angles: jointAngles(motion, [], ws).value, frames };
}

describe.skipIf(path === null)('a walk with the ISB’s own landmarks', () => {
  const { motion, angles, frames } = path === null ? ({} as ReturnType<typeof walkOf>) : walkOf(path);

  // From an independent script, not published: least and greatest value over the trial, degrees.
  const EXPECTED: readonly (readonly [string, number, number])[] = [
    ['pelvis.turn', -8.31, 5.5],
    ['pelvis.side_bend', -5.17, 4.99],
    ['pelvis.forward_bend', 5.49, 10.48],
    ['thorax.turn', -7.21, 4.91],
    ['thorax.side_bend', -1.41, 3.13],
    ['thorax.forward_bend', -1.39, 5.41],
  ];

  it.each(EXPECTED)('%s runs from %f° to %f° (to 0.02°: two decimals are given)', (id, least, greatest) => {
    const series = angles.series.get(id)!;
    expect(series.ok).toBe(true);
    const values = series.ok ? Array.from(series.value.values, (v) => (v * 180) / Math.PI) : [];
    expect(values).toHaveLength(frames);
    expect(Math.abs(Math.min(...values) - least)).toBeLessThan(0.02);
    expect(Math.abs(Math.max(...values) - greatest)).toBeLessThan(0.02);
  });

  it('frames are orthonormal to 1e-12 and right-handed in every frame', () => {
    for (const segment of ['pelvis', 'thorax'] as SegmentId[]) {
      const pose = motion.poses.get(segment)!;
      const R = pose.ok ? pose.value.data : new Float64Array(0);
      expect(R).toHaveLength(9 * frames);
      const product = new Float64Array(9);
      let worst = 0;
      for (let f = 0; f < frames; f++) {
        mulT3(R, 9 * f, R, 9 * f, product, 0);
        for (let i = 0; i < 9; i++) worst = Math.max(worst, Math.abs(product[i]! - (i % 4 === 0 ? 1 : 0)));
        const [a, b, c, d, e, g, h, k, l] = R.subarray(9 * f, 9 * f + 9);
        expect(a! * (e! * l! - g! * k!) - b! * (d! * l! - g! * h!) + c! * (d! * k! - e! * h!)).toBeCloseTo(1, 12);
      }
      expect(worst).toBeLessThan(1e-12);
    }
  });
});
