import { departureChains } from '../../src/compare/chain.ts';
import { CurveTester } from '../../src/compare/curveDifferences.ts';
import { CATALOGUE, quantityById } from '../../src/model/catalogue.ts';
import { type CoachWords, coachWordsOf } from '../../src/model/coachWords.ts';
import type {
  ComparisonPart,
  ComparisonRow,
  CurveSummary,
  FamilyId,
  LengthTrend,
  MeanFigures,
  PlayerComparison,
  SwingMarks,
  Verdict,
} from '../../src/model/comparison.ts';
import { DEFAULT_COMPARE } from '../../src/model/dayPlan.ts';
import type { SensorNote } from '../../src/model/motion.ts';
import type { Link } from '../../src/model/orderOfMotion.ts';
import type { PositionId } from '../../src/model/positions.ts';
import type { Quantity } from '../../src/model/quantity.ts';
import type { Cell, SwingRecord, TrialOutcome } from '../../src/model/swingRecord.ts';
import { CURVE_POSITIONS, CURVE_STEPS } from '../../src/model/swingRecord.ts';
import { fromDisplay } from '../../src/model/units.ts';
import type { DayView, PlayerView } from '../../src/report/views.ts';
import { fixtureCheckpoints } from './checkpointFixture.ts';
import { fixtureOrder, type OrderCase } from './orderFixture.ts';

/**
 * An invented player for tests of the report: smooth curves through invented values at the positions, seeded scatter from swing
 * to swing, and a driver whose pelvis keeps 6.8° more forward bend at the top. Statistics here are rough (a normal
 * approximation); they only have to look like the real ones.
 */
export interface FixtureOptions {
  readonly player?: string;
  readonly day?: string;
  readonly hand?: 'left' | 'right';
  /** Swings with each club. */
  readonly drivers?: number;
  readonly irons?: number;
  /** False: no shaft markers, so P4(arm), no P2, P5.5, P6, P8 and no club figures. */
  readonly club?: boolean;
  /** Peaks of turning; in the reduced form there are none. */
  readonly order?: OrderCase;
  /** False: no lead arm in the order of motion. */
  readonly arms?: boolean;
  /** True: markers on the face of every club. */
  readonly face?: boolean;
  /** Joint centres only. */
  readonly reduced?: boolean;
  /** Not '': no comparison. */
  readonly reason?: string;
  /** The player's note in the day file. */
  readonly note?: string;
  /** The coach's notes by position and practice list. */
  readonly notes?: CoachWords['notes'];
  readonly practice?: readonly string[];
  readonly trialPrefix?: string;
  /** Ids of the driver and the two irons. */
  readonly clubs?: readonly [string, string, string];
  readonly seed?: number;
  /** False: the driver is swung like the irons. */
  readonly departs?: boolean;
  /** True: nobody stands still before the swing, so P1 is missing, and with it what is measured from it. */
  readonly withoutP1?: boolean;
  /** True: the target line is that of the feet, and there is no path. */
  readonly assumedTarget?: boolean;
  /** Sets of the swings in turn; one without a name by default. */
  readonly sets?: readonly string[];
  /** Another part than the markers of a player who has no other. */
  readonly part?: Partial<ComparisonPart>;
}

const TIME_S: Readonly<Record<string, number>> = {
  P1: -1.16, P2: -0.83, P3: -0.6, P4: -0.272, 'P4(arm)': -0.24, P5: -0.092, 'P5.5': -0.066, P6: -0.041, P7: 0, P8: 0.046, P9: 0.118, P10: 0.85,
}; // biome-ignore format: one glance

