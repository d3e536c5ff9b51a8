import type { Quantity } from '../quantity.ts';
import { ALL_POSITIONS } from './orientation.ts';

const COMMON = { order: null, change: false, form: 'any', needsTarget: false, curve: false } as const;

const CENTRE =
  'the whole body’s centre of mass, by segment masses and centres of de Leva 1996 (J Biomech 29:1223-1230); at least 90 % of the mass, the club not in it';

const MOVED = {
  ...COMMON,
  unit: 'mm',
  at: ALL_POSITIONS.filter((position) => position !== 'P1'),
  margin: { kind: 'absolute', value: 10 },
  decimals: 0,
  definition: `Displacement of ${CENTRE}, from its own place at P1 (definitions 4).`,
} as const;

/** P1 and P10 are defined by stillness: a speed there says nothing of the swing. */
const SPEED = {
  ...COMMON,
  unit: 'm/s',
  at: ALL_POSITIONS.filter((position) => position !== 'P1' && position !== 'P10'),
  margin: { kind: 'share', value: 0.03 },
  decimals: 2,
} as const;

const DERIVATIVE = 'derivative of the polynomial through the six nearest frames of the smoothed markers’ centre';

export const BODY_CENTRE_QUANTITIES: readonly Quantity[] = [
  {
    ...MOVED,
    id: 'body.to_target',
    label: 'body shift',
    term: 'centre of mass along the target line',
    plus: 'moved toward the target',
    minus: 'moved away from the target',
    reading: { kind: 'displacement', point: 'body_centre', axis: 'target' },
    usesTarget: true,
  },
  {
    ...MOVED,
    id: 'body.to_ball',
    label: 'body thrust',
    term: 'centre of mass across the target line',
    plus: 'moved toward the ball',
    minus: 'moved away from the ball',
    reading: { kind: 'displacement', point: 'body_centre', axis: 'ball' },
    usesTarget: true,
  },
  {
    ...MOVED,
    id: 'body.rise',
    label: 'body rise',
    term: 'centre of mass, vertical',
    plus: 'risen',
    minus: 'dropped',
    reading: { kind: 'displacement', point: 'body_centre', axis: 'rise' },
    usesTarget: false,
  },
  {
    ...SPEED,
    id: 'body.speed',
    label: 'body speed',
    term: 'speed of the centre of mass',
    plus: 'faster',
    minus: 'slower',
    definition: `Speed of ${CENTRE}: ${DERIVATIVE}.`,
    reading: { kind: 'point-speed', point: 'body_centre', part: 'whole' },
    usesTarget: false,
  },
  {
    ...SPEED,
    id: 'body.speed_to_target',
    label: 'body speed to the target',
    term: 'velocity of the centre of mass along the target line',
    plus: 'moving toward the target',
    minus: 'moving away from the target',
    definition: `Part along the target line of the velocity of ${CENTRE}: ${DERIVATIVE}.`,
    reading: { kind: 'point-speed', point: 'body_centre', part: 'target' },
    usesTarget: true,
  },
];
