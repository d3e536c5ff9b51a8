/** The day file after validation: everything resolved, nothing left to look up. */

import { type BodyFaultLimits, DEFAULT_BODY_FAULT_LIMITS } from './bodyFaultLimits.ts';
import type { CheckpointSet } from './checkpoint.ts';
import type { CoachWords } from './coachWords.ts';
import type { GateSettings } from './gates.ts';
import type { Placement } from './placement.ts';
import type { Reapplication } from './reapplication.ts';
import type { ReportSettings } from './reportSettings.ts';
import type { Movement, SensorPlan } from './sensors.ts';
import type { GroupComparison } from './swingSelector.ts';

export type Hand = 'left' | 'right';
export type Sex = 'female' | 'male';
export type SignedAxis = '+X' | '-X' | '+Y' | '-Y' | '+Z' | '-Z';
export type ClubKind = 'driver' | 'wood' | 'hybrid' | 'iron' | 'wedge' | 'putter';
export type Role = 'swing' | 'static' | 'functional' | 'calibration';
export type InsistedFact = 'up' | 'units' | 'target' | 'hand' | 'rate';

/** Published regressions of the hip centre that a day file can choose. */
export const HIP_METHODS = ['harrington', 'hara', 'bell', 'davis', 'leardini', 'dumas-wojtusch'] as const;
export type HipMethod = (typeof HIP_METHODS)[number];
/** Published rules for the shoulder centre that a day file can choose. */
export const SHOULDER_METHODS = ['dumas-wojtusch', 'rab'] as const;
export type ShoulderMethod = (typeof SHOULDER_METHODS)[number];

/** A player as the day file has it; null: not said there. Metres, kilograms. */
export interface PlayerPlan extends CoachWords {
  readonly id: string;
  readonly hand: Hand | null;
  readonly sex: Sex | null;
  readonly mass_kg: number | null;
  readonly height_m: number | null;
  /** Trial id of the player's static trial, or null. */
  readonly static: string | null;
  /** Trial id of the still pose of the player's sensors, or null. */
  readonly still: string | null;
  /** Absent: the best regression for what there is. */
  readonly hipCentre?: HipMethod;
  /** Absent: Dumas and Wojtusch 2018. */
  readonly shoulderCentre?: ShoulderMethod;
}

/** A club as the day file has it; null: not said there. Metres and radians. */
export interface ClubPlan {
  readonly id: string;
  readonly kind: ClubKind;
  readonly length_m: number | null;
  readonly loft_deg: number | null;
  readonly lie_deg: number | null;
  /** File labels by club landmark (CLUB_GRIP, CLUB_SHAFT, CLUB_HEAD_1 …), where they differ from the names that are recognised. */
  readonly markers: Readonly<Record<string, string>>;
  /** Club landmark that serves as head point where no face centre is given. */
  readonly headPoint: string | null;
  /**
   * Face centre in the frame of the club's three head markers, mm: origin CLUB_HEAD_1, x toward CLUB_HEAD_2,
   * z = x × (CLUB_HEAD_3 − CLUB_HEAD_1) normalised, y = z × x.
   */
  readonly faceCentre_mm: readonly [number, number, number] | null;
  readonly faceNormal: readonly [number, number, number] | null;
  /** How far the centres of the markers of a face-calibration trial stand before the face, mm; absent: 0. */
  readonly faceMarkerHeight_mm?: number;
  /** Distances of the head markers 1–2, 1–3, 2–3 in the face-calibration trial that gave centre or normal, metres. */
  readonly headSides_m?: readonly [number, number, number];
  /** Why the face-calibration trial of the club gave nothing. */
  readonly faceLost?: string;
  /** Axis of the club's sensor that points from grip to head; null: from a trial in which the club hangs still. */
  readonly sensorShaft: SignedAxis | null;
}

/** Segment groups that share a cutoff. Club and ball are never filtered. */
export const FILTER_GROUPS = ['trunk_Hz', 'head_Hz', 'legs_Hz', 'upperArm_Hz', 'forearm_Hz'] as const;
export type FilterGroup = (typeof FILTER_GROUPS)[number];

/** Rules by which a trial's own samples choose a cutoff (docs/decisions/0011). */
export const CUTOFF_METHODS = ['residual', 'autocorrelation', 'cross-validation'] as const;
export type CutoffMethod = (typeof CUTOFF_METHODS)[number];

/** By segment group: a zero-lag cutoff in Hz, the rule that chooses one, or null where the group is not filtered. */
export type FilterOptions = Readonly<Record<FilterGroup, number | CutoffMethod | null>>;

/** What a trial was smoothed with: cutoffs in Hz (gain 1/√2), null where a group is not filtered. */
export interface Cutoffs extends Readonly<Record<FilterGroup, number | null>> {
  /** Which rule chose a group's cutoff; a group that is not named has the one set. `cross-validation` also smooths by its spline. */
  readonly chosen?: Readonly<Partial<Record<FilterGroup, CutoffMethod>>>;
}

/** How long gaps may be to be filled. */
export interface GapOptions {
  /** Longest gap that a spline fills, seconds; half of it in the downswing and of the club. */
  readonly longest_s: number;
  /** Longest gap of a marker that the rest of its segment fills, seconds; null: any. Landmarks that are never seen are rebuilt in any case. */
  readonly rigid_s: number | null;
  /** Longest gap that principal components of the neighbouring markers fill, seconds; 0: none. */
  readonly components_s: number;
}

