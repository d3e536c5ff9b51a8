import type { Avail } from './availability.ts';
import type { Clock } from './clock.ts';
import type { CutoffCurves } from './cutoffCurves.ts';
import type { Cutoffs } from './dayPlan.ts';
import type { Fault } from './faults.ts';
import type { LandmarkId } from './landmarks.ts';
import type { OrientationMethod, SensorPlace } from './sensors.ts';
import type { Track } from './track.ts';
import type { ForceTrial, MarkerQuality, TrialEvent, TrialHead } from './trial.ts';

/** Equal ids, or no comparison. 'anatomical': axes from landmarks; 'calibration': zeroed at a pose. */
export interface Datum {
  readonly kind: 'anatomical' | 'calibration';
  readonly id: string;
}

export const TRUNK_SEGMENTS = ['pelvis', 'thorax', 'head'] as const;
export type TrunkSegmentId = (typeof TRUNK_SEGMENTS)[number];

export const LIMB_SEGMENTS = [
  'lead_upper_arm',
  'trail_upper_arm',
  'lead_forearm',
  'trail_forearm',
  'lead_hand',
  'trail_hand',
  'lead_thigh',
  'trail_thigh',
  'lead_shank',
  'trail_shank',
  'lead_foot',
  'trail_foot',
] as const;
export type LimbSegmentId = (typeof LIMB_SEGMENTS)[number];

export const SEGMENTS = [...TRUNK_SEGMENTS, ...LIMB_SEGMENTS] as const;
export type SegmentId = (typeof SEGMENTS)[number];

export function isLimb(segment: SegmentId): segment is LimbSegmentId {
  return (LIMB_SEGMENTS as readonly SegmentId[]).includes(segment);
}

export type DirectionId =
  | 'shaft'
  | 'lead_arm'
  | 'trail_arm'
  | 'pelvis_line'
  | 'shoulder_line'
  | 'trunk_axis'
  | 'head_line'
  | 'eyes_line'
  | 'ankle_line'
  | 'toe_line'
  | 'lead_foot_line'
  | 'trail_foot_line';

/** What is known of one sensor of a trial: quality table and report. */
export interface SensorNote {
  readonly place: SensorPlace;
  readonly name: string;
  readonly method: OrientationMethod | null;
  readonly bias_radPerS: number | null;
  readonly driftBound_rad: number | null;
  readonly closingTilt_rad: number | null;
  readonly flags: readonly string[];
  /** Why it gives nothing, or ''. */
  readonly reason: string;
}

export const POINTS = [
  'pelvis_centre',
  'thorax_centre',
  'head_centre',
  'mid_asis',
  'head_point', // the club head's one material point, unfiltered
  'club_grip',
  'ball',
  'lead_shoulder',
  'trail_shoulder',
  'lead_elbow',
  'trail_elbow',
  'lead_wrist',
  'trail_wrist',
  'lead_hip',
  'trail_hip',
  'lead_knee',
  'trail_knee',
  'lead_ankle',
  'trail_ankle',
  'lead_toe',
  'trail_toe',
  'body_centre', // centre of mass of the whole body
  'lead_heel',
  'trail_heel',
] as const;
export type PointId = (typeof POINTS)[number];

/** Which material point of the club head `head_point` is; figures of points of different kinds are never compared. */
export interface HeadPoint {
  /** 'face-centre' is defined alike for all clubs; 'marker' is of one club only. */
  readonly kind: 'face-centre' | 'marker';
  /** Comparable only where equal: 'face-centre', or 'marker:<club>:<landmark>'. */
  readonly id: string;
}

/** A shock of the club or a hand, from an accelerometer: impact lies between two samples. Seconds on the motion's clock. */
export interface Shock {
  readonly place: 'club' | 'lead_hand' | 'trail_hand' | 'lead_forearm' | 'trail_forearm';
  /** Last sample without and first with it. */
  readonly before_s: number;
  readonly after_s: number;
}

