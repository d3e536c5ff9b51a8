/** Positions found by an arm at the horizontal: their time errs with the same markers as what is read at it. */

import type { DirectionId, Motion } from '../../model/motion.ts';
import type { MotionView } from '../shared/motionView.ts';
import type { PositionSample } from '../shared/sampling.ts';
import type { Gradients } from './gradients.ts';
import { addNode, createCarried, type Gradient, type MomentState, type Network } from './network.ts';

/** How the time of a position changes with an arm's direction: the arm's node and a gradient, seconds. */
export interface TimeByArm {
  readonly node: number;
  readonly by: readonly [number, number, number];
}

/** null where the time rests on something else than an arm. */
export type ArmTiming = (sample: PositionSample, state: MomentState) => TimeByArm | null;

/**
 * An arm that passes the horizontal (e = 0) and is seen e too high is timed e / ė too early, and the marker of the shoulder that errs so tilts
 * the shoulder line as well. Taken as independent, values at P3 and P5 seem less sure than they are, those at P9 more. Only of filtered arms,
 * whose samples around the passing err as one: of unfiltered ones the local fit makes the time surer than a sample, and where samples were
 * filled the time has a ± of its own.
 */
export function createArmTiming(motion: Motion, view: MotionView, network: Network, gradients: Gradients): ArmTiming {
  const known = new Map<PositionSample, TimeByArm | null>();
  const carried = createCarried();
  const timeByArm = (sample: PositionSample, state: MomentState): TimeByArm | null => {
    const line = armOf(sample);
    const track = line === null ? undefined : motion.directions.get(line);
    if (line === null || track?.ok !== true || !network.isFiltered(track.value)) return null;
    const elevation = gradients.of({ kind: 'line-tilt', line }, view, sample.at, sample.time.t_frames);
    if (elevation === null) return null;
    network.carry(state, elevation, carried);
    const rate = carried.slope;
    const { nodes, by } = elevation;
    return rate === 0 ? null : { node: nodes[0]!, by: [-by[0]! / rate, -by[1]! / rate, -by[2]! / rate] };
  };
  return (sample, state) => {
    let time = known.get(sample);
    if (time === undefined) {
      time = timeByArm(sample, state);
      known.set(sample, time);
    }
    return time;
  };
}

function armOf({ moment: { method, flags } }: PositionSample): DirectionId | null {
  if (flags.includes('filled')) return null;
  return method === 'lead-arm-horizontal' ? 'lead_arm' : method === 'trail-arm-horizontal' ? 'trail_arm' : null;
}

/** Adds to the gradient of a value, which changes by `slope` a second, what the arm does to it through the time of the position. */
export function addTime(gradient: Gradient, { node, by }: TimeByArm, slope: number): void {
  addNode(gradient, node, slope * by[0], slope * by[1], slope * by[2]);
}
