/** The sensors that one player wears: where each sits, how it is turned on its segment, and its own errors. The same in all trials of a session. */
import { type Body, makeBody, type PlayerSpec } from './body.ts';
import { type Axes, cross, followedBy, scale, turned, unit, type Vec, vec } from './geometry.ts';
import { Random } from './random.ts';
import type { Place } from './sensorMotion.ts';

export interface Sensor {
  readonly place: Place;
  /** As the tables name it. */
  readonly name: string;
  /** Place in the segment's axes, metres. */
  readonly at: Vec;
  /** Axes of the sensor written in the segment's. */
  readonly mount: Axes;
  /** Constant errors, in the sensor's axes. */
  readonly gyroBias_degPerS: Vec;
  readonly accBias_mPerS2: Vec;
}

export interface Kit {
  readonly player: PlayerSpec;
  readonly hand: 'left' | 'right';
  readonly body: Body;
  readonly seed: number;
  readonly sensors: readonly Sensor[];
}

export interface KitOptions {
  readonly hand?: 'left' | 'right';
  /** Default: pelvis, thorax, both forearms and the club. */
  readonly places?: readonly Place[];
  /** Mountings that are not left to the seed. */
  readonly mounts?: Readonly<Partial<Record<Place, Axes>>>;
  /** Without constant errors. */
  readonly flawless?: boolean;
}

export const FIVE_PLACES: readonly Place[] = ['pelvis', 'thorax', 'lead_forearm', 'trail_forearm', 'club'];

export function makeKit(seed: number, player: PlayerSpec, options: KitOptions = {}): Kit {
  const hand = options.hand ?? player.hand;
  const body = makeBody(player);
  const random = new Random(seed + 5_000_011);
  const sensors = (options.places ?? FIVE_PLACES).map((place): Sensor => {
    const mount = anyRotation(random);
    const bias = (size: number): Vec => scale(anyDirection(random), options.flawless ? 0 : size);
    return {
      place,
      name: nameOf(place, hand),
      at: siteOf(place, body),
      mount: options.mounts?.[place] ?? mount,
      gyroBias_degPerS: bias(random.between(0.2, 0.5)),
      // After the maker's calibration, 0.02 m/s² an axis are left.
      accBias_mPerS2: bias(random.between(0.02, 0.035)),
    };
  });
  return { player, hand, body, seed, sensors };
}

/** The same sensors put on again: turned by about `angle` about any axis, their own errors the same. */
export function movedSensors(kit: Kit, places: readonly Place[], angle: number): Kit {
  const random = new Random(kit.seed + 6_000_101);
  const sensors = kit.sensors.map((sensor) =>
    places.includes(sensor.place)
      ? { ...sensor, mount: followedBy(turned(anyDirection(random), angle), sensor.mount) }
      : sensor,
  );
  return { ...kit, sensors };
}

/** Sides as a file has them: the lead side of a right-hander is the left. */
export function fileSide(place: Place, hand: 'left' | 'right'): string {
  const lead = hand === 'right' ? 'left' : 'right';
  const trail = hand === 'right' ? 'right' : 'left';
  return place.replace(/^lead/, lead).replace(/^trail/, trail);
}

/** Place in a day file → name in the tables. */
export const placesInFile = (kit: Kit): Record<string, string> =>
  Object.fromEntries(kit.sensors.map(({ place, name }) => [fileSide(place, kit.hand), name]));

const NAMES: Readonly<Record<string, string>> = {
  pelvis: 'sacrum',
  thorax: 'sternum',
  head: 'forehead',
  club: 'shaft',
  left_forearm: 'wrist-left',
  right_forearm: 'wrist-right',
  left_upper_arm: 'arm-left',
  right_upper_arm: 'arm-right',
};

const nameOf = (place: Place, hand: 'left' | 'right'): string => NAMES[fileSide(place, hand)]!;

function siteOf(place: Place, body: Body): Vec {
  const k = body.size;
  const [x, y] = body.pelvis.psis;
  switch (place) {
    case 'pelvis':
      return vec(x - 0.02, y - 0.01, 0);
    case 'thorax':
      return vec(0.022, -0.08 * k, 0.01);
    case 'head':
      return vec(0.095, 0.06, 0);
    case 'club':
      return vec(0.33, 0.008, 0.009);
    default:
      // Back of the forearm above the wrist, outside of the upper arm above the elbow.
      return place.endsWith('forearm') ? vec(0.012, 0.06 * k, 0.032) : vec(0.01, 0.12 * k, 0.045);
  }
}

/** Uniform on the sphere. */
export function anyDirection(random: Random): Vec {
  const z = random.between(-1, 1);
  const angle = random.between(-Math.PI, Math.PI);
  const flat = Math.sqrt(1 - z * z);
  return [flat * Math.cos(angle), flat * Math.sin(angle), z];
}

/** Uniform among all rotations: any direction for x, any angle about it. */
export function anyRotation(random: Random): Axes {
  const x = anyDirection(random);
  const helper: Vec = Math.abs(x[0]) < 0.7 ? [1, 0, 0] : [0, 1, 0];
  const y = unit(cross(x, helper));
  const own: Axes = { x, y, z: cross(x, y) };
  return followedBy(own, turned([1, 0, 0], random.between(-Math.PI, Math.PI)));
}
