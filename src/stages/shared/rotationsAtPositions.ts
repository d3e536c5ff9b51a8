/** Rotations of segments and joints at the positions, kept where their orders are to be looked at. */
import type { OrderedRotation } from '../../model/analysisPlan.ts';
import type { Avail } from '../../model/availability.ts';
import { jointOf } from '../../model/joints.ts';
import type { Motion, SegmentId } from '../../model/motion.ts';
import type { PositionId } from '../../model/positions.ts';
import type { RotationsAt, SwingRecord } from '../../model/swingRecord.ts';
import { mulT3 } from '../../numeric/rotation.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { headZeroedAtP1 } from './headZero.ts';
import type { MotionView } from './motionView.ts';
import type { SamplePlan } from './sampling.ts';
import { targetRule } from './targetRule.ts';

/**
 * R_player_segment or R_proximal_distal at each position found, as the main angles are read: a head without a static trial against P1.
 * Null where a segment is missing, and of sensors without P1, at which their headings are zero.
 */
export function rotationsAtPositions(
  asked: readonly OrderedRotation[],
  motion: Motion,
  view: MotionView,
  plan: SamplePlan,
  ws: Workspace,
): NonNullable<SwingRecord['rotations']> {
  const p1 = plan.positions.get('P1') ?? null;
  const isMissing = targetRule(motion, p1 !== null).missingRotation() !== null;
  const zeroed = motion.headZeroed === false ? headZeroedAtP1(view, p1?.at ?? null, ws) : null;
  const out: Partial<Record<OrderedRotation, RotationsAt>> = {};
  for (const rotation of asked) {
    const seen = rotation === 'head' ? zeroed?.head : rotation === 'neck' ? zeroed?.neck : undefined;
    const at: Partial<Record<PositionId, readonly number[] | null>> = {};
    for (const [position, sample] of plan.positions) {
      at[position] = isMissing ? null : rotationOf(rotation, seen ?? view, sample.at);
    }
    out[rotation] = at;
  }
  return out;
}

function rotationOf(rotation: OrderedRotation, view: MotionView, sample: number): readonly number[] | null {
  const joint = jointOf(rotation);
  const pose = (segment: SegmentId): Float64Array | null => sampleOf(view.pose(segment), sample);
  if (joint === null) return listed(pose(rotation as SegmentId));
  const proximal = pose(joint.proximal);
  const distal = pose(joint.distal);
  if (proximal === null || distal === null) return null;
  const out = new Float64Array(9);
  mulT3(proximal, 0, distal, 0, out, 0);
  return listed(out);
}

function sampleOf(R: Avail<Float64Array>, sample: number): Float64Array | null {
  if (!R.ok || Number.isNaN(R.value[9 * sample])) return null;
  return R.value.subarray(9 * sample, 9 * sample + 9);
}

function listed(m: Float64Array | null): readonly number[] | null {
  return m === null ? null : Array.from(m);
}
