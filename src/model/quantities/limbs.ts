import { JOINTS, type JointId } from '../joints.ts';
import type { PointId } from '../motion.ts';
import type { Quantity } from '../quantity.ts';
import { ALL_POSITIONS } from './orientation.ts';

const SIDES = ['lead', 'trail'] as const;
type Side = (typeof SIDES)[number];

const COMMON = {
  unit: 'deg',
  at: ALL_POSITIONS,
  margin: { kind: 'absolute', value: 2 },
  decimals: 1,
  change: true,
  usesTarget: false,
  needsTarget: false,
  curve: false,
} as const;

type Words = Pick<Quantity, 'label' | 'term' | 'plus' | 'minus'>;

const GROOD_SUNTAY = 'Z-X-Y (definitions 3; Grood and Suntay 1983, Wu 2002 and 2005)';
const ANGLES = ['First', 'Second', 'Third'] as const;

/**
 * One angle of a limb joint, Z-X-Y. `sign` is that of the right side; the second and third angle are negated on the lead side, whose Z axis
 * points toward the middle of the body (definitions 3).
 */
function jointAngle(
  joint: JointId,
  name: string,
  component: 0 | 1 | 2,
  sign: 1 | -1,
  words: Words,
  curve = false,
): Quantity {
  const { proximal, distal } = JOINTS[joint];
  const isNegated = (component > 0 && joint.startsWith('lead_')) !== (sign === -1);
  const which = isNegated ? `Minus the ${ANGLES[component].toLowerCase()}` : ANGLES[component];
  return {
    ...COMMON,
    ...words,
    id: `${joint}.${name}`,
    definition: `${which} angle of R_${proximal}_${distal}, ${GROOD_SUNTAY}.`,
    order: 'ZXY',
    form: 'full',
    curve,
    reading: { kind: 'joint', proximal, distal, order: 'ZXY', component, sign: isNegated ? -1 : 1 },
  };
}

function leg(side: Side): readonly Quantity[] {
  return [
    jointAngle(
      `${side}_hip`,
      'flexion',
      0,
      1,
      {
        label: `${side} hip flexion`,
        term: 'thigh on pelvis: flexion',
        plus: 'thigh and pelvis closed in front',
        minus: 'hip extended',
      },
      true,
    ),
    jointAngle(`${side}_hip`, 'adduction', 1, 1, {
      label: `${side} hip adduction`,
      term: 'thigh on pelvis: adduction',
      plus: 'thigh toward the middle of the body',
      minus: 'thigh out to its side',
    }),
    jointAngle(
      `${side}_hip`,
      'rotation',
      2,
      1,
      {
        label: `${side} hip rotation`,
        term: 'thigh on pelvis: internal rotation',
        plus: 'thigh turned inward against the pelvis',
        minus: 'thigh turned outward against the pelvis',
      },
      true,
    ),
    jointAngle(
      `${side}_knee`,
      'flexion',
      0,
      -1,
      {
        label: `${side} knee bend`,
        term: 'shank on thigh: flexion',
        plus: 'bent',
        minus: 'bent backward, beyond straight',
      },
      true,
    ),
    jointAngle(`${side}_knee`, 'rotation', 2, 1, {
      label: `${side} knee rotation`,
      term: 'shank on thigh: internal rotation',
      plus: 'shank turned inward',
      minus: 'shank turned outward',
    }),
    jointAngle(`${side}_ankle`, 'dorsiflexion', 0, 1, {
      label: `${side} ankle bend`,
      term: 'foot on shank: dorsiflexion',
      plus: 'toes toward the shin',
      minus: 'toes away from the shin',
    }),
    jointAngle(`${side}_ankle`, 'inversion', 1, 1, {
      label: `${side} foot roll`,
      term: 'foot on shank: inversion',
      plus: 'sole turned inward',
      minus: 'sole turned outward',
    }),
  ];
}

/**
 * Shoulder, Y-X-Y (Wu 2005). On the right the ISB takes the elevation negative: the other solution of the order, its second angle negated;
 * on the left mirrored, which is the program's own solution with the first and third angle negated. Elevation is + when raised on both.
 */
