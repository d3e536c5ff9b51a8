import type { SegmentId } from './motion.ts';

const LIMB_JOINTS = ['shoulder', 'elbow', 'wrist', 'hip', 'knee', 'ankle'] as const;
type LimbJoint = (typeof LIMB_JOINTS)[number];

/** Joints whose rotation R_proximal_distal is known by a name. */
export type JointId = 'trunk' | 'neck' | `${'lead' | 'trail'}_${LimbJoint}`;

export interface Joint {
  readonly proximal: SegmentId;
  readonly distal: SegmentId;
}

function limbs(side: 'lead' | 'trail'): Readonly<Record<`${'lead' | 'trail'}_${LimbJoint}`, Joint>> {
  return {
    [`${side}_shoulder`]: { proximal: 'thorax', distal: `${side}_upper_arm` },
    [`${side}_elbow`]: { proximal: `${side}_upper_arm`, distal: `${side}_forearm` },
    [`${side}_wrist`]: { proximal: `${side}_forearm`, distal: `${side}_hand` },
    [`${side}_hip`]: { proximal: 'pelvis', distal: `${side}_thigh` },
    [`${side}_knee`]: { proximal: `${side}_thigh`, distal: `${side}_shank` },
    [`${side}_ankle`]: { proximal: `${side}_shank`, distal: `${side}_foot` },
  } as Readonly<Record<`${'lead' | 'trail'}_${LimbJoint}`, Joint>>;
}

/** The two segments of every joint. */
export const JOINTS: Readonly<Record<JointId, Joint>> = {
  trunk: { proximal: 'pelvis', distal: 'thorax' },
  neck: { proximal: 'thorax', distal: 'head' },
  ...limbs('lead'),
  ...limbs('trail'),
};

/** The segments of a joint; null where the name is a segment's own. */
export function jointOf(rotation: SegmentId | JointId): Joint | null {
  return Object.hasOwn(JOINTS, rotation) ? JOINTS[rotation as JointId] : null;
}
