import type { PointId } from '../motion.ts';
import type { Quantity, Reading } from '../quantity.ts';
import { ALL_POSITIONS } from './orientation.ts';

const TILT = {
  unit: 'deg',
  order: null,
  at: ALL_POSITIONS,
  margin: { kind: 'absolute', value: 2 },
  decimals: 1,
  change: true,
  form: 'any',
  usesTarget: false,
  needsTarget: false,
  curve: true,
} as const;

const AT_ADDRESS = { order: null, at: ['P1'], change: false, form: 'any', curve: false } as const;

type Side = 'lead' | 'trail';

/** Height of a shoulder centre against P1, in millimetres and as a share of standing height (definitions 4). */
function shoulderHeight(side: Side): readonly Quantity[] {
  const point: PointId = `${side}_shoulder`;
  const row = {
    order: null,
    at: ALL_POSITIONS.filter((position) => position !== 'P1'),
    plus: 'risen',
    minus: 'dropped',
    change: false,
    form: 'any',
    usesTarget: false,
    needsTarget: false,
    curve: false,
  } as const;
  return [
    {
      ...row,
      id: `${point}.rise`,
      label: `${side} shoulder rise`,
      term: `${side} shoulder centre, vertical`,
      unit: 'mm',
      definition: `Height of the ${side} shoulder centre above its own height at P1 (definitions 4).`,
      reading: { kind: 'displacement', point, axis: 'rise' },
      margin: { kind: 'absolute', value: 10 },
      decimals: 0,
    },
    {
      ...row,
      id: `${point}.rise_share`,
      label: `${side} shoulder rise of height`,
      term: `${side} shoulder centre, vertical, as a share of standing height`,
      unit: '%',
      definition: `Height of the ${side} shoulder centre above its own height at P1, as a share of standing height (definitions 4); the margin is 10 mm of a height of 1.7 m.`,
      reading: { kind: 'displacement', point, axis: 'rise', over: 'height' },
      margin: { kind: 'absolute', value: 0.6 },
      decimals: 1,
    },
  ];
}

/** Horizontal direction of a line at address, in the sense of a turn. */
function alignment(
  id: string,
  label: string,
  line: Extract<Reading, { kind: 'address-heading' }>['line'],
  of: string,
): Quantity {
  return {
    ...AT_ADDRESS,
    id,
    label,
    term: `horizontal direction of ${of} at address`,
    unit: 'deg',
    plus: 'open to the target',
    minus: 'closed to the target',
    definition: `Horizontal direction of ${of}, lead to trail, to the target line at P1; sign as turn (definitions 4).`,
    reading: { kind: 'address-heading', line, from: 'square' },
    margin: { kind: 'absolute', value: 2 },
    decimals: 1,
    usesTarget: true,
    needsTarget: true,
  };
}

function flare(side: Side): Quantity {
  return {
    ...AT_ADDRESS,
    id: `${side}_foot.flare`,
    label: `${side} foot flare`,
    term: `horizontal direction of the ${side} foot at address`,
    unit: 'deg',
    plus: 'toes outward',
    minus: 'toes inward',
    definition: `Horizontal direction heel → toe of the ${side} foot to the normal of the target line at P1.`,
    reading: { kind: 'address-heading', line: `${side}_foot_line`, from: `${side}-out` },
    margin: { kind: 'absolute', value: 2 },
    decimals: 1,
    usesTarget: true,
    needsTarget: false,
  };
}

export const LINE_QUANTITIES: readonly Quantity[] = [
  {
    ...TILT,
    id: 'head_line.tilt',
    label: 'head line tilt',
    term: 'elevation of the line of the ear points',
    plus: 'lead ear higher',
    minus: 'trail ear higher',
    definition: 'Line of the ear points (tragus), lead to trail, to the horizontal.',
    reading: { kind: 'line-tilt', line: 'head_line' },
  },
  {
    ...TILT,
    id: 'eyes_line.tilt',
    label: 'eyes line tilt',
    term: 'elevation of the line of the orbits',
    plus: 'lead eye higher',
    minus: 'trail eye higher',
    definition: 'Line of the lower edges of the orbits, lead to trail, to the horizontal.',
    reading: { kind: 'line-tilt', line: 'eyes_line' },
  },
  ...shoulderHeight('lead'),
  ...shoulderHeight('trail'),
  {
    ...AT_ADDRESS,
    id: 'stance.width',
    label: 'stance width',
    term: 'distance of the ankle centres at address',
    unit: 'mm',
    plus: 'wider',
    minus: 'narrower',
    definition: 'Distance from the lead to the trail ankle centre at P1.',
    reading: { kind: 'address-distance', from: 'lead_ankle', to: 'trail_ankle' },
    margin: { kind: 'absolute', value: 10 },
    decimals: 0,
    usesTarget: false,
    needsTarget: false,
  },
  alignment('stance.alignment', 'stance alignment', 'ankle_line', 'the line of the ankle centres'),
  alignment('stance.toe_alignment', 'toe line alignment', 'toe_line', 'the line of the toes'),
  alignment('pelvis_line.alignment', 'pelvis alignment', 'pelvis_line', 'the line of the hip centres'),
  alignment('shoulder_line.alignment', 'shoulder alignment', 'shoulder_line', 'the line of the shoulder centres'),
  flare('lead'),
  flare('trail'),
  {
    ...AT_ADDRESS,
    id: 'ball.from_lead_ankle',
    label: 'ball from lead ankle',
    term: 'ball position along the target line',
    unit: 'mm',
    plus: 'nearer the target than the ankle',
    minus: 'behind the ankle',
    definition:
      'Place of the ball’s centre along the target line from the lead ankle centre at P1. Without a ball marker one ball radius (21.3 mm) ahead of the face centre at address, else that of the head marker, flagged from-club-head: as far off as the player holds the club from the ball.',
    reading: { kind: 'ball-place', as: 'length' },
    margin: { kind: 'absolute', value: 10 },
    decimals: 0,
    usesTarget: true,
    needsTarget: false,
  },
  {
    ...AT_ADDRESS,
    id: 'ball.stance_share',
    label: 'ball in the stance',
    term: 'ball position as a share of the stance',
    unit: '%',
    plus: 'nearer the lead foot',
    minus: 'nearer the trail foot',
    definition:
      'Place of the ball’s centre along the target line between the ankle centres at P1: 0 % at the trail, 100 % at the lead ankle; without a ball marker as ball.from_lead_ankle.',
    reading: { kind: 'ball-place', as: 'share' },
    margin: { kind: 'absolute', value: 3 },
    decimals: 0,
    usesTarget: true,
    needsTarget: false,
  },
];
