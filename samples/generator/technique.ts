/**
 * How an invented player swings: values of every curve at eleven knots. Common practice, no source: the typical values are
 * settings of invented swings, not norms. Degrees and millimetres; turn + opened toward the target, side bend + to the trail
 * side, forward bend + over the ball.
 */
import type { Random } from './random.ts';

/** Nominal moments of the knots; the true positions follow from the motion. 'F' lies between P9 and P10. */
export const KNOTS = ['P1', 'P2', 'P3', 'P4', 'P5', 'P6', 'P7', 'P8', 'P9', 'F', 'P10'] as const;

export const CHANNELS = [
  'pelvisTurn',
  'pelvisSide',
  'pelvisForward',
  'thoraxTurn',
  'thoraxSide',
  'thoraxForward',
  'headTurn',
  'headSide',
  'headForward',
  'pelvisToTarget_mm',
  'pelvisToBall_mm',
  'pelvisRise_mm',
  'armSwing',
  'armRise',
  'clubSwing',
  'clubRise',
  'clubRoll',
  'trailHeel',
  'leadReach', // share of the straight lead arm
] as const;
export type Channel = (typeof CHANNELS)[number];
export type Values = readonly number[];
export type Technique = Readonly<Record<Channel, Values>>;
/** Additions to some channels. */
export type Change = Readonly<Partial<Record<Channel, Values>>>;

// biome-ignore format: one row a channel, one column a knot
export const IRON_TECHNIQUE: Technique = {
  //                  P1   P2   P3   P4   P5   P6   P7   P8   P9    F  P10
  pelvisTurn:        [ 1, -14, -31, -44, -17,  12,  36,  55,  71,  88,  96],
  pelvisSide:        [ 1,  -2,  -6,  -9,  -4,   3,   8,  10,   8,   4,   2],
  pelvisForward:     [22,  21,  18,  14,  14,   9,   4,   0,  -3,  -5,  -5],
  thoraxTurn:        [ 3, -30, -65, -90, -56, -14,  20,  49,  74, 108, 120],
  thoraxSide:        [ 7,  -8, -25, -35, -19,   8,  27,  31,  26,  10,   2],
  thoraxForward:     [41,  36,  20,   5,  22,  34,  34,  22,  10,  -6, -10],
  headTurn:          [-2,  -6, -12, -16, -10,  -4,   2,  14,  34,  70,  84],
  headSide:          [ 4,   5,   6,   8,  12,  18,  22,  24,  18,   8,   4],
  headForward:       [36,  36,  36,  36,  35,  34,  34,  30,  22,  10,   6],
  pelvisToTarget_mm: [ 0,  -6, -12,  -8,  32,  56,  66,  74,  86, 104, 112],
  pelvisToBall_mm:   [ 0,   2,   3,   0,  -8,  -2,  10,  20,  28,  40,  46],
  pelvisRise_mm:     [ 0,  -2,  -6,  -8, -18, -10,   8,  22,  28,  20,  16],
  armSwing:          [-17, -56, -93,-130, -95, -38,  -1,  25,  46, 100, 122],
  armRise:           [-12, -9,  -6,  -2,   1,   0,   0,  -1,  -4, -12, -16],
  clubSwing:         [ 1, -84,-165,-236,-188, -91,  -5,  99, 162, 232, 250],
  clubRise:          [ 0,   1,   4,   6,   1,  -1,   0,   1,  -3, -10, -12],
  clubRoll:          [ 0, -30, -60, -84, -82, -52,   0,  44,  70,  88,  90],
  trailHeel:         [ 0,   0,   0,   0,   0,   3,  12,  24,  34,  48,  52],
  leadReach:         [0.945, 0.96, 0.965, 0.96, 0.97, 0.975, 0.97, 0.93, 0.84, 0.64, 0.6],
};

/** A driver usually finds the chest more upright and tilted further from the target, the stance wider, the arc flatter. */
// biome-ignore format: one row a channel, one column a knot
export const TYPICAL_DRIVER: Change = {
  thoraxForward:     [-4.5, -4, -3.5, -3, -3, -3, -3.5, -3, -2, -1, 0],
  thoraxSide:        [ 3,  2,  1,  0,   1,   2,   4,   4,   3,   1,   0],
  pelvisForward:     [-3, -3, -2, -1.5, -1.5, -2, -2, -1.5, -1, 0, 0],
  pelvisToTarget_mm: [ 0,  0,  0,  0,  -4,  -8, -10, -10,  -8,  -4,   0],
};

/** The sum of a technique and changes. */
export function changed(base: Technique, ...changes: readonly Change[]): Technique {
  const out = { ...base } as Record<Channel, Values>;
  for (const change of changes) {
    for (const channel of CHANNELS) {
      const by = change[channel];
      if (by) out[channel] = out[channel].map((value, i) => value + by[i]!);
    }
  }
  return out;
}

/** The body's own channels, whose scatter from swing to swing is in degrees of turn and bend. */
const BODY: readonly Channel[] = [
  'pelvisTurn',
  'pelvisSide',
  'pelvisForward',
  'thoraxTurn',
  'thoraxSide',
  'thoraxForward',
  'headTurn',
  'headSide',
  'headForward',
];

/** One swing's own deviation: a part common to all knots, a part that changes slowly along them. `sd` in degrees. */
export function scatter(random: Random, sd: number): Change {
  const out: Partial<Record<Channel, Values>> = {};
  for (const channel of CHANNELS) {
    const own = BODY.includes(channel)
      ? sd
      : channel === 'leadReach'
        ? 0
        : channel.endsWith('_mm')
          ? 4 * sd
          : channel === 'trailHeel'
            ? 0
            : 0.5 * sd;
    const common = 0.7 * own * random.normal();
    let slow = random.normal();
    const values: number[] = [];
    for (let i = 0; i < KNOTS.length; i += 1) {
      values.push(channel.endsWith('_mm') && i === 0 ? 0 : common + 0.7 * own * slow);
      slow = 0.8 * slow + 0.6 * random.normal();
    }
    out[channel] = values;
  }
  return out;
}
