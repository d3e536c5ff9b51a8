/** The four invented players of the demo day. */
import type { Player } from './makeSwing.ts';
import { type Change, TYPICAL_DRIVER } from './technique.ts';

/** Swings the driver like the irons. */
const ALIKE: Change = {};

/** Half of what most players change. */
const LITTLE: Change = Object.fromEntries(
  Object.entries(TYPICAL_DRIVER).map(([channel, values]) => [channel, values.map((value) => 0.5 * value)]),
);

/** The pelvis stays bent over the ball in the backswing; the chest comes back over it too late in the transition. */
// biome-ignore format: one row a channel, one column a knot
const STAYS_BENT: Change = {
  //                 P1   P2   P3  P4  P5  P6  P7  P8 P9  F P10
  pelvisForward:   [-0.3, 0, 1, 10,  6,  2, 0.5, 0, 0, 0, 0],
  thoraxForward:   [-0.8, -1, -1, -1, -8, -9, -2, -1, 0, 0, 0],
  thoraxSide:      [ 0.5,  0,  0,  0,  0,  1,  2,  2, 1, 0, 0],
};

/** Irons alike in style: a little more or less of everything, so that the players differ. */
// biome-ignore format: one row a channel, one column a knot
const UPRIGHT: Change = {
  thoraxForward:   [-4, -4, -3, -2, -3, -4, -4, -3, -2, 0, 0],
  pelvisForward:   [-4, -4, -3, -3, -3, -3, -2, -2, -1, 0, 0],
};
// biome-ignore format: one row a channel, one column a knot
const LONG_TURN: Change = {
  thoraxTurn:      [ 0, -3, -6, -9, -7, -4, 2, 3, 3, 0, 0],
  pelvisTurn:      [ 0, -2, -5, -7, -3,  0, 2, 2, 2, 0, 0],
};

export interface DemoPlayer extends Player {
  readonly note: string;
  readonly noise_mm: number;
  /** Files carry an event at impact. */
  readonly events: boolean;
  /** Also recorded with sensors. */
  readonly sensors: boolean;
  readonly seed: number;
}

export const DEMO_PLAYERS: readonly DemoPlayer[] = [
  {
    id: 'wren',
    hand: 'right',
    sex: 'female',
    height_m: 1.69,
    mass_kg: 62,
    style: UPRIGHT,
    driverChange: ALIKE,
    driverSpeed_mPerS: 41,
    driverAttack_deg: 0.5,
    ironAttack_deg: -3.5,
    path_deg: 0.8,
    scatter_deg: 0.8,
    note: 'swings the driver like the irons',
    noise_mm: 0.4,
    events: true,
    sensors: true,
    seed: 1100,
  },
  {
    id: 'heron',
    hand: 'left',
    sex: 'male',
    height_m: 1.83,
    mass_kg: 84,
    style: LONG_TURN,
    driverChange: TYPICAL_DRIVER,
    driverSpeed_mPerS: 46,
    driverAttack_deg: 1.5,
    ironAttack_deg: -4,
    path_deg: -1.5,
    scatter_deg: 1,
    note: 'left-handed',
    noise_mm: 0.4,
    events: true,
    sensors: false,
    seed: 2200,
  },
  {
    id: 'osprey',
    hand: 'right',
    sex: 'male',
    height_m: 1.77,
    mass_kg: 78,
    style: {},
    driverChange: LITTLE,
    driverSpeed_mPerS: 44.5,
    driverAttack_deg: 2,
    ironAttack_deg: -4.5,
    path_deg: 1.5,
    scatter_deg: 1.5,
    note: 'captured with gaps and 1 mm noise',
    noise_mm: 1,
    events: false,
    sensors: false,
    seed: 3300,
  },
  {
    id: 'plover',
    hand: 'right',
    sex: 'male',
    height_m: 1.8,
    mass_kg: 81,
    style: {},
    driverChange: STAYS_BENT,
    driverSpeed_mPerS: 46,
    driverAttack_deg: 4.5,
    ironAttack_deg: -3.5,
    path_deg: 2,
    scatter_deg: 1,
    note: 'keeps the pelvis bent forward in the backswing with the driver',
    noise_mm: 0.4,
    events: false,
    sensors: false,
    seed: 4400,
  },
];