/** How faults of a recording are looked for and whether they are repaired. */
export interface FaultOptions {
  /** False: faults of a recording are found and named, and nothing is changed. */
  readonly repair: boolean;
  /** Of the faults of segments, time base and club. */
  readonly limits: BodyFaultLimits;
}

/** Settings of the comparisons of a day. */
export interface CompareOptions {
  /** Margins by quantity id, display units; anything not named keeps its catalogue default. */
  readonly margins: Readonly<Record<string, number>>;
  /** Primary family as `quantity@position`. */
  readonly primary: readonly string[];
  readonly seed: number;
  readonly resamples: number;
  /** Attack angles drawn as a band behind a driver's, [low, high], degrees; null: none. No verdict rests on it. */
  readonly attackBand_deg: readonly [number, number] | null;
  /** Absent: the default set. */
  readonly checkpoints?: CheckpointSet;
  /** Of several days; absent: the defaults. */
  readonly reapplication?: Reapplication;
}

/** One trial of a day: its files, whose it is, what it is for, and every setting that holds for it. */
export interface TrialPlan {
  readonly id: string;
  /** Path below the data folder, `/` separators. */
  readonly file: string;
  /** All files of the trial, `file` included: the tables of a folder, a Motion-BIDS recording with its side-cars. */
  readonly files: readonly string[];
  /** Null: what the file shows. */
  readonly source: 'markers' | 'sensors' | null;
  readonly player: string;
  readonly club: string | null;
  readonly set: string;
  readonly role: Role;
  readonly use: boolean;
  /** Decided by hand, whatever the gates say; absent: the rules decide. */
  readonly gate?: 'accept' | 'reject';
  /** Why the trial is left out, or decided by hand. */
  readonly note: string;
  readonly order: number;
  readonly up: SignedAxis | null;
  readonly target: SignedAxis | null;
  readonly units: 'mm' | 'cm' | 'm' | null;
  readonly rate_Hz: number | null;
  readonly hand: Hand | null;
  readonly insist: readonly InsistedFact[];
  readonly trustCoordinates: boolean;
  /** File marker to landmark: landmark name (FileLandmark) → label, description or 1-based index written `#7`. */
  readonly markers: Readonly<Record<string, string>>;
  /** Event label in the file → position. */
  readonly events: Readonly<Record<string, string>>;
  readonly filter: FilterOptions;
  readonly gaps: GapOptions;
  /** Absent: the default allowances. */
  readonly placement?: Placement;
  readonly faults: FaultOptions;
  /** How tables of sensors are read. */
  readonly sensors: SensorPlan;
  /** Of a functional trial. */
  readonly movement: Movement | null;
  /** Trial id of the sensors' still pose that counts for this trial: its own setting, else the player's; null where there is none. */
  readonly still: string | null;
}

/** A day file, checked and with every default filled in: what is processed, and how. */
export interface DayPlan {
  readonly day: string;
  /** ISO date, or null. */
  readonly date: string | null;
  readonly players: readonly PlayerPlan[];
  readonly clubs: readonly ClubPlan[];
  readonly trials: readonly TrialPlan[];
  readonly compare: CompareOptions;
  /** Limits of the gates that differ from the table; absent: none does. */
  readonly gates?: GateSettings;
  /** How the report is written; absent: as by default. */
  readonly report?: ReportSettings;
  /** Named comparisons of the day; absent: driver against irons alone. */
  readonly groups?: readonly GroupComparison[];
}

/** Definitions 9: trunk, head, legs 12 Hz (6 Hz would bias thorax turn at impact by 1°); upper arm 15; forearm and hand 20; club none. */
export const DEFAULT_FILTER: Cutoffs = {
  trunk_Hz: 12,
  head_Hz: 12,
  legs_Hz: 12,
  upperArm_Hz: 15,
  forearm_Hz: 20,
};

export const NO_FILTER: Cutoffs = {
  trunk_Hz: null,
  head_Hz: null,
  legs_Hz: null,
  upperArm_Hz: null,
  forearm_Hz: null,
};

/**
 * Components are off: on synthetic swings they miss by 2 to 4 mm, but these move together more simply than a body under skin does.
 */
export const DEFAULT_GAPS: GapOptions = { longest_s: 0.1, rigid_s: null, components_s: 0 };

export const DEFAULT_FAULTS: FaultOptions = { repair: true, limits: DEFAULT_BODY_FAULT_LIMITS };

/** Definitions 8: forward bend of pelvis and thorax and side bend of thorax at P1, P4, P5.5 and P7. */
export const PRIMARY_QUANTITIES = ['pelvis.forward_bend', 'thorax.forward_bend', 'thorax.side_bend'] as const;
export const PRIMARY_POSITIONS = ['P1', 'P4', 'P5.5', 'P7'] as const;

/** The attack angle with a driver from a tee: common practice, no source. */
export const COMMON_ATTACK_BAND_DEG = [-2, 3] as const;

export const DEFAULT_COMPARE: CompareOptions = {
  margins: {},
  primary: PRIMARY_QUANTITIES.flatMap((quantity) => PRIMARY_POSITIONS.map((position) => `${quantity}@${position}`)),
  seed: 1,
  resamples: 2000,
  attackBand_deg: COMMON_ATTACK_BAND_DEG,
};
