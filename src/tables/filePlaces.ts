/** Places and directions of a swing back in the axes of its recording. */

import type { Hand } from '../model/dayPlan.ts';
import type { SwingSeries } from '../model/swingSeries.ts';
import type { LengthUnit, TrialFacts } from '../model/trial.ts';
import { METRES_PER } from '../model/units.ts';

type Vec = readonly [number, number, number];

export interface FilePlaces {
  readonly units: LengthUnit;
  /** Number of the first stored frame, from 1. */
  readonly firstFrame: number;
  /** A place in G, metres, in the file's axes and units. */
  place(x: number, y: number, z: number): Vec;
  /** Axis 0, 1 or 2 of a segment from its pose in G, as a unit vector in the file's axes: of the body itself, a left-hander's not reflected. */
  axis(pose: Float64Array, frame: number, axis: 0 | 1 | 2): Vec;
}

/** Lab axes of a recording that has none, such as one of sensors: those of L itself, in millimetres. */
const OWN = { firstFrame: 1, axes: [1, 0, 0, 0, 1, 0, 0, 0, 1] } as const;

/**
 * The way back (definitions 1): from G to L x_L = −z_G, y_L = y_G, z_L = x_G; from L to the file by the axes of L in it, which hold both
 * reflections. A left-hander's segments were reflected in their own Z as well, R → S·R·diag(1, 1, −1), so that axis is turned round.
 */
export function filePlaces({ file }: SwingSeries, { hand, units }: TrialFacts): FilePlaces {
  const { firstFrame, axes } = file ?? OWN;
  const unit: LengthUnit = file === null ? 'mm' : units.value;
  const per = METRES_PER[unit];
  const toFile = (x: number, y: number, z: number): Vec => {
    const of = (i: number): number => axes[i]! * -z + axes[3 + i]! * y + axes[6 + i]! * x + 0;
    return [of(0), of(1), of(2)];
  };
  return {
    units: unit,
    firstFrame,
    place: (x, y, z) => {
      const [a, b, c] = toFile(x, y, z);
      return [a / per, b / per, c / per];
    },
    axis: (pose, frame, axis) => {
      const sign = axisSign(axis, hand.value);
      const at = 9 * frame + axis;
      return toFile(sign * pose[at]!, sign * pose[at + 3]!, sign * pose[at + 6]!);
    },
  };
}

function axisSign(axis: 0 | 1 | 2, hand: Hand): 1 | -1 {
  return axis === 2 && hand === 'left' ? -1 : 1;
}
