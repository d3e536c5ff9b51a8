/** What inertial sensors recorded, how they sit on the body, and their orientations: orientation they give well, places they do not. */

import type { Avail } from './availability.ts';
import type { Vec3 } from './calibration.ts';
import type { Clock } from './clock.ts';
import type { SignedAxis } from './dayPlan.ts';
import { SEGMENTS } from './motion.ts';
import type { Track } from './track.ts';

/** Where a sensor sits, sides as lead and trail. Each is a segment of the body, or the club (its shaft). */
export const SENSOR_PLACES = [...SEGMENTS, 'club'] as const;
export type SensorPlace = (typeof SENSOR_PLACES)[number];

/** As a day file names them. */
export type FileSensorPlace = 'pelvis' | 'thorax' | 'head' | 'club' | `left_${SidedPlace}` | `right_${SidedPlace}`;
export const SIDED_PLACES = ['upper_arm', 'forearm', 'hand', 'thigh', 'shank', 'foot'] as const;
export type SidedPlace = (typeof SIDED_PLACES)[number];
export const FILE_SENSOR_PLACES: readonly FileSensorPlace[] = [
  'pelvis',
  'thorax',
  'head',
  ...SIDED_PLACES.flatMap((name) => [`left_${name}` as const, `right_${name}` as const]),
  'club',
];

/** Movements that show a segment's axis: a bow of the trunk and a tilt of the pelvis about the flexion axis, a turn about the long axis. */
export const MOVEMENTS = ['bow', 'pelvic-tilt', 'turn'] as const;
export type Movement = (typeof MOVEMENTS)[number];

/** Bits of `SensorTrack.clipped`. */
export const CLIPPED_GYRO = 1;
export const CLIPPED_ACC = 2;

/**
 * One sensor's signals on its own clock, in its own axes (a left-hander's already mirrored: sensor axes (x, y, −z), so
 * acc → (ax, ay, −az), gyro → (−wx, −wy, wz)). Planar 3 × n; NaN where missing.
 */
export interface SensorTrack {
  readonly place: SensorPlace;
  /** As the file names it. */
  readonly name: string;
  /** One over the median step. */
  readonly rate_Hz: number;
  /** Seconds, strictly increasing, from the earliest first sample of the recording before any alignment; dropped samples are steps that are longer. */
  readonly times_s: Float64Array;
  /** Angular velocity, rad/s. Integration: the orientation at t_k uses the gyro of [t_(k−1), t_k], midpoint. */
  readonly gyro: Float64Array | null;
  /** Specific force, m/s²: at rest it points up with 9.81. */
  readonly acc: Float64Array | null;
  /** In any unit; only its direction counts. */
  readonly mag: Float64Array | null;
  /** R_world_sensor of the file (world Y up), frame-major 9 × n, row-major; absent where there is none or it does not fit the gyro, with the reason. */
  readonly orientation: Avail<Float64Array>;
  /** Rising edge of a trigger signal, seconds on this clock; null where there is none. */
  readonly trigger_s: number | null;
  /** Per sample: CLIPPED_GYRO, CLIPPED_ACC or both; 0 otherwise. */
  readonly clipped: Uint8Array;
}

/** How tables of sensors are to be read; null: detected where the data settle it, otherwise the trial is refused with the question. */
export interface SensorPlan {
  /** Column names; `{sensor}` in a name stands for the sensor's name where sensors lie beside one another. */
  readonly columns: {
    readonly time: string | null;
    readonly sensor: string | null;
    readonly gyro: readonly [string, string, string] | null;
    readonly acc: readonly [string, string, string] | null;
    readonly mag: readonly [string, string, string] | null;
    /** In the order w, x, y, z. */
    readonly quaternion: readonly [string, string, string, string] | null;
    readonly trigger: string | null;
  };
  readonly timeUnit: 's' | 'ms' | 'us' | null;
  readonly gyroUnit: 'rad/s' | 'deg/s' | null;
  readonly accUnit: 'm/s2' | 'g' | 'mg' | null;
  readonly quaternionDirection: 'sensor-to-world' | 'world-to-sensor' | null;
  /** False: quaternions of the file are not used even where they fit the gyro. */
  readonly useQuaternions: boolean;
  /** Place on the body → name of the sensor in the file. */
  readonly places: Readonly<Partial<Record<FileSensorPlace, string>>>;
  /** Sensor axis that points forward in the still pose, where no movement shows the flexion axis. */
  readonly facing: Readonly<Partial<Record<FileSensorPlace, SignedAxis>>>;
  /** Range limits of the sensors, rad/s and m/s²; null: flat tops at a repeated extreme are sought instead. */
  readonly range: { readonly gyro_radPerS: number | null; readonly acc_mPerS2: number | null };
  readonly align: SensorAlignment;
  /** 'address': each sensor's heading is zero at address. 'file': headings of the file's orientations hold (a suit that has fused them). */
  readonly heading: 'address' | 'file';
  /** For recordings that are not strapped down from a still address. */
  readonly filter: OrientationFilter;
  /** Steel club and floor make it unsafe: off by default. */
  readonly magnetometer: boolean;
}