function shoulder(side: Side): readonly Quantity[] {
  const { proximal, distal } = JOINTS[`${side}_shoulder`];
  const isTrail = side === 'trail';
  const row = { ...COMMON, order: 'YXY', form: 'full' } as const;
  const reading = {
    kind: 'joint',
    proximal,
    distal,
    order: 'YXY',
    ...(isTrail ? { otherSolution: true } : {}),
  } as const;
  const source = `R_${proximal}_${distal}, Y-X-Y (Wu 2005), ${
    isTrail ? 'elevation counted + when raised' : 'mirrored: lead and trail arm read alike'
  }`;
  return [
    {
      ...row,
      id: `${side}_shoulder.plane`,
      label: `${side} arm: plane of lifting`,
      term: 'humerus on thorax: plane of elevation',
      plus: 'in front of the chest (90) and across it',
      minus: 'behind the side of the chest (0 = straight out to the side)',
      definition: `First angle of ${source}; continuous from P1, meaningless when the arm hangs along the trunk, then flagged.`,
      reading: { ...reading, component: 0, sign: isTrail ? 1 : -1, unwrap: true },
    },
    {
      ...row,
      id: `${side}_shoulder.elevation`,
      label: `${side} arm lift`,
      term: 'humerus on thorax: elevation',
      plus: 'raised from the trunk',
      minus: 'along the trunk (never below 0)',
      definition: `Second angle of ${source}.`,
      curve: true,
      reading: { ...reading, component: 1, sign: isTrail ? -1 : 1 },
    },
    {
      ...row,
      id: `${side}_shoulder.rotation`,
      label: `${side} upper arm rotation`,
      term: 'humerus on thorax: axial (internal) rotation',
      plus: 'turned inward',
      minus: 'turned outward',
      definition: `Third angle of ${source}; continuous from P1; to be read with the plane of elevation.`,
      reading: { ...reading, component: 2, sign: isTrail ? 1 : -1, unwrap: true },
    },
  ];
}

function arm(side: Side): readonly Quantity[] {
  const isLead = side === 'lead';
  return [
    ...shoulder(side),
    jointAngle(
      `${side}_elbow`,
      'flexion',
      0,
      1,
      {
        label: `${side} elbow bend`,
        term: 'forearm on upper arm: flexion',
        plus: 'bent',
        minus: 'bent backward, beyond straight',
      },
      true,
    ),
    jointAngle(
      `${side}_elbow`,
      'pronation',
      2,
      1,
      {
        label: `${side} forearm rotation`,
        term: 'forearm on upper arm: pronation',
        plus: 'palm turned down or backward (pronated)',
        minus: 'palm turned up or forward (supinated)',
      },
      isLead,
    ),
    jointAngle(
      `${side}_wrist`,
      'flexion',
      0,
      1,
      {
        label: `${side} wrist bend`,
        term: 'hand on forearm: flexion',
        plus: 'bowed: toward the palm',
        minus: 'cupped: toward the back of the hand',
      },
      isLead,
    ),
    jointAngle(
      `${side}_wrist`,
      'ulnar_deviation',
      1,
      1,
      {
        label: `${side} wrist set`,
        term: 'hand on forearm: ulnar deviation',
        plus: 'toward the little finger (unhinged)',
        minus: 'toward the thumb (hinged)',
      },
      isLead,
    ),
  ];
}

/** The lead upper arm against the thorax as a direction, which has no singular position at address (definitions 3). */
function leadArm(angle: 'elevation' | 'heading', words: Words): Quantity {
  return {
    ...COMMON,
    ...words,
    id: `lead_arm.${angle}`,
    definition: `Direction shoulder centre → elbow centre in the thorax frame: ${
      angle === 'elevation'
        ? 'angle above its X-Z plane'
        : 'in its X-Z plane from X, meaningless along its Y axis, then flagged'
    } (definitions 3).`,
    order: null,
    form: 'full',
    curve: true,
    reading: { kind: 'direction-in', segment: 'thorax', from: 'lead_shoulder', to: 'lead_elbow', angle },
  };
}

/** Where a recording has joint centres alone: the bend of elbow and knee, without the plane it lies in. */
function bend(side: Side, joint: 'elbow' | 'knee', from: PointId, to: PointId): Quantity {
  return {
    ...COMMON,
    id: `${side}_${joint}.bend`,
    label: `${side} ${joint} bend (joint centres)`,
    term: `angle of the limb at the ${joint}`,
    plus: 'bent, whichever way',
    minus: 'never below 0, straight',
    definition: `Angle between the lines of joint centres above and below the ${joint}; given where the landmarks of its axes are missing.`,
    order: null,
    form: 'reduced',
    reading: { kind: 'bend', from, at: `${side}_${joint}`, to, ...JOINTS[`${side}_${joint}`] },
  };
}

export const LIMB_QUANTITIES: readonly Quantity[] = [
  ...arm('lead'),
  leadArm('elevation', {
    label: 'lead arm against the chest: height',
    term: 'elevation of the humerus in the thorax frame',
    plus: 'above the level of the shoulders',
    minus: 'below the level of the shoulders',
  }),
  leadArm('heading', {
    label: 'lead arm against the chest: across',
    term: 'heading of the humerus in the thorax frame',
    plus: 'across the chest, toward the trail side',
    minus: 'out to the lead side',
  }),
  ...arm('trail'),
  ...leg('lead'),
  ...leg('trail'),
  ...SIDES.flatMap((side) => [
    bend(side, 'elbow', `${side}_shoulder`, `${side}_wrist`),
    bend(side, 'knee', `${side}_hip`, `${side}_ankle`),
  ]),
];