/**
 * A recording as motion in the player frame G (right-handed, metres, Y up, X toward the ball, Z to the player's right;
 * a left-hander reflected). Poses are R_player_segment; directions are unit vectors in G; the shaft points from grip to head,
 * arms from shoulder centre to wrist centre.
 * Body tracks are smoothed; shaft, club_grip, head_point and ball are as measured.
 */
export interface Motion {
  readonly head: TrialHead;
  readonly clock: Clock;
  readonly datum: Datum;
  readonly form: 'full' | 'reduced';
  readonly poses: ReadonlyMap<SegmentId, Avail<Track<9>>>;
  /**
   * pelvis_line: lead hip to trail hip; shoulder_line: lead shoulder to trail shoulder (both + Z when square); trunk_axis: pelvis centre to mid-shoulder;
   * head_line (ear points), eyes_line (orbits), ankle_line, toe_line: lead to trail; lead_foot_line, trail_foot_line: heel to toe.
   */
  readonly directions: ReadonlyMap<DirectionId, Avail<Track<3>>>;
  readonly points: ReadonlyMap<PointId, Avail<Track<3>>>;
  /** Markers: the landmarks in G that poses, points and directions are made of. */
  readonly landmarks?: ReadonlyMap<LandmarkId, Track<3>>;
  readonly headPoint: Avail<HeadPoint>;
  /** R_player_club of the three markers on the club head, unfiltered (x from the first toward the second, z = x × (third − first)); sensors: none. */
  readonly clubBody?: Avail<Track<9>>;
  /** False where no static trial zeroes the technical head frame: head angles are then given as changes since P1. */
  readonly headZeroed?: boolean;
  /** Sensors: each heading is zero at address, so that turns are against the address and not the target line. Absent: the target line. */
  readonly headingZero?: 'target' | 'P1';
  /** Sensors: true where the headings of all segments are one system's and hold against one another; otherwise each is zero at P1 by itself. */
  readonly headingsTied?: boolean;
  /** Sensors: angular velocity about the segment's own long axis as the gyro measures it, rad/s, one number a frame, NaN where missing. */
  readonly rates?: ReadonlyMap<SegmentId, Float64Array>;
  /**
   * Sensors: angular velocity in the segment's own axes, rad/s, as the gyro measures it (without one from its orientations); trunk and limbs.
   * It needs no heading: limbs have it whose pose is absent for want of one.
   */
  readonly turning?: ReadonlyMap<SegmentId, Avail<Track<3>>>;
  /** Sensors: shocks that may be impact, strongest first. */
  readonly shocks?: readonly Shock[];
  /**
   * Sensors: speed of the club head (without a club sensor: of the lead hand), m/s, from angular velocities and nominal lengths. It decides on stillness at
   * P1 and P10 where there are no points; it is never reported.
   */
  readonly nominalSpeed?: Avail<Track<1>>;
  readonly events: readonly TrialEvent[];
  readonly quality: readonly MarkerQuality[];
  /** Markers: faults of the recording, found and named. Absent: none. */
  readonly faults?: readonly Fault[];
  /** Standing height, metres: from the day file or the static trial; null where unknown. */
  readonly height_m: number | null;
  /** Body mass from the day file; null or absent where unknown. */
  readonly mass_kg?: number | null;
  /** How `body_centre` was made: centres by unlike rules are not compared. Absent where there is none. */
  readonly massRule?: string;
  /** What the force platforms of the recording measured, in G; absent without platforms. */
  readonly forces?: ForceTrial;
  /** Markers: what the body's tracks were smoothed with. */
  readonly cutoffs?: Cutoffs;
  /** Where they were asked for. */
  readonly cutoffCurves?: readonly CutoffCurves[];
  /** Sensors: what the report says of each sensor. */
  readonly sensors?: readonly SensorNote[];
}
