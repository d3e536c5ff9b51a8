import type { TrunkSegmentId } from '../motion.ts';
import type { PositionId } from '../positions.ts';
import type { Quantity } from '../quantity.ts';

/** Every position at which a quantity of the body is tabulated. */
export const ALL_POSITIONS: readonly PositionId[] = [
  'P1',
  'P2',
  'P3',
  'P4',
  'P4(arm)',
  'P5',
  'P5.5',
  'P6',
  'P7',
  'P8',
  'P9',
  'P10',
];

const COACH_NAME: Readonly<Record<TrunkSegmentId, string>> = { pelvis: 'pelvis', thorax: 'chest', head: 'head' };

const COMMON = {
  unit: 'deg',
  at: ALL_POSITIONS,
  margin: { kind: 'absolute', value: 2 },
  decimals: 1,
  change: true,
  needsTarget: false,
  curve: true,
} as const;

const TURN_FIRST = 'Y-X-Z of R_G_segment, turn first (definitions 2; order after Baker R 2001, Gait Posture 13:1-6)';

/** Turn, side bend and forward bend of a segment against the player frame, turn first. */
function turnFirst(segment: TrunkSegmentId): readonly Quantity[] {
  const name = COACH_NAME[segment];
  const row = { ...COMMON, order: 'YXZ', form: 'full', usesTarget: true } as const;
  const reading = { kind: 'orientation', segment, order: 'YXZ' } as const;
  return [
    {
      ...row,
      id: `${segment}.turn`,
      label: `${name} turn`,
      term: `${segment} axial rotation against the target line`,
      plus: 'opened toward the target',
      minus: 'turned away from the target',
      definition: `First angle of ${TURN_FIRST}; continuous from P1.`,
      reading: { ...reading, component: 0, sign: 1, unwrap: true },
    },
    {
      ...row,
      id: `${segment}.side_bend`,
      label: `${name} side bend`,
      term: `${segment} lateral flexion in its own heading`,
      plus: 'bends toward the trail side',
      minus: 'bends toward the lead side',
      definition: `Second angle of ${TURN_FIRST}.`,
      reading: { ...reading, component: 1, sign: 1, unwrap: false },
    },
    {
      ...row,
      id: `${segment}.forward_bend`,
      label: `${name} forward bend`,
      term: segment === 'pelvis' ? 'anterior pelvic tilt in its own heading' : `${segment} flexion in its own heading`,
      plus: 'leans toward the ball',
      minus: 'leans back',
      definition: `Minus the third angle of ${TURN_FIRST}.`,
      usesTarget: false,
      reading: { ...reading, component: 2, sign: -1, unwrap: false },
    },
  ];
}

/** Flexion, side bend and axial rotation of a joint, ISB joint coordinate system Z-X-Y. */
function isbJoint(id: string, label: string, proximal: TrunkSegmentId, distal: TrunkSegmentId): readonly Quantity[] {
  const row = { ...COMMON, order: 'ZXY', form: 'full', usesTarget: false } as const;
  const reading = { kind: 'joint', proximal, distal, order: 'ZXY' } as const;
  const source = `R_${proximal}_${distal}, Z-X-Y (definitions 3; Grood and Suntay 1983, ISB 2002)`;
  return [
    {
      ...row,
      id: `${id}.flexion`,
      label: `${label} flexion`,
      term: `${distal} on ${proximal}: flexion`,
      plus: 'bends forward',
      minus: 'arches back',
      definition: `Minus the first angle of ${source}.`,
      reading: { ...reading, component: 0, sign: -1 },
    },
    {
      ...row,
      id: `${id}.side_bend`,
      label: `${label} side bend`,
      term: `${distal} on ${proximal}: lateral flexion`,
      plus: 'bends toward the trail side',
      minus: 'bends toward the lead side',
      definition: `Second angle of ${source}.`,
      reading: { ...reading, component: 1, sign: 1 },
    },
    {
      ...row,
      id: `${id}.axial`,
      label: `${label} rotation`,
      term: `${distal} on ${proximal}: axial rotation`,
      plus: 'rotated toward the target',
      minus: 'rotated away from the target',
      definition: `Third angle of ${source}.`,
      reading: { ...reading, component: 2, sign: 1 },
    },
  ];
}

export const ORIENTATION_QUANTITIES: readonly Quantity[] = [
  ...turnFirst('pelvis'),
  ...turnFirst('thorax'),
  ...turnFirst('head'),
  ...isbJoint('trunk', 'chest on pelvis', 'pelvis', 'thorax'),
  ...isbJoint('neck', 'head on chest', 'thorax', 'head'),
  {
    ...COMMON,
    id: 'turn_difference',
    label: 'chest turn less pelvis turn',
    term: 'difference of axial rotations',
    plus: 'chest more open than pelvis',
    minus: 'chest turned further away than pelvis',
    definition: 'Thorax turn minus pelvis turn; another number than trunk axial rotation (Brown and others 2013).',
    order: 'YXZ',
    reading: { kind: 'turn-difference' },
    form: 'full',
    usesTarget: false,
  },
  {
    ...COMMON,
    id: 'thorax.inclination',
    label: 'spine inclination',
    term: 'angle of the thorax long axis to the vertical',
    plus: 'leans further from the vertical',
    minus: 'more upright',
    definition: 'Angle between the thorax Y axis and the vertical; does not depend on any order (definitions 2).',
    order: null,
    reading: { kind: 'inclination', segment: 'thorax' },
    form: 'full',
    usesTarget: false,
  },
  {
    ...COMMON,
    id: 'thorax.inclination_direction',
    label: 'direction of the spine’s lean',
    term: 'horizontal direction of the thorax long axis',
    plus: 'from the ball round toward the target',
    minus: 'from the ball round away from the target',
    definition:
      'Horizontal direction of the thorax Y axis in G, 0 toward the ball; meaningless when nearly upright, then flagged.',
    order: null,
    reading: { kind: 'inclination-direction', segment: 'thorax' },
    form: 'full',
    usesTarget: true,
    curve: false,
  },
  {
    ...COMMON,
    id: 'pelvis.turn_rate',
    label: 'pelvis turning speed',
    term: 'angular velocity of the pelvis about its long axis',
    unit: 'deg/s',
    plus: 'turning toward the target',
    minus: 'turning away from the target',
    definition: 'Component of the angular velocity, from the rotation itself, along the pelvis Y axis.',
    order: null,
    reading: { kind: 'angular-speed', segment: 'pelvis' },
    margin: { kind: 'share', value: 0.03 },
    decimals: 0,
    change: false,
    form: 'full',
    usesTarget: false,
  },
  {
    ...COMMON,
    id: 'thorax.turn_rate',
    label: 'chest turning speed',
    term: 'angular velocity of the thorax about its long axis',
    unit: 'deg/s',
    plus: 'turning toward the target',
    minus: 'turning away from the target',
    definition: 'Component of the angular velocity, from the rotation itself, along the thorax Y axis.',
    order: null,
    reading: { kind: 'angular-speed', segment: 'thorax' },
    margin: { kind: 'share', value: 0.03 },
    decimals: 0,
    change: false,
    form: 'full',
    usesTarget: false,
  },
];
