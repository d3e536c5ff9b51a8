/** Recordings of sensors: a swing, and the trials from which their mountings are known: standing, bow, tilt, turn, a hanging club. */
import { type Axes, add, followedBy, RAD, turned, turnOut, unit, type Vec, vec } from './geometry.ts';
import { Random } from './random.ts';
import type { Kit, Sensor } from './sensorKit.ts';
import {
  type Carried,
  type Felt,
  type Frame,
  felt,
  feltInSwing,
  hangingFrame,
  inMirror,
  type Place,
  site,
  standingFrame,
  swingFrame,
  turnedAbout,
} from './sensorMotion.ts';
import { type Knock, longTable, type SensorRows, type SignalOptions, sample, separateTables } from './sensorSignals.ts';
import type { Swing } from './swing.ts';

export interface SensorRecording {
  /** One table of all sensors. */
  readonly table: () => Uint8Array;
  /** One table a sensor, by its name. */
  readonly tables: () => Map<string, Uint8Array>;
  readonly recorded: readonly SensorRows[];
  /** Stamp less true time by place; true times of a swing are those of `Swing`. */
  readonly offset_s: Readonly<Partial<Record<Place, number>>>;
  readonly knock: Knock | null;
  /** Earliest stamp of the recording. */
  readonly first_s: number;
}

/** Seconds of the swing's own time at the first sample: the curves begin 0.52 s after its time 0, so more than a second is still after the knock. */
const BEGIN_s = -0.85;
const KNOCK_WIDTH_s = 0.01;

export interface SensorSwingOptions extends SignalOptions {
  /** Default true. */
  readonly knock?: boolean;
  /** Further stillness before the recording's usual begin, seconds. */
  readonly longer_s?: number;
}

export function recordSwing(seed: number, kit: Kit, swing: Swing, options: SensorSwingOptions): SensorRecording {
  const random = new Random(seed + 5_500_003);
  const begin = BEGIN_s - (options.longer_s ?? 0);
  const at_s = begin + random.between(0.22, 0.4);
  const { contact, slowingTime } = swing.setup;
  const motions = new Map(
    kit.sensors.map((sensor) => {
      const way = (struck: boolean): Carried =>
        worldOf(
          kit,
          site((t) => swingFrame(swing, sensor.place, t, struck), sensor.at),
        );
      return [sensor.place, { before: way(false), later: way(true) }];
    }),
  );
  const feel = (sensor: Sensor, t: number): Felt => {
    const { before, later } = motions.get(sensor.place)!;
    return feltInSwing(before, later, contact, slowingTime, t);
  };
  const knock = options.knock === false ? null : { at_s, width_s: KNOCK_WIDTH_s };
  const to_s = swing.knots[swing.knots.length - 1]! + 0.42;
  const recorded = sample(kit, { from_s: begin, to_s, feel, knock, contact_s: contact }, options, random);
  return recording(recorded, knock);
}

const worldOf = (kit: Kit, motion: Carried): Carried => (kit.hand === 'left' ? inMirror(motion) : motion);

function recording(recorded: readonly SensorRows[], knock: Knock | null): SensorRecording {
  return {
    table: () => longTable(recorded),
    tables: () => separateTables(recorded),
    recorded,
    offset_s: Object.fromEntries(recorded.map(({ sensor, offset_s }) => [sensor.place, offset_s])),
    knock,
    first_s: Math.min(...recorded.map(({ rows }) => rows[0]![0]!)),
  };
}

export type CalibrationMovement = 'still' | 'bow' | 'pelvic-tilt' | 'turn';

export interface CalibrationOptions extends SignalOptions {
  /** Angle by which each repetition's axis misses the segment's, radians, least and most (default 1° and 2°; still: none). */
  readonly axisOff?: readonly [number, number];
  /** Sway while standing, radians (default 0.1°). */
  readonly sway?: number;
}

/** Seconds of rest before, between and after two repetitions of `lasts`. */
const REST_s = 0.6;
const REPETITION_s = 1.9;
const STILL_s = 3;

/** Segments do not move as one: seconds behind the one that leads. */
const BEHIND_s: Readonly<Partial<Record<Place, number>>> = { pelvis: 0.09, thorax: 0.07, head: 0.05 };

/** How far each segment goes along, radians. */
const REACH: Readonly<Record<Exclude<CalibrationMovement, 'still'>, Readonly<Partial<Record<Place, number>>>>> = {
  bow: { pelvis: 7 * RAD, thorax: 30 * RAD, head: 32 * RAD },
  'pelvic-tilt': { pelvis: 10 * RAD, thorax: 2 * RAD, head: 1 * RAD },
  turn: { pelvis: 25 * RAD, thorax: 45 * RAD, head: 40 * RAD },
};

