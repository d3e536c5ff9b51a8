/** What the noise of a segment's axes does to an angle: by turning each segment a little about each of its own axes. */

import type { OrderedRotation } from '../../model/analysisPlan.ts';
import { jointOf } from '../../model/joints.ts';
import type { Motion, SegmentId } from '../../model/motion.ts';
import type { AngleOrder, Reading } from '../../model/quantity.ts';
import { angleNear, anglesFromRotation } from '../../numeric/eulerAngles.ts';
import { expRotation, mul3, mulT3 } from '../../numeric/rotation.ts';
import type { MotionView } from './motionView.ts';

/** Small against any angle, large against rounding, rad. */
const STEP_rad = 1e-6;

type NoiseAt = ((sample: number) => number) | null;

/** Standard deviation (rad) of a reading at a sample of the view; null for readings that are no angle of a rotation. */
export function angleNoise(reading: Reading, motion: Motion, view: MotionView): NoiseAt {
  switch (reading.kind) {
    case 'orientation':
      return ofRotation(null, reading.segment, reading.order, reading.component, motion, view);
    case 'joint':
      return ofRotation(reading.proximal, reading.distal, reading.order, reading.component, motion, view);
    case 'turn-difference': {
      const pelvis = ofRotation(null, 'pelvis', 'YXZ', 0, motion, view);
      const thorax = ofRotation(null, 'thorax', 'YXZ', 0, motion, view);
      return (sample) => Math.hypot(pelvis(sample), thorax(sample));
    }
    default:
      return null;
  }
}

/** The same for a component of an extra order. */
export function orderedNoise(
  rotation: OrderedRotation,
  order: AngleOrder,
  component: 0 | 1 | 2,
  motion: Motion,
  view: MotionView,
): NoiseAt {
  const joint = jointOf(rotation);
  if (joint !== null) return ofRotation(joint.proximal, joint.distal, order, component, motion, view);
  return ofRotation(null, rotation as SegmentId, order, component, motion, view);
}

function ofRotation(
  proximal: SegmentId | null,
  distal: SegmentId,
  order: AngleOrder,
  component: 0 | 1 | 2,
  motion: Motion,
  view: MotionView,
): (sample: number) => number {
  const R = new Float64Array(9);
  const small = new Float64Array(9);
  const moved = new Float64Array(9);
  const angles = new Float64Array(3);
  const axis = new Float64Array(3);
  const angleOf = (m: Float64Array): number => {
    anglesFromRotation(m, 0, order, angles);
    return angles[component]!;
  };
  return (sample) => {
    const child = view.pose(distal);
    const parent = proximal === null ? null : view.pose(proximal);
    if (!child.ok || parent?.ok === false) return Number.NaN;
    if (parent === null) for (let i = 0; i < 9; i++) R[i] = child.value[9 * sample + i]!;
    else mulT3(parent.value, 9 * sample, child.value, 9 * sample, R, 0);
    const still = angleOf(R);
    let variance = 0;
    for (const [segment, onChild] of [
      [distal, true],
      [proximal, false],
    ] as const) {
      if (segment === null) continue;
      const track = motion.poses.get(segment);
      const noise = track?.ok === true ? axisNoise(track.value) : UNKNOWN;
      for (let c = 0; c < 3; c++) {
        axis.fill(0);
        axis[c] = STEP_rad;
        expRotation(axis, small, 0);
        if (onChild) mul3(R, 0, small, 0, moved, 0);
        else mulT3(small, 0, R, 0, moved, 0);
        const share = ((angleNear(angleOf(moved), still) - still) / STEP_rad) * noise[c]!;
        variance += share * share;
      }
    }
    return Math.sqrt(variance);
  };
}

const UNKNOWN = [Number.NaN, Number.NaN, Number.NaN] as const;

function axisNoise(track: {
  readonly noise: number;
  readonly axisNoise_rad?: readonly [number, number, number];
}): readonly [number, number, number] {
  return track.axisNoise_rad ?? [track.noise, track.noise, track.noise];
}
