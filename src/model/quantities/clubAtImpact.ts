import type { ClubFigureId } from '../delivery.ts';
import type { MarginRule, Quantity } from '../quantity.ts';
import type { Unit } from '../units.ts';

interface Row {
  readonly id: string;
  readonly figure: ClubFigureId;
  readonly label: string;
  readonly term: string;
  readonly unit?: Unit;
  readonly plus: string;
  readonly minus: string;
  readonly definition: string;
  readonly margin?: MarginRule;
  readonly decimals?: number;
  /** Default: neither used nor needed. */
  readonly target?: 'used' | 'needed';
}

const ANGLE: MarginRule = { kind: 'absolute', value: 2 };
const PLACE: MarginRule = { kind: 'absolute', value: 10 };
const SHARE: MarginRule = { kind: 'share', value: 0.03 };

const AWAY = 'away from the player';
const TOWARD = 'toward the player';

/** One value a swing, all at P7; markers only. Speed, attack and path stand with club and tempo. */
function row({ id, figure, unit = 'deg', margin = ANGLE, decimals = 1, target, ...words }: Row): Quantity {
  return {
    order: null,
    at: 'swing',
    change: false,
    form: 'any',
    curve: false,
    id,
    ...words,
    unit,
    reading: { kind: 'club', figure },
    margin,
    decimals,
    usesTarget: target !== undefined,
    needsTarget: target === 'needed',
  };
}

const ROWS: readonly Row[] = [
  {
    id: 'club.face',
    figure: 'face',
    label: 'face against target',
    term: 'horizontal direction of the face normal at impact',
    plus: AWAY,
    minus: TOWARD,
    definition:
      'Horizontal part of the face normal at P7 to the target line (definitions 5); three markers on the head and the face normal are needed.',
    target: 'needed',
  },
  {
    id: 'club.face_to_path',
    figure: 'face-to-path',
    label: 'face against path',
    term: 'horizontal angle from the head’s path to the face normal at impact',
    plus: AWAY,
    minus: TOWARD,
    definition: 'Face less path at P7; the target line drops out (definitions 5).',
  },
  {
    id: 'club.loft',
    figure: 'loft',
    label: 'loft at impact',
    term: 'elevation of the face normal at impact (dynamic loft)',
    plus: 'looks higher',
    minus: 'looks lower',
    definition: 'Face normal at P7 to the horizontal (definitions 5).',
  },
  {
    id: 'club.lie',
    figure: 'lie',
    label: 'lie at impact',
    term: 'angle of the shaft to the ground, seen along the target line',
    plus: 'more upright',
    minus: 'flatter',
    definition: 'Shaft at P7 to the horizontal in the plane across the target line (definitions 5).',
    target: 'used',
  },
  {
    id: 'club.shaft_lean',
    figure: 'shaft-lean',
    label: 'shaft lean',
    term: 'angle of the shaft to the vertical, seen from the front',
    plus: 'hands toward the target',
    minus: 'hands away from the target',
    definition: 'Shaft at P7 to the vertical in the plane through the target line (definitions 5).',
    target: 'used',
  },
  {
    id: 'club.face_rate',
    figure: 'face-rate',
    label: 'face turning rate',
    term: 'rate of the face normal’s horizontal direction at impact',
    unit: 'deg/s',
    plus: 'closing',
    minus: 'opening',
    definition: 'How fast the horizontal direction of the face normal turns toward the player at P7 (definitions 5).',
    margin: SHARE,
    decimals: 0,
  },
  {
    id: 'club.face_to_velocity',
    figure: 'face-to-velocity',
    label: 'face to velocity',
    term: 'angle in space between face normal and head velocity at impact (spin loft)',
    plus: 'wider',
    minus: 'narrower',
    definition:
      'Angle between the face normal and the head point’s velocity at P7 (definitions 5; Jorgensen 1999, from memory).',
  },
  {
    id: 'club.plane_slope',
    figure: 'plane-slope',
    label: 'plane slope',
    term: 'slope of the plane of the head’s path from P6 to P7',
    plus: 'more upright',
    minus: 'flatter',
    definition:
      'Plane of least squares through the head point from P6 to P7, evenly in time, to the ground: 0 flat, 90 upright (definitions 5; the idea of Kwon and others 2012, from memory).',
  },
  {
    id: 'club.plane_direction',
    figure: 'plane-direction',
    label: 'plane direction',
    term: 'horizontal direction of the base line of that plane',
    plus: AWAY,
    minus: TOWARD,
    definition: 'Level line of the plane from P6 to P7 against the target line (definitions 5).',
    target: 'needed',
  },
  {
    id: 'club.plane_disagreement',
    figure: 'plane-disagreement',
    label: 'path against plane',
    term: 'path less the path that attack angle and plane (P6 to P7) give together',
    plus: AWAY,
    minus: TOWARD,
    definition:
      'A check: sin(plane direction − path) = tan(attack) / tan(slope) holds where the head moves in its plane (plane geometry); flagged above 1.5°.',
  },
  {
    id: 'club.late_plane_slope',
    figure: 'late-plane-slope',
    label: 'late plane slope',
    term: 'slope of the plane of the head’s path over the last 50 ms before impact',
    plus: 'more upright',
    minus: 'flatter',
    definition: 'As the plane from P6 to P7, over the last 50 ms before P7.',
  },
  {
    id: 'club.late_plane_direction',
    figure: 'late-plane-direction',
    label: 'late plane direction',
    term: 'horizontal direction of the base line of that plane',
    plus: AWAY,
    minus: TOWARD,
    definition: 'Level line of the plane of the last 50 ms before P7 against the target line.',
    target: 'needed',
  },
  {
    id: 'club.late_plane_disagreement',
    figure: 'late-plane-disagreement',
    label: 'path against late plane',
    term: 'path less the path that attack angle and late plane give together',
    plus: AWAY,
    minus: TOWARD,
    definition: 'The same check against the plane of the last 50 ms before P7.',
  },
  {
    id: 'club.low_point',
    figure: 'low-point',
    label: 'low point',
    term: 'lowest point of the head’s path before impact, carried on, along the target line',
    unit: 'mm',
    plus: 'past the ball',
    minus: 'before the ball',
    definition:
      'Lowest point of the path fitted before P7, carried on by at most 25 cm, from the ball’s centre, + toward the target (definitions 5).',
    margin: PLACE,
    decimals: 0,
    target: 'used',
  },
  {
    id: 'club.plane_after_slope',
    figure: 'plane-after-slope',
    label: 'plane slope after impact',
    term: 'slope of the plane of the head’s path from impact to P8',
    plus: 'more upright',
    minus: 'flatter',
    definition: 'As the plane from P6 to P7, from P7 to P8, fitted by itself (definitions 5).',
  },
  {
    id: 'club.plane_after_direction',
    figure: 'plane-after-direction',
    label: 'plane direction after impact',
    term: 'horizontal direction of the base line of that plane',
    plus: AWAY,
    minus: TOWARD,
    definition: 'Level line of the plane from impact to P8 against the target line (definitions 5).',
    target: 'needed',
  },
  {
    id: 'club.low_point_after',
    figure: 'low-point-after',
    label: 'low point after impact',
    term: 'lowest point of the head’s path after impact, carried back, along the target line',
    unit: 'mm',
    plus: 'past the ball',
    minus: 'before the ball',
    definition: 'As the low point, of the path fitted over the 40 ms after impact.',
    margin: PLACE,
    decimals: 0,
    target: 'used',
  },
];

export const CLUB_AT_IMPACT_QUANTITIES: readonly Quantity[] = ROWS.map(row);