type Shape = Readonly<{ at: readonly number[]; driver?: Readonly<Record<string, number>>; sd: number }>;
const FULL: readonly PositionId[] = ['P1', 'P2', 'P3', 'P4', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9', 'P10'];

/** Irons at P1 P2 P3 P4 P5 P5.5 P6 P7 P8 P9 P10, and what the driver adds. */
const SHAPES: Readonly<Record<string, Shape>> = {
  'pelvis.turn': { at: [0, -12, -28, -46, -8, 3, 14, 37, 52, 68, 92], driver: { P4: 1, P7: 0.6 }, sd: 1.6 },
  'pelvis.side_bend': { at: [0, -1, -4, -9, 2, 5, 7, 10, 11, 9, 4], driver: { P7: 0.5 }, sd: 0.9 },
  'pelvis.forward_bend': { at: [17, 16, 13.5, 10.6, 14, 12, 9, 3, -1, -4, -8], driver: { P3: 2.2, P4: 6.8, P5: 6.1, 'P5.5': 5.4, P6: 4.4, P7: 3 }, sd: 1.0 },
  'thorax.turn': { at: [2, -34, -68, -94, -42, -24, -8, 22, 48, 82, 124], driver: { P4: -2.4, P7: -1.5 }, sd: 1.9 },
  'thorax.side_bend': { at: [9, -6, -24, -37, -6, 9, 21, 31, 33, 26, 6], driver: { P1: 3.4, P5: 2.4, 'P5.5': 3.1, P6: 4.6, P7: 6.1, P8: 5 }, sd: 1.2 },
  'thorax.forward_bend': { at: [36, 30, 17, 1, 27, 31, 30, 23, 14, 1, -15], driver: { P1: -5.2, P2: -3.6, P7: -1.1 }, sd: 1.1 },
  'head.turn': { at: [0, -10, -20, -26, -14, -10, -6, 3, 14, 38, 80], sd: 2.5 },
  'head.side_bend': { at: [3, -4, -9, -11, 4, 9, 13, 18, 20, 18, 5], sd: 2.2 },
  'head.forward_bend': { at: [42, 40, 37, 34, 37, 38, 38, 37, 34, 26, 2], driver: { P1: -3 }, sd: 2.3 },
  'trunk.flexion': { at: [20, 18, 12, 6, 16, 20, 22, 21, 16, 6, -6], driver: { P4: -4.5, P5: -4 }, sd: 1.4 },
  'trunk.side_bend': { at: [8, 0, -8, -14, 2, 8, 14, 21, 22, 17, 3], driver: { P7: 4.8 }, sd: 1.5 },
  'trunk.axial': { at: [2, -20, -36, -46, -34, -27, -21, -13, -4, 12, 30], sd: 2.0 },
  'neck.flexion': { at: [8, 10, 18, 26, 10, 8, 8, 12, 18, 24, 18], sd: 2.6 },
  'neck.side_bend': { at: [-5, 2, 12, 22, 8, 2, -6, -12, -12, -8, 0], sd: 2.6 },
  'neck.axial': { at: [-2, 24, 46, 66, 28, 14, 2, -18, -32, -42, -42], sd: 2.8 },
  turn_difference: { at: [2, -22, -40, -48, -34, -27, -22, -15, -4, 14, 32], driver: { P4: -3.4 }, sd: 1.9 },
  'thorax.inclination': { at: [37, 34, 34, 36, 29, 31, 34, 36, 33, 26, 12], driver: { P1: -4.4, P4: -1, P7: 1.8 }, sd: 1.0 },
  'thorax.inclination_direction': { at: [-14, -6, 2, 4, -14, -30, -46, -58, -64, -50, -20], driver: { P7: -5 }, sd: 2.2 },
  'pelvis.turn_rate': { at: [0, -40, -70, 30, 390, 420, 430, 380, 300, 220, 5], sd: 22 },
  'thorax.turn_rate': { at: [0, -110, -140, -20, 480, 560, 620, 640, 560, 420, 5], driver: { P7: 30 }, sd: 25 },
  'pelvis.to_target': { at: [0, -6, -18, -14, 38, 46, 52, 62, 72, 88, 110], driver: { P4: -9, P7: 12 }, sd: 7 },
  'pelvis.to_ball': { at: [0, 2, 6, 8, 14, 18, 22, 28, 30, 28, 20], sd: 6 },
  'pelvis.rise': { at: [0, -4, -8, -6, -22, -18, -8, 16, 30, 42, 52], driver: { P7: 6 }, sd: 5 },
  'thorax.to_target': { at: [0, -22, -38, -24, -10, -6, -2, 4, 22, 58, 120], driver: { P4: -16, P7: -34 }, sd: 9 },
  'thorax.to_ball': { at: [0, 4, 10, 12, 4, 2, 2, 4, 2, -6, -40], sd: 8 },
  'thorax.rise': { at: [0, 10, 18, 6, -6, 0, 12, 34, 52, 78, 130], driver: { P4: 10 }, sd: 6 },
  'head.to_target': { at: [0, -16, -30, -34, -38, -44, -48, -52, -40, 10, 140], driver: { P7: -22 }, sd: 10 },
  'head.to_ball': { at: [0, 4, 8, 10, 6, 4, 2, 0, 4, 14, 10], sd: 8 },
  'head.rise': { at: [0, -6, -18, -30, -46, -48, -46, -36, -18, 40, 170], sd: 8 },
  'shoulder_line.tilt': { at: [9, -6, -22, -36, -3, 10, 22, 32, 33, 24, 5], driver: { P1: 3.2, P7: 5.6 }, sd: 1.4 },
  'pelvis_line.tilt': { at: [0, -1, -4, -9, 2, 5, 7, 10, 11, 9, 4], sd: 1.0 },
  axis_tilt: { at: [6, 8, 9, 6, 12, 16, 19, 24, 24, 18, 6], driver: { P1: 3, P4: 3, P7: 6 }, sd: 1.3 },
  'shoulder_line.turn': { at: [2, -30, -60, -86, -40, -24, -8, 20, 44, 78, 120], driver: { P4: -3 }, sd: 2.0 },
  'pelvis_line.turn': { at: [0, -12, -28, -46, -8, 3, 14, 37, 52, 68, 92], sd: 1.8 },
  'trunk_axis.to_ball': { at: [36, 33, 31, 29, 30, 31, 32, 31, 27, 19, 6], driver: { P1: -4.6, P4: 5.6, P5: 5 }, sd: 1.2 },
  'trunk_axis.to_trail': { at: [6, 8, 9, 6, 12, 16, 19, 24, 24, 18, 6], driver: { P1: 3, P7: 6.2 }, sd: 1.3 },
}; // biome-ignore format: a table

const ONCE: Readonly<Record<string, { irons: number; driver: number; sd: number; plusMinus: number }>> = {
  'club.head_speed': { irons: 36.4, driver: 44.1, sd: 0.5, plusMinus: 0.3 },
  'club.attack': { irons: -4.4, driver: 2.3, sd: 1.1, plusMinus: 0.7 },
  'club.path': { irons: -0.8, driver: 1.1, sd: 1.5, plusMinus: 0.6 },
  'tempo.backswing': { irons: 0.888, driver: 0.921, sd: 0.018, plusMinus: 0.004 },
  'tempo.downswing': { irons: 0.272, driver: 0.269, sd: 0.006, plusMinus: 0.001 },
  'tempo.ratio': { irons: 3.26, driver: 3.42, sd: 0.09, plusMinus: 0.02 },
};

/** The same with markers on the face. */
const FACE: typeof ONCE = {
  'club.face': { irons: -1.2, driver: 0.7, sd: 1.6, plusMinus: 1.1 },
  'club.face_to_path': { irons: -0.4, driver: -0.4, sd: 1.5, plusMinus: 1.2 },
  'club.loft': { irons: 23.5, driver: 13.8, sd: 1.4, plusMinus: 1 },
  'club.lie': { irons: 61.2, driver: 47.4, sd: 0.9, plusMinus: 0.3 },
  'club.shaft_lean': { irons: 7.3, driver: -0.6, sd: 1.3, plusMinus: 0.3 },
  'club.face_rate': { irons: 1980, driver: 2310, sd: 120, plusMinus: 90 },
  'club.plane_slope': { irons: 60.3, driver: 48.8, sd: 0.8, plusMinus: 0.2 },
  'club.plane_direction': { irons: -1.1, driver: 4.6, sd: 1.2, plusMinus: 0.3 },
  'club.low_point': { irons: 71, driver: -112, sd: 24, plusMinus: 12 },
};

function onceOf(options: FixtureOptions): typeof ONCE {
  return options.face === true ? { ...ONCE, ...FACE } : ONCE;
}

/** Small seeded generator (Marsaglia's xorshift, 32 bits), values in (0, 1). */
function generator(seed: number): () => number {
  let state = (seed * 2654435761 + 88675123) >>> 0 || 1;
  return () => {
    state ^= state << 13;
    state >>>= 0;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return (state + 0.5) / 4294967296;
  };
}

function normalFrom(next: () => number): number {
  return Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function sd(values: readonly number[]): number {
  const m = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - m) * (value - m), 0) / Math.max(1, values.length - 1));
}