export type OrientationFilter = 'inclination' | 'mahony' | 'madgwick';

/** How clocks of the sensors are brought together. */
export type SensorAlignment =
  /** The time stamps hold. */
  | { readonly kind: 'stamps' }
  /** A knock felt by all sensors, sought between the two times, which count from each sensor's own first sample. */
  | { readonly kind: 'knock'; readonly from_s: number; readonly to_s: number }
  /** Rising edge of the trigger column. */
  | { readonly kind: 'trigger' };

export const DEFAULT_SENSOR_PLAN: SensorPlan = {
  columns: { time: null, sensor: null, gyro: null, acc: null, mag: null, quaternion: null, trigger: null },
  timeUnit: null,
  gyroUnit: null,
  accUnit: null,
  quaternionDirection: null,
  useQuaternions: true,
  places: {},
  facing: {},
  range: { gyro_radPerS: null, acc_mPerS2: null },
  align: { kind: 'stamps' },
  heading: 'address',
  filter: 'inclination',
  magnetometer: false,
};

/** How an orientation was made. */
export type OrientationMethod = 'strap-down' | 'file' | OrientationFilter;

/** One sensor's orientation on the common clock of its trial. */
export interface OrientedSensor {
  readonly track: SensorTrack;
  readonly method: OrientationMethod;
  /** R_world_sensor: world Y up; heading arbitrary for each sensor unless the method is 'file'. `noise` is the drift at impact, rad. */
  readonly R: Track<9>;
  /** Angular velocity with the bias taken off, sensor axes, rad/s, planar 3 × frames on the common clock; NaN where missing. */
  readonly w_radPerS: Float64Array;
  /** Bias that was taken off, rad/s, and its standard deviation per axis; null where the method removes none. */
  readonly bias_radPerS: Vec3 | null;
  readonly biasSd_radPerS: number | null;
  /** Bound of the drift (95 %) from the still stretch to the finish (2 s after impact, or the end of the recording), radians; NaN for 'file': not known. */
  readonly driftBound_rad: number;
  /** Angle between gravity at the finish, where the sensor is still there again, and where the orientation puts it; null where it is not. */
  readonly closingTilt_rad: number | null;
}

export interface OrientedSensors {
  readonly clock: Clock;
  /** Seconds of frame 0 of the common clock on the (aligned) clocks of the sensors. */
  readonly start_s: number;
  readonly sensors: ReadonlyMap<SensorPlace, Avail<OrientedSensor>>;
  /** The still address from which all were strapped down, seconds on the common clock; null where there is none. */
  readonly still_s: readonly [number, number] | null;
}

/** How a sensor sits on its segment. */
export interface SensorMounting {
  /** R_sensor_segment, row-major. */
  readonly R_sensor_segment: readonly number[];
  /** 'pose-and-movement': gravity in the still pose and the axis of a movement; 'pose-and-facing': gravity, and the sensor's axis said to face forward; 'pose': gravity alone (long axis only); 'hanging': a club hung still; 'declared': by the day file. */
  readonly method: 'pose-and-movement' | 'pose-and-facing' | 'pose' | 'hanging' | 'declared';
  /** Trials it was made of. */
  readonly trials: readonly string[];
  /** False: only the long axis (Y up the segment, or −Y along the shaft to the head) is known; turns of this segment are then absent. */
  readonly hasFlexionAxis: boolean;
  /** Root mean square angle of the movement's rotation axis about its mean, rad; null without a movement. */
  readonly axisSpread_rad: number | null;
  /** Standard deviation of the angular velocity in the still pose, rad/s. */
  readonly stillness_radPerS: number;
  /** Length of the mean specific force in the still pose, m/s². */
  readonly gravity_mPerS2: number;
  /** Mean angular velocity in the still pose, rad/s: the bias, where the address is too short for one of its own. */
  readonly bias_radPerS: Vec3;
}

/** One calibration of one player: made from a still pose and movements, never per trial. */
export interface SensorCalibration {
  readonly player: string;
  /** Trial id of the still pose. Part of the datum: results of other calibrations are never compared. */
  readonly still: string;
  /** Of the body's sensors. */
  readonly mountings: ReadonlyMap<SensorPlace, Avail<SensorMounting>>;
  /** Of the club's sensor, by club id. */
  readonly clubs: ReadonlyMap<string, Avail<SensorMounting>>;
  /** Marker static trial whose forward and side bend of pelvis and thorax were taken over for the still pose, or null: zero at the pose. */
  readonly anatomicalFrom: string | null;
}

/** Forward bend (+ over the ball) and side bend (+ to the trail side) of a segment in a standing pose, radians (definitions 2). */
export interface StandingPose {
  readonly trial: string;
  readonly segments: Readonly<
    Partial<Record<'pelvis' | 'thorax' | 'head', { readonly forwardBend_rad: number; readonly sideBend_rad: number }>>
  >;
}
