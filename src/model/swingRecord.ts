import type { Diagnostic } from '../base/diagnostics.ts';
import type { OrderedRotation } from './analysisPlan.ts';
import type { Missing } from './availability.ts';
import type { CutoffCurves } from './cutoffCurves.ts';
import type { Cutoffs } from './dayPlan.ts';
import type { Fault } from './faults.ts';
import type { Film } from './film.ts';
import type { Gate } from './gates.ts';
import type { HeadPlace } from './headPlace.ts';
import type { Datum, HeadPoint, SensorNote } from './motion.ts';
import type { Origins } from './origins.ts';
import type { Outlying } from './outlying.ts';
import type { Moment, PositionId } from './positions.ts';
import type { AngleOrder } from './quantity.ts';
import type { StillRecord } from './stillRecord.ts';
import type { MarkerQuality, TrialHead } from './trial.ts';
import type { TrialQuality } from './trialQuality.ts';
import type { Unit } from './units.ts';

/** One quantity at one position of one swing. Value in SI units and radians; null where missing, then `why` says so. */
export interface Cell {
  readonly quantity: string;
  /** A position, or 'swing' for one value per swing. */
  readonly position: PositionId | 'swing';
  readonly value: number | null;
  /** Half-width of the 95 % interval of the measuring noise (independent per swing), SI; null where not computed. */
  readonly plusMinus: number | null;
  /** Half-width of the 95 % interval for landmarks and skin (alike in all swings of a session), SI; null or absent: no allowance. */
  readonly placement?: number | null;
  readonly order: AngleOrder | null;
  readonly unit: Unit;
  readonly flags: readonly string[];
  readonly why: Missing | null;
  /** What the value was made of, where that differs from swing to swing: values by unlike rules are not compared. */
  readonly rule?: string;
}

/** Steps 0–80 from P1 to P9, ten per interval (P1 P2 P3 P4 P5 P6 P7 P8 P9). Values SI, NaN where missing. */
export interface CurveRecord {
  readonly quantity: string;
  readonly unit: Unit;
  readonly order: AngleOrder | null;
  readonly values: Float64Array;
}

/** The time base that the curves of a swing share. */
export interface CurveBase {
  /** 81 times, seconds from the first stored frame; NaN before the first and after the last position found. */
  readonly times_s: Float64Array;
  /** Intervals whose time was shared evenly because a position between is missing or reversed, as 'P2–P3'. */
  readonly shared: readonly string[];
}

export const CURVE_POSITIONS = ['P1', 'P2', 'P3', 'P4', 'P5', 'P6', 'P7', 'P8', 'P9'] as const;
export const CURVE_STEPS = 81;

/** Joint lines for the picture at one position: metres in G, [x, y, z] by point; missing points are absent. */
export interface Figure {
  readonly position: PositionId;
  readonly points: Readonly<Record<string, readonly [number, number, number]>>;
}

/** A rotation at each position found; null where missing. */
export type RotationsAt = Readonly<Partial<Record<PositionId, readonly number[] | null>>>;

/** What is stored of a trial, sent between threads, compared and explained. Owns its memory. */
export interface SwingRecord {
  readonly head: TrialHead;
  readonly sha256: string;
  readonly datum: Datum;
  readonly form: 'full' | 'reduced';
  readonly headPoint: HeadPoint | null;
  readonly frames: number;
  readonly moments: Readonly<Partial<Record<PositionId, Moment>>>;
  readonly cells: readonly Cell[];
  readonly curveBase: CurveBase;
  readonly curves: readonly CurveRecord[];
  readonly figures: readonly Figure[];
  /** The moving figure. Absent: of sensors, and where no point is known. */
  readonly film?: Film;
  /** Rotations R_player_pelvis and R_player_thorax at each position found (row-major 9), for the shares of a thorax change. */
  readonly poses: Readonly<
    Partial<
      Record<PositionId, { readonly pelvis: readonly number[] | null; readonly thorax: readonly number[] | null }>
    >
  >;
  /** Where the orders of further rotations were asked for: row-major, as in `poses`; joints R_proximal_distal. Absent: not asked for. */
  readonly rotations?: Readonly<Partial<Record<OrderedRotation, RotationsAt>>>;
  readonly quality: readonly MarkerQuality[];
  /** Faults of the recording, found and named. Absent: none. */
  readonly faults?: readonly Fault[];
  /** Where the head point sits on the club; absent where the recording does not show it. */
  readonly headPlace?: HeadPlace;
  /** Where a rule chose cutoffs for this trial: what it was smoothed with. Absent: as set for the day or the trial. */
  readonly smoothing?: Cutoffs;
  /** What its segments, points and lines were made of. Absent: stored by an earlier version. */
  readonly origins?: Origins;
  /** What the rules of the filter choice read in each segment group. Absent: not asked for, or sensors. */
  readonly cutoffCurves?: readonly CutoffCurves[];
  /** Of a trial of sensors. */
  readonly sensors?: readonly SensorNote[];
  readonly diagnostics: readonly Diagnostic[];
}

export type TrialStatus = 'used' | 'left-out' | 'rejected' | 'failed';

/** What the tables and pages of a whole day read of a swing beside its outcome. */
export type SwingFacts = Pick<SwingRecord, 'head' | 'datum' | 'form' | 'frames' | 'faults' | 'smoothing'>;

/**
 * What became of a trial: one line each in trials.csv, in the report's foot and on the screen. `R`: how much of the record is held; a day holds
 * less than all of every swing.
 */
export interface TrialOutcome<R = SwingRecord> {
  readonly trial: string;
  readonly file: string;
  /** Every file of the trial with the checksum of its own bytes, '' where it was not reached. Absent: `file` alone. */
  readonly files?: readonly { readonly path: string; readonly sha256: string; readonly bytes?: number }[];
  /** Of the file; of several files of the lines `sha256  path`, sorted by path, each ended by a line feed. */
  readonly sha256: string;
  readonly player: string;
  readonly club: string | null;
  readonly kind: string | null;
  readonly set: string;
  readonly role: string;
  readonly status: TrialStatus;
  /** Why it was left out, rejected or failed; '' when used. */
  readonly reason: string;
  /** True where it failed for a reason of the moment, such as the disk: another run may do better. */
  readonly passing?: boolean;
  /** What the gates say of a swing that was worked out, used or rejected. Absent: of everything else. */
  readonly gate?: Gate;
  /** Where a used swing stands apart from the others of its group. Absent: it does not. */
  readonly outlying?: Outlying;
  /** The record of a used swing; null otherwise. */
  readonly record: R | null;
  /** Of the static trial of markers that the player's swings rest on. */
  readonly still?: StillRecord | null;
  /** What is known of a trial without a record, such as a used static trial. */
  readonly head?: TrialHead | null;
  readonly frames?: number | null;
  /** Of a trial of markers that was analysed but is not used. */
  readonly quality?: TrialQuality | null;
  /** Faults for which the trial was refused, and those of a trial without a record. Absent: none. */
  readonly faults?: readonly Fault[];
  readonly diagnostics: readonly Diagnostic[];
}

/** The outcome of a trial as a whole day holds it: without the bulk of the record. */
export type DayOutcome = TrialOutcome<SwingFacts>;