/** Value of a shape at a time: monotone time, cubic Hermite through the positions. */
function along(at: readonly number[], time: number): number {
  const times = FULL.map((position) => TIME_S[position]!);
  let k = 0;
  while (k < times.length - 2 && time > times[k + 1]!) k += 1;
  const slope = (i: number): number =>
    i <= 0 || i >= times.length - 1 ? 0 : (at[i + 1]! - at[i - 1]!) / (times[i + 1]! - times[i - 1]!);
  const width = times[k + 1]! - times[k]!;
  const u = (time - times[k]!) / width;
  const v = 1 - u;
  return (
    v * v * (1 + 2 * u) * at[k]! +
    u * u * (1 + 2 * v) * at[k + 1]! +
    u * v * v * width * slope(k) -
    u * u * v * width * slope(k + 1)
  );
}

interface FixtureSwing {
  readonly trial: string;
  readonly club: string;
  readonly offsets: ReadonlyMap<string, readonly [number, number]>;
  readonly once: ReadonlyMap<string, number>;
}

function makeSwings(count: number, clubs: readonly string[], prefix: string, next: () => number): FixtureSwing[] {
  return Array.from({ length: count }, (_, i) => {
    const offsets = new Map(Object.keys(SHAPES).map((id) => [id, [normalFrom(next), normalFrom(next)] as const]));
    const once = new Map(Object.keys(ONCE).map((id) => [id, normalFrom(next)]));
    // of its own seed, so that it moves no other number
    const other = generator(5000 + 100 * count + i);
    for (const id of Object.keys(FACE)) once.set(id, normalFrom(other));
    const club = clubs[i % clubs.length]!;
    return { trial: `${prefix}${club}/${String(i + 1).padStart(2, '0')}`, club, offsets, once };
  });
}

function shapeValue(swing: FixtureSwing, id: string, time: number, isDriver: boolean): number {
  const shape = SHAPES[id]!;
  const added = FULL.map((position) => (isDriver ? (shape.driver?.[position] ?? 0) : 0));
  const [a, b] = swing.offsets.get(id)!;
  const scatter = shape.sd * (0.85 * a + 0.5 * b * Math.sin(3 * time));
  const fromZero = id.includes('.to_') || id.endsWith('.rise') ? Math.min(1, Math.max(0, (time + 1.16) / 0.5)) : 1;
  return along(shape.at, time) + along(added, time) + scatter * fromZero;
}

