import type { Diagnostic } from '../base/diagnostics.ts';
import type { Missing } from './availability.ts';
import type { Clock } from './clock.ts';
import type { ClubKind, Hand, Role, SignedAxis } from './dayPlan.ts';
import type { Fault } from './faults.ts';
import type { LandmarkId } from './landmarks.ts';
import type { MarkerRun } from './markerRuns.ts';
import type { SensorPlace, SensorTrack } from './sensors.ts';
import type { Track } from './track.ts';

/** How a fact about a recording became known. */
export type FactSource = 'set' | 'detected' | 'file' | 'assumed' | 'insisted';

/** A fact with its evidence in words: printed, stored and never silently assumed. */
export interface Fact<T> {
  readonly value: T;
  readonly source: FactSource;
  readonly evidence: string;
}

export type LengthUnit = 'mm' | 'cm' | 'm';

export interface TrialFacts {
  readonly units: Fact<LengthUnit>;
  readonly rate_Hz: Fact<number>;
  readonly up: Fact<SignedAxis>;
  /** Target direction in file axes. `assumed` when neither set nor given by an alignment marker: turn and side bend then carry a flag; path is absent. */
  readonly target: Fact<SignedAxis>;
  readonly hand: Fact<Hand>;
  /** True where the file's own frame is left-handed; that reflection swaps no names. */
  readonly mirrored: Fact<boolean>;
}

/** Whose trial it is, what it is for, and what is known of its recording. */
export interface TrialHead {
  /** Absent: markers. */
  readonly source?: 'markers' | 'sensors';
  readonly trial: string;
  readonly file: string;
  readonly player: string;
  readonly club: string | null;
  readonly kind: ClubKind | null;
  readonly set: string;
  readonly role: Role;
  /** Place in the day, from 0: trial order is kept for drift. */
  readonly order: number;
  readonly facts: TrialFacts;
  /** Substitutions among landmarks, such as "T10 for T8": stored with the result and shown. */
  readonly substitutions: readonly string[];
}

/** An event stored in the file, under a name mapped by the day file or a common one. Seconds from the first stored frame. */
export interface TrialEvent {
  readonly label: string;
  /** The position it was mapped to, such as 'P7', or null. */
  readonly position: string | null;
  readonly time_s: number;
}

/** Frames of a marker that were filled, by method: the rest of its segment as a rigid body; a spline; components of its neighbours. */
export interface MarkerFills {
  readonly rigid: number;
  readonly spline: number;
  readonly components: number;
}

export interface MarkerQuality {
  readonly marker: string;
  readonly frames: number;
  readonly missing: number;
  /** Frames filled by any method. */
  readonly filled: number;
  /** Absent of sensors. */
  readonly fills?: MarkerFills;
  /** Every frame that is not measured, by time, when everything that fills has been done. Absent: none, or a sensor. */
  readonly runs?: readonly MarkerRun[];
  readonly longestGap_s: number;
  /** Standard deviation per axis of the marker's white noise, metres; NaN where unknown. */
  readonly noise_m: number;
  readonly flags: readonly string[];
}

/** One force platform. Planar columns, one value a frame of the markers: x of all frames, then y, then z. */
export interface ForcePlate {
  /** Such as 'force platform 1': its place in the file, from 1. */
  readonly name: string;
  /** Corners of the working surface in their order round it, metres. */
  readonly corners_m: readonly (readonly [number, number, number])[];
  /** What acts on the player, newtons: up while the platform is stood on. */
  readonly force_N: Float64Array;
  /** Centre of pressure, metres; NaN while the platform is as good as unloaded, or where its moments cannot be used. */
  readonly pressure_m: Float64Array;
}

/** What the force platforms of a recording measured, in the frame of the trial and mirrored with it. */
export interface ForceTrial {
  readonly plates: readonly ForcePlate[];
}

/** Where a recording of markers lies in its file. */
export interface FileFrame {
  /** Number of the first stored frame, from 1. */
  readonly firstFrame: number;
  /**
   * Axes X, Y, Z of L one after the other, each as a unit vector in the file's axes: x_L = X · place_file. All reflections are in it, so
   * that it leads a left-hander back, too.
   */
  readonly axes: readonly number[];
}

/**
 * One recording in the lab frame L (metres, Y up, X toward the target), a left-hander already reflected,
 * landmarks under lead and trail names.
 */
export interface MarkerTrial {
  readonly source: 'markers';
  readonly head: TrialHead;
  /** How it lies in its file; absent of trials that come from none. */
  readonly fileFrame?: FileFrame;
  readonly clock: Clock;
  readonly points: ReadonlyMap<LandmarkId, Track<3>>;
  /** Absent where the recording has no force platforms that can be used. */
  readonly forces?: ForceTrial;
  readonly events: readonly TrialEvent[];
  /** Faults of the whole recording that were seen when it was taken in; their diagnostics are the intake's. Absent: none. */
  readonly faults?: readonly Fault[];
  readonly diagnostics: readonly Diagnostic[];
}

/** A trial whose points are in the player frame G instead of the lab frame L; the compiler keeps the two apart. */
export interface PlayerTrial extends MarkerTrial {
  readonly frame: 'player';
}

/** One recording of inertial sensors, a left-hander already reflected, places under lead and trail names. Facts about lengths and axes say that there are none. */
export interface SensorTrial {
  readonly source: 'sensors';
  readonly head: TrialHead;
  readonly sensors: ReadonlyMap<SensorPlace, SensorTrack>;
  /** Sensors that give nothing although they are there, with the reason (a clock that cannot be joined to the others). Absent: none. */
  readonly unusable?: ReadonlyMap<SensorPlace, Missing>;
  /** Seconds on the clocks of the sensors before alignment. */
  readonly events: readonly TrialEvent[];
  readonly diagnostics: readonly Diagnostic[];
}

/** A recording taken in: markers, or sensors. */
export type Trial = MarkerTrial | SensorTrial;
