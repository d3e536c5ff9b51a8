import type { Avail } from './availability.ts';
import type { PlayerCalibration } from './calibration.ts';
import type { ClubPlan, FaultOptions, FilterOptions, GapOptions, PlayerPlan } from './dayPlan.ts';
import type { JointId } from './joints.ts';
import type { SegmentId } from './motion.ts';
import type { Placement } from './placement.ts';
import type { AngleOrder } from './quantity.ts';
import type { SensorCalibration, SensorPlan } from './sensors.ts';

/** Rotations whose raw angles can be asked for: a segment against the player frame, or a joint, distal against proximal segment. */
export type OrderedRotation = SegmentId | JointId;

/** One extra set of raw intrinsic angles, reported as `<segment>.first`, `.second`, `.third`. */
export interface OrderRequest {
  readonly segment: OrderedRotation;
  readonly order: AngleOrder;
}

/** What a trial of sensors needs beside its signals. */
export interface SensorAnalysis {
  readonly plan: SensorPlan;
  readonly calibration: Avail<SensorCalibration>;
}

/** What the analysis of one trial needs beside the trial: every choice made, nothing left to a default inside. */
export interface AnalysisPlan {
  readonly player: PlayerPlan;
  readonly club: ClubPlan | null;
  /** The player's calibration; null: made from the trial itself, which every result says. */
  readonly calibration: PlayerCalibration | null;
  readonly filter: FilterOptions;
  readonly gaps: GapOptions;
  readonly faults: FaultOptions;
  readonly orders: readonly OrderRequest[];
  /** Rotations that are kept at the positions beside those of every record. Absent: none. */
  readonly rotations?: readonly OrderedRotation[];
  /** True: the curves of the filter choice are sampled and kept. */
  readonly residuals?: boolean;
  /** True: the swing at every frame is given beside its record. */
  readonly series?: boolean;
  /** Allowances for landmarks and skin that the day file sets; absent: the defaults. */
  readonly placement?: Placement;
  /** For a trial of sensors; null for markers. */
  readonly sensors: SensorAnalysis | null;
  /** Of the file's bytes, lower-case hexadecimal. */
  readonly sha256: string;
}