function row(
  quantity: Quantity,
  position: PositionId | 'swing',
  basis: 'value' | 'change',
  group: readonly number[],
  reference: readonly number[],
  family: FamilyId,
): ComparisonRow {
  const meanGroup = mean(group);
  const meanReference = mean(reference);
  const difference = meanGroup - meanReference;
  const vGroup = (sd(group) * sd(group)) / group.length;
  const vReference = (sd(reference) * sd(reference)) / reference.length;
  const se = Math.sqrt(vGroup + vReference);
  const margin =
    quantity.margin.kind === 'absolute'
      ? quantity.margin.value
      : (quantity.margin.value * (Math.abs(meanGroup) + Math.abs(meanReference))) / 2;
  const few = Math.min(group.length, reference.length) < 5;
  const beyond = (Math.abs(difference) - margin) / se;
  const verdict: Verdict = few
    ? 'none'
    : beyond > (family.endsWith('primary') ? 2.9 : 3.2)
      ? 'departs'
      : Math.abs(difference) + 1.76 * se < margin
        ? 'matches'
        : Math.abs(difference) / se > 3
          ? 'differs-slightly'
          : 'undecided';
  const undecided = verdict === 'undecided';
  const sdWithin = sd(reference);
  return {
    quantity: quantity.id, position, basis, unit: quantity.unit, order: quantity.order,
    nGroup: group.length, nReference: reference.length, meanGroup, meanReference,
    sdGroup: sd(group), sdReference: sd(reference), difference,
    low95: difference - 2.14 * se, high95: difference + 2.14 * se,
    low90: difference - 1.76 * se, high90: difference + 1.76 * se,
    hedgesG: difference / sdWithin, margin, marginRule: 'default', sdWithin, mdc: 2.77 * sdWithin, detectable: margin + 3.8 * se,
    p: 0.01, pBeyond: 0.02, pWithin: 0.5, pAdjusted: 0.03, pBeyondAdjusted: 0.04, family, verdict,
    outsideUsual: Math.abs(difference) > 2.77 * sdWithin,
    excludesBeyond: undecided ? Math.abs(difference) + 2.14 * se : null,
    moreSwings: undecided ? { count: Math.min(41, Math.ceil(2 + (40 * se) / margin)), club: 'driver' } : null,
    pPermutation: null, bcaLow95: null, bcaHigh95: null, gLow95: null, gHigh95: null,
    trend: verdict !== 'departs' ? null : trendOf(difference, meanGroup, margin, se), flags: [], reason: few ? 'fewer than 5 swings in a group' : '',
  }; // biome-ignore format: a record
}

/** A trend that goes half of the way to the driver, in turn too uncertain, of another verdict and not straight. */
function trendOf(difference: number, meanGroup: number, margin: number, se: number): LengthTrend {
  const kind = Math.floor(Math.abs(10 * difference)) % 4;
  const half = kind === 0 ? 6 * margin : 1.2 * margin;
  return {
    clubs: ['hybrid4', 'iron5', 'iron7', 'wood3'], length_m: 1.143, slopePer10cm: difference / 4,
    expected: meanGroup - difference / 2, low95: meanGroup - difference / 2 - half, high95: meanGroup - difference / 2 + half,
    difference: difference / 2, differenceLow95: difference / 2 - half - se, differenceHigh95: difference / 2 + half + se,
    verdict: (['none', 'departs', 'undecided', 'none'] as const)[kind]!,
    reason: ['too uncertain to judge', '', '', 'the other clubs do not lie on a straight line'][kind]!,
  }; // biome-ignore format: a record
}

/** A row of a quantity that no swing has. */
function withoutValues(quantity: Quantity, position: PositionId | 'swing', reason: string): ComparisonRow {
  return {
    quantity: quantity.id, position, basis: 'value', unit: quantity.unit, order: quantity.order, nGroup: 0, nReference: 0,
    meanGroup: null, meanReference: null, sdGroup: null, sdReference: null, difference: null, low95: null, high95: null, low90: null,
    high90: null, hedgesG: null, margin: null, marginRule: 'default', sdWithin: null, mdc: null, detectable: null, p: null, pBeyond: null,
    pWithin: null, pAdjusted: null, pBeyondAdjusted: null, family: null, verdict: 'none', outsideUsual: false, excludesBeyond: null,
    moreSwings: null, pPermutation: null, bcaLow95: null, bcaHigh95: null, gLow95: null, gHigh95: null, trend: null,
    flags: [], reason,
  }; // biome-ignore format: a record
}

type P3 = readonly [number, number, number];