/** Standing upright with arms hanging, and from there twice the movement and back; the club is not there. */
export function recordCalibration(
  seed: number,
  kit: Kit,
  movement: CalibrationMovement,
  options: CalibrationOptions,
): SensorRecording {
  const random = new Random(seed + 5_700_007);
  const heading = turned([0, 1, 0], random.between(-1, 1) * 20 * RAD);
  const sway = swaying(random, options.sway ?? 0.1 * RAD);
  const [least, most] = options.axisOff ?? [1 * RAD, 2 * RAD];
  const axes = [0, 1].map(() => missed(movement === 'turn' ? [0, 1, 0] : [0, 0, 1], random, least, most));
  const lasts = movement === 'still' ? STILL_s : 3 * REST_s + 2 * REPETITION_s;
  const body = { ...kit, sensors: kit.sensors.filter(({ place }) => place !== 'club') };
  const motion = (place: Place): Carried => {
    const standing = standingFrame(kit.body, place);
    const reach = movement === 'still' ? 0 : (REACH[movement][place] ?? 0);
    const behind = place === (movement === 'pelvic-tilt' ? 'pelvis' : 'thorax') ? 0 : (BEHIND_s[place] ?? 0);
    // About the lumbar joint, roughly; the pelvis about the hips.
    const through = vec(0, (place === 'pelvis' ? 0.9 : 1.02) * kit.body.size, 0);
    return (t) => {
      const repetition = t < REST_s * 1.5 + REPETITION_s ? 0 : 1;
      const since = t - behind - REST_s - repetition * (REST_s + REPETITION_s);
      const moved = turnedAbout(standing, axes[repetition]!, course(movement, since / REPETITION_s) * reach, through);
      return inHeading(heading, turnedAbout(moved, sway(t).axis, sway(t).angle, vec(0, 0, 0)));
    };
  };
  const motions = new Map(body.sensors.map(({ place, at }) => [place, worldOf(kit, site(motion(place), at))]));
  const feel = (sensor: Sensor, t: number): Felt => felt(motions.get(sensor.place)!, t);
  return recording(sample(body, { from_s: 0, to_s: lasts, feel, knock: null, contact_s: null }, options, random), null);
}

/** The club alone, hung still. */
export function recordHanging(seed: number, kit: Kit, options: CalibrationOptions): SensorRecording {
  const random = new Random(seed + 5_900_009);
  const heading = turned([0, 1, 0], random.between(-Math.PI, Math.PI));
  const sway = swaying(random, 0.3 * (options.sway ?? 0.1 * RAD));
  const club = { ...kit, sensors: kit.sensors.filter(({ place }) => place === 'club') };
  const hung: Carried = (t) =>
    inHeading(heading, turnedAbout(hangingFrame(), sway(t).axis, sway(t).angle, hangingFrame().at));
  const motions = new Map(club.sensors.map(({ place, at }) => [place, worldOf(kit, site(hung, at))]));
  const feel = (sensor: Sensor, t: number): Felt => felt(motions.get(sensor.place)!, t);
  const source = { from_s: 0, to_s: STILL_s, feel, knock: null, contact_s: null };
  return recording(sample(club, source, options, random), null);
}

/** Share of the reach at a share of the repetition: forward is a turn the negative way about z; the pelvis tilts to both sides. */
function course(movement: CalibrationMovement, x: number): number {
  if (x <= 0 || x >= 1) return 0;
  const gone = 0.5 - 0.5 * Math.cos(2 * Math.PI * x);
  return movement === 'bow' ? -gone : Math.sin(2 * Math.PI * x) * gone * 1.54;
}

/** An axis that misses another by an angle between `least` and `most`, to any side. */
function missed(axis: Vec, random: Random, least: number, most: number): Vec {
  const aside = random.between(-Math.PI, Math.PI);
  const off = Math.tan(random.between(least, most));
  const other: Vec = axis[1] === 1 ? [Math.cos(aside), 0, Math.sin(aside)] : [Math.cos(aside), Math.sin(aside), 0];
  return unit(add(axis, [other[0] * off, other[1] * off, other[2] * off]));
}

/** Slow sway about a level axis, two rhythms. */
function swaying(random: Random, size: number): (t: number) => { readonly axis: Vec; readonly angle: number } {
  const phases = [0, 1, 2, 3].map(() => random.between(-Math.PI, Math.PI)) as [number, number, number, number];
  return (t) => {
    const x = Math.sin(2 * Math.PI * 0.31 * t + phases[0]) + 0.4 * Math.sin(2 * Math.PI * 0.87 * t + phases[1]);
    const z = Math.sin(2 * Math.PI * 0.37 * t + phases[2]) + 0.4 * Math.sin(2 * Math.PI * 0.79 * t + phases[3]);
    const length = Math.sqrt(x * x + z * z) + 1e-12;
    return { axis: [x / length, 0, z / length], angle: 0.7 * size * length };
  };
}

const inHeading = (heading: Axes, frame: Frame): Frame => ({
  axes: followedBy(heading, frame.axes),
  at: turnOut(heading, frame.at),
});