/** A skeleton at a position from the fixture's own angles, metres in G, pelvis centre at P1 over the origin. */
function skeleton(angles: (id: string) => number, position: PositionId, clubLength: number): Record<string, P3> {
  const rad = Math.PI / 180;
  const axes = (segment: string): { y: P3; z: P3 } => {
    const [s, f, t] = [
      angles(`${segment}.turn`) * rad,
      angles(`${segment}.side_bend`) * rad,
      -angles(`${segment}.forward_bend`) * rad,
    ];
    // columns of Ry(s)·Rx(f)·Rz(t)
    const y: P3 = [
      -Math.cos(s) * Math.sin(t) + Math.sin(s) * Math.sin(f) * Math.cos(t),
      Math.cos(f) * Math.cos(t),
      Math.sin(s) * Math.sin(t) + Math.cos(s) * Math.sin(f) * Math.cos(t),
    ];
    return { y, z: [Math.sin(s) * Math.cos(f), -Math.sin(f), Math.cos(s) * Math.cos(f)] };
  };
  const plus = (p: P3, d: P3, k: number): P3 => [p[0] + k * d[0], p[1] + k * d[1], p[2] + k * d[2]];
  const between = (a: P3, b: P3, out: P3): P3 => [
    (a[0] + b[0]) / 2 + out[0],
    (a[1] + b[1]) / 2 + out[1],
    (a[2] + b[2]) / 2 + out[2],
  ];
  const pelvis = axes('pelvis');
  const thorax = axes('thorax');
  const centre: P3 = [
    angles('pelvis.to_ball') / 1000,
    0.93 + angles('pelvis.rise') / 1000,
    -angles('pelvis.to_target') / 1000,
  ];
  const chest = plus(plus(centre, pelvis.y, 0.16), thorax.y, 0.22);
  const neck = plus(chest, thorax.y, 0.19);
  const shoulders = [plus(neck, thorax.z, -0.19), plus(neck, thorax.z, 0.19)] as const;
  const hips = [plus(centre, pelvis.z, -0.09), plus(centre, pelvis.z, 0.09)] as const;
  const hands: P3 = ({ P1: [0.46, 0.74, -0.03], P4: [-0.1, 1.56, 0.42], 'P4(arm)': [-0.08, 1.55, 0.42], 'P5.5': [0.3, 1.02, 0.34], P7: [0.46, 0.77, -0.14] } as Record<string, P3>)[position] ?? [0.4, 0.8, 0]; // biome-ignore format: a table
  const aim: P3 = ({ P1: [0.62, -0.72, -0.02], P4: [0.25, -0.06, -0.96], 'P5.5': [-0.08, 0.62, 0.78], P7: [0.62, -0.75, 0.1] } as Record<string, P3>)[position] ?? [0.6, -0.7, 0]; // biome-ignore format: a table
  const size = Math.hypot(aim[0], aim[1], aim[2]);
  const ankles = [[-0.02, 0.09, -0.24], [-0.02, 0.09, 0.24]] as const; // biome-ignore format: one glance
  return {
    pelvis_centre: centre, thorax_centre: chest, head_centre: plus(neck, [0.06, 0.2, 0.01], 1),
    lead_shoulder: shoulders[0], trail_shoulder: shoulders[1],
    lead_elbow: between(shoulders[0], hands, [0.03, -0.02, -0.03]), trail_elbow: between(shoulders[1], hands, [0.02, -0.1, 0.09]),
    lead_wrist: hands, trail_wrist: plus(hands, aim, 0.07 / size),
    lead_hip: hips[0], trail_hip: hips[1],
    lead_knee: between(hips[0], ankles[0], [0.1, 0, 0]), trail_knee: between(hips[1], ankles[1], [0.1, 0, -0.02]),
    lead_ankle: ankles[0], trail_ankle: ankles[1], lead_toe: [0.18, 0.02, -0.29], trail_toe: [0.18, 0.02, 0.27],
    ...(clubLength > 0 ? { club_grip: plus(hands, aim, -0.05 / size), head_point: plus(hands, aim, clubLength / size) } : {}),
  }; // biome-ignore format: a record
}

/** What sensors have no places for. */
const NEEDS_PLACES = /\.(to_target|to_ball|to_trail|rise)$|_line\.|^axis_tilt$/;

function takes(quantity: Quantity, options: FixtureOptions): boolean {
  if (options.part?.source === 'sensors' && NEEDS_PLACES.test(quantity.id)) return false;
  if (SHAPES[quantity.id] === undefined) return false;
  if (quantity.form === 'any') return true;
  return (quantity.form === 'reduced') === (options.reduced ?? false);
}

/** The swings of both groups; the same options give the same. */
function bothGroups(options: FixtureOptions) {
  const next = generator(options.seed ?? 7);
  const prefix = options.trialPrefix ?? '';
  const [driver, ...ironClubs] = options.clubs ?? ['driver', 'iron7', 'iron9'];
  const drivers = makeSwings(options.drivers ?? 8, [driver], prefix, next);
  const irons = makeSwings(options.irons ?? 8, ironClubs, prefix, next);
  return { drivers, irons, driver, ironClubs };
}

/** The positions that are found. */
function shownPositions(options: FixtureOptions): readonly PositionId[] {
  const all: readonly PositionId[] = (options.club ?? true) ? FULL : ['P1', 'P3', 'P4(arm)', 'P5', 'P7', 'P9', 'P10'];
  return options.withoutP1 === true ? all.filter((position) => position !== 'P1') : all;
}

function fromStart(quantity: Quantity): boolean {
  return (quantity.id.includes('.to_') && quantity.reading.kind === 'displacement') || quantity.id.endsWith('.rise');
}

export function fixtureComparison(options: FixtureOptions = {}): PlayerComparison {
  const { drivers, irons, driver, ironClubs } = bothGroups(options);
  const hasClub = options.club ?? true;
  const departs = options.departs ?? true;
  const shown = shownPositions(options);
  const rows: ComparisonRow[] = [];
  for (const quantity of CATALOGUE) {
    if (takes(quantity, options)) {
      for (const position of quantity.at) {
        if (!shown.includes(position as PositionId)) continue;
        if (options.withoutP1 === true && fromStart(quantity)) continue;
        const at = (swings: readonly FixtureSwing[], isDriver: boolean, from: number) =>
          swings.map(
            (swing) =>
              shapeValue(swing, quantity.id, TIME_S[position]!, isDriver) -
              (from === 0 ? 0 : shapeValue(swing, quantity.id, from, isDriver)),
          );
        const primary = DEFAULT_COMPARE.primary.includes(`${quantity.id}@${position}`);
        rows.push(
          row(
            quantity,
            position as PositionId,
            'value',
            at(drivers, departs, 0),
            at(irons, false, 0),
            primary ? 'primary' : 'screening',
          ),
        );
        if (quantity.change && position !== 'P1' && options.withoutP1 !== true) {
          const family = primary ? 'change-primary' : 'change-screening';
          rows.push(
            row(
              quantity,
              position as PositionId,
              'change',
              at(drivers, departs, -1.16),
              at(irons, false, -1.16),
              family,
            ),
          );
        }
      }
    }
    if (
      options.assumedTarget === true &&
      quantity.needsTarget &&
      onceOf(options)[quantity.id] !== undefined &&
      hasClub
    ) {
      rows.push(
        withoutValues(
          quantity,
          'swing',
          `fewer than 5 swings: 0 swings of the driver, 0 swings of the irons; ${drivers.length} of ${drivers.length} driver and ${irons.length} of ${irons.length} irons left out: needs a target line that is set or given by an alignment marker`,
        ),
      );
    }
    const once =
      options.part?.source === 'sensors' && quantity.id.startsWith('club.') ? undefined : onceOf(options)[quantity.id];
    if (once !== undefined && hasClub && !(options.assumedTarget === true && quantity.needsTarget)) {
      const values = (swings: readonly FixtureSwing[], m: number) =>
        swings.map((swing) => m + once.sd * swing.once.get(quantity.id)!);
      rows.push(
        row(
          quantity,
          'swing',
          'value',
          values(drivers, departs ? once.driver : once.irons),
          values(irons, once.irons),
          'screening',
        ),
      );
    }
  }
  const counts: Record<Verdict, number> = { departs: 0, matches: 0, 'differs-slightly': 0, undecided: 0, none: 0 };
  for (const entry of rows) counts[entry.verdict] += 1;
  const reason = options.reason ?? '';
  const first = rows.find(
    (entry) => entry.quantity === 'pelvis.forward_bend' && entry.position === 'P4' && entry.basis === 'value',
  );
  const marks: SwingMarks[] = Object.entries(onceOf(options)).map(([id, once]) => {
    const list = (swings: readonly FixtureSwing[], m: number) =>
      swings.map((swing) => ({
        trial: swing.trial,
        value: m + once.sd * swing.once.get(id)!,
        plusMinus: once.plusMinus,
      }));
    const unit = CATALOGUE.find((quantity) => quantity.id === id)!.unit;
    return {
      quantity: id,
      unit,
      group: list(drivers, departs ? once.driver : once.irons),
      reference: list(irons, once.irons),
    };
  });
  const positions: readonly PositionId[] = hasClub ? ['P1', 'P4', 'P5.5', 'P7'] : ['P1', 'P4(arm)', 'P7'];
  const figures: MeanFigures[] = positions.map((position) => {
    const of = (swings: readonly FixtureSwing[], isDriver: boolean) => (id: string) =>
      mean(swings.map((swing) => shapeValue(swing, id, TIME_S[position]!, isDriver)));
    return {
      position,
      group: skeleton(of(drivers, departs), position, hasClub ? 1.03 : 0),
      reference: skeleton(of(irons, false), position, hasClub ? 0.86 : 0),
    };
  });
  return {
    player: options.player ?? 'Wren',
    part: {
      source: 'markers',
      datum: { kind: 'anatomical', id: 'anatomical' },
      calibration: null,
      label: '',
      suffix: '',
      ...options.part,
    },
    hand: options.hand ?? 'right',
    group: { label: 'driver', clubs: [driver], trials: drivers.map((swing) => swing.trial) },
    reference: { label: 'irons', clubs: ironClubs, trials: irons.map((swing) => swing.trial) },
    rows: reason === '' ? rows : [],
    familySizes: { primary: 12, screening: rows.length - 21, limbs: 0, 'change-primary': 9, 'change-screening': 240, 'change-limbs': 0 },
    firstDepartures:
      reason === '' && first?.verdict === 'departs'
        ? [
            { quantity: 'pelvis.forward_bend', basis: 'value', position: 'P4', difference: first.difference!, unit: 'deg', certainty: 0.87, neighbours: [] },
            { quantity: 'thorax.side_bend', basis: 'value', position: 'P7', difference: 6.1, unit: 'deg', certainty: 0.7, neighbours: [{ position: 'P5.5', share: 0.24 }] },
          ]
        : [], // biome-ignore format: one a line
    shares: reason === '' ? [{ quantity: 'thorax.side_bend', position: 'P7', total_deg: 6.1, pelvis_deg: 1.4, trunk_deg: 4.7, pelvisLow95_deg: 0.5, pelvisHigh95_deg: 2.3, pelvisPercent: 23, trunkPercent: 77 }] : [], // biome-ignore format: one glance
    drift: [
      { club: 'driver', quantity: 'thorax.turn', position: 'P4', slope: -0.62, p: 0.004, lag1: 0.1, flagged: true },
      { club: 'iron7', quantity: 'pelvis.turn', position: 'P4', slope: 0.05, p: 0.8, lag1: -0.2, flagged: false },
    ],
    orderOfMotion: reason === '' ? fixtureOrder(options.order ?? 'full', drivers.length, irons.length, missingLinks(options), orderScatter(options)) : null,
    chains: departureChains(rows),
    blocks: [],
    orderConfounded: true,
    curves: reason === '' ? CATALOGUE.filter((quantity) => quantity.curve && takes(quantity, options)).map((quantity) => curvesOf(quantity, drivers, irons, departs, options.withoutP1 === true ? 10 : 0)) : [],
    figures: reason === '' && options.withoutP1 !== true && options.part?.source !== 'sensors' ? figures : [],
    marks: reason === '' && hasClub ? marks.filter(({ quantity }) => !(options.assumedTarget === true && quantityById(quantity).needsTarget) && !(options.part?.source === 'sensors' && quantity.startsWith('club.'))) : [],
    checkpoints: fixtureCheckpoints(),
    times: [...shown].map((position) => ({ position, group_s: TIME_S[position]! * 1.02, reference_s: TIME_S[position]! })),
    counts,
    reason,
    notes: ['target line assumed from the feet at P1: turn and side bend carry that flag'],
    options: DEFAULT_COMPARE,
  }; // biome-ignore format: a record
}

function missingLinks(options: FixtureOptions): Link[] {
  const arms: Link[] = ['lead_upper_arm', 'lead_forearm'];
  if (options.reduced === true) return ['pelvis', 'thorax', ...arms, 'club'];
  return [...(options.arms === false ? arms : []), ...((options.club ?? true) ? [] : (['club'] as const))];
}

/** Of its own seed, so that it moves no other number. */
function orderScatter(options: FixtureOptions): () => number {
  const next = generator(1000 + (options.seed ?? 7));
  return () => normalFrom(next);
}

function curvesOf(
  quantity: Quantity,
  drivers: readonly FixtureSwing[],
  irons: readonly FixtureSwing[],
  departs: boolean,
  start: number,
): CurveSummary {
  const times = Array.from({ length: CURVE_STEPS }, (_, i) => {
    const k = Math.min(CURVE_POSITIONS.length - 2, Math.floor(i / 10));
    const from = TIME_S[CURVE_POSITIONS[k]!]!;
    return from + ((TIME_S[CURVE_POSITIONS[k + 1]!]! - from) * (i - 10 * k)) / 10;
  });
  const curve = (swing: FixtureSwing, isDriver: boolean) =>
    Float64Array.from(times, (time, step) =>
      step < start ? Number.NaN : shapeValue(swing, quantity.id, time, isDriver),
    );
  const driverCurves = drivers.map((swing) => ({ trial: swing.trial, values: curve(swing, departs) }));
  const ironCurves = irons.map((swing) => curve(swing, false));
  return {
    quantity: quantity.id,
    unit: quantity.unit,
    groupMean: Float64Array.from(times, (_, i) => mean(driverCurves.map((entry) => entry.values[i]!))),
    referenceMean: Float64Array.from(times, (_, i) => mean(ironCurves.map((values) => values[i]!))),
    referenceSd: Float64Array.from(times, (_, i) => sd(ironCurves.map((values) => values[i]!))),
    groupCurves: driverCurves,
    ...new CurveTester(DEFAULT_COMPARE).compare(
      quantity.id,
      driverCurves.map(({ values }) => values),
      ironCurves,
    ),
  };
}

/** What a swing stores: the values the comparison is made of, radians and metres; null with a reason at positions that are not found. */
function cellsOf(swing: FixtureSwing, isDriver: boolean, options: FixtureOptions): Cell[] {
  const shown = shownPositions(options);
  const missing = { code: 'position-missing', needed: 'the position' };
  const made = (quantity: Quantity, position: PositionId | 'swing', shownValue: number | null): Cell => ({
    quantity: quantity.id, position, value: shownValue === null ? null : fromDisplay(shownValue, quantity.unit), plusMinus: null,
    order: quantity.order, unit: quantity.unit, flags: [], why: shownValue === null ? missing : null,
  }); // biome-ignore format: a record
  return CATALOGUE.flatMap((quantity) => {
    const once = onceOf(options)[quantity.id];
    if (once !== undefined) {
      if ((options.club ?? true) === false) return [];
      const value = (isDriver ? once.driver : once.irons) + once.sd * swing.once.get(quantity.id)!;
      return [made(quantity, 'swing', options.assumedTarget === true && quantity.needsTarget ? null : value)];
    }
    if (!takes(quantity, options) || quantity.at === 'swing') return [];
    return quantity.at.map((position) =>
      made(
        quantity,
        position,
        shown.includes(position) ? shapeValue(swing, quantity.id, TIME_S[position]!, isDriver) : null,
      ),
    );
  });
}

function recordOf(swing: FixtureSwing, isDriver: boolean, order: number, options: FixtureOptions): SwingRecord {
  const fact = <T>(value: T) => ({ value, source: 'detected' as const, evidence: 'fixture' });
  const { trial } = swing;
  const sets = options.sets ?? [''];
  const target =
    options.assumedTarget === true ? { ...fact('-Y' as const), source: 'assumed' as const } : fact('-Y' as const);
  return {
    head: {
      ...(options.part?.source === 'sensors' ? { source: 'sensors' as const } : {}),
      trial, file: `${trial}.c3d`, player: options.player ?? 'Wren', club: isDriver ? 'driver' : 'iron7', kind: isDriver ? 'driver' : 'iron',
      set: sets[order % sets.length]!, role: 'swing', order,
      facts: { units: fact('mm'), rate_Hz: fact(240), up: fact('+Z'), target, hand: fact(options.hand ?? 'right'), mirrored: fact(false) },
      substitutions: ['T10 for T8'],
    },
    sha256: '', datum: { kind: 'anatomical', id: 'a' }, form: options.reduced === true ? 'reduced' : 'full', headPoint: null, frames: 600,
    moments: {}, cells: cellsOf(swing, isDriver && (options.departs ?? true), options), curveBase: { times_s: new Float64Array(CURVE_STEPS), shared: [] }, curves: [],
    figures: options.withoutP1 === true ? [] : [{ position: 'P1', points: {} }], poses: {}, quality: [], diagnostics: [],
    ...(options.part?.source === 'sensors' ? { sensors: sensorNotes(order) } : {}),
  }; // biome-ignore format: a record
}

/** Notes on a shaft and a pelvis sensor that drift more with every swing, and on one that gives nothing in the second swing. */
function sensorNotes(order: number): SensorNote[] {
  const note = { flags: [], reason: '', bias_radPerS: 0.005, closingTilt_rad: null } as const;
  return [
    { ...note, place: 'club', name: 'shaft', method: 'strap-down', driftBound_rad: 0.002 + 0.0001 * order, flags: order === 0 ? ['gyro-clipped'] : [] },
    { ...note, place: 'pelvis', name: 'sacrum', method: 'strap-down', driftBound_rad: 0.001, closingTilt_rad: 0.01 * order },
    order === 1
      ? { ...note, place: 'thorax', name: 'sternum', method: null, bias_radPerS: null, driftBound_rad: null, reason: 'a bow that shows its axis' }
      : { ...note, place: 'thorax', name: 'sternum', method: 'file', bias_radPerS: null, driftBound_rad: 0.001 },
  ]; // biome-ignore format: a record a line
}

export function fixtureView(options: FixtureOptions = {}): PlayerView {
  const comparison = fixtureComparison(options);
  const { drivers, irons } = bothGroups(options);
  const records = [
    ...irons.map((swing, i) => recordOf(swing, false, i, options)),
    ...drivers.map((swing, i) => recordOf(swing, true, irons.length + i, options)),
  ];
  const outcome = (trial: string, status: TrialOutcome['status'], reason: string, record: SwingRecord | null): TrialOutcome => ({
    trial, file: `${trial}.c3d`, sha256: '', player: comparison.player, club: record?.head.club ?? 'driver', kind: record?.head.kind ?? 'driver',
    set: 'a', role: 'swing', status, reason, record, diagnostics: [],
  }); // biome-ignore format: a record
  return {
    day: options.day ?? 'Spring capture',
    date: '2024-04-12',
    comparison,
    records,
    outcomes: [
      ...records.map((record) => outcome(record.head.trial, 'used', '', record)),
      outcome(
        `${options.trialPrefix ?? ''}driver/practice`,
        'left-out',
        'the day file says use: no (practice swing)',
        null,
      ),
      outcome(
        `${options.trialPrefix ?? ''}driver/17`,
        'rejected',
        'L_ASIS missing for 0.4 s across the downswing; longest gap that is filled 0.1 s',
        null,
      ),
    ],
    ...coachWordsOf(options),
    filterText:
      'Zero-lag low-pass, on its own side of impact: trunk, head and legs 12 Hz, upper arm 15 Hz, forearm and hand 20 Hz, club and ball not filtered.',
    ordersText:
      'Pelvis, chest and head against the player’s frame: turn, side bend, forward bend (Y-X-Z). Joints: Z-X-Y.',
    programVersion: 'swingbasis 0.1.0',
  };
}

export function fixtureDay(): DayView {
  const players = [
    fixtureView(),
    fixtureView({ player: 'Siskin', hand: 'left', seed: 11 }),
    fixtureView({ player: 'Dunnock', drivers: 3, irons: 1, reason: 'only 1 iron swing' }),
  ];
  return {
    day: 'Spring capture',
    date: '2024-04-12',
    players,
    outcomes: players.flatMap((view) => view.outcomes),
    programVersion: 'swingbasis 0.1.0',
  };
}
