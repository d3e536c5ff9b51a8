import type { Missing } from '../../model/availability.ts';
import type { CutoffMethod } from '../../model/dayPlan.ts';
import type { Fault } from '../../model/faults.ts';
import type { Gate } from '../../model/gates.ts';
import type { Unmeasured } from '../../model/markerRuns.ts';
import type { Datum, SensorNote } from '../../model/motion.ts';
import type { Outlying } from '../../model/outlying.ts';
import type { PositionId } from '../../model/positions.ts';
import type { AngleOrder } from '../../model/quantity.ts';
import type { TrialFacts } from '../../model/trial.ts';
import type { Unit } from '../../model/units.ts';

/** A position that the number rests on. Times in seconds from the first stored frame, frames from 0. */
export interface MomentUsed {
  readonly position: PositionId;
  readonly found: boolean;
  readonly time_s: number | null;
  /** Half-width of the 95 % interval. */
  readonly plusMinus_s: number | null;
  readonly frame: number | null;
  readonly method: string | null;
  readonly confidence: number | null;
  readonly window_s: readonly [number, number] | null;
  /** Frames that are read there, both included: averaged over the window, or those that the interpolation rests on. */
  readonly frames: readonly [number, number] | null;
  readonly flags: readonly string[];
  readonly why: Missing | null;
}

export interface PartUsed {
  readonly name: string;
  /** The rule or the sensor. */
  readonly from: string;
  readonly markers: readonly string[];
}

export interface MarkerUsed {
  readonly marker: string;
  /** Standard deviation of its noise, mm an axis; null where unknown. */
  readonly noise_mm: number | null;
  /** Zero-lag cutoff, Hz; null: as measured, or not known. */
  readonly cutoff_Hz: number | null;
  readonly chosenBy: CutoffMethod | null;
  /** In the whole recording. */
  readonly filled: number;
  readonly missing: number;
  /** Stretches without a measurement among the frames that are read. */
  readonly here: readonly { readonly frames: readonly [number, number]; readonly what: Unmeasured }[];
}

/** How one number was made. Values in display units; null where there is none. Keys are always present. */
export interface Explanation {
  readonly program: string;
  readonly day: string;
  readonly trial: string;
  readonly file: string;
  readonly sha256: string;
  readonly player: string;
  readonly club: string | null;
  readonly set: string;
  readonly source: 'markers' | 'sensors';
  readonly quantity: string;
  readonly label: string;
  readonly term: string;
  readonly plus: string;
  readonly minus: string;
  readonly position: PositionId | 'swing';
  readonly value: number | null;
  readonly unit: Unit;
  readonly decimals: number;
  readonly why: Missing | null;
  /** Half-widths of 95 % intervals: of the measuring noise (new in every swing), for landmarks and skin (alike in all swings of a session), and both by the sum of squares. */
  readonly plusMinus: {
    readonly both: number | null;
    readonly noise: number | null;
    readonly placement: number | null;
  };
  /** What is computed, with its source. */
  readonly formula: string;
  readonly order: AngleOrder | null;
  readonly rule: string | null;
  readonly flags: readonly string[];
  readonly moments: readonly MomentUsed[];
  readonly parts: readonly PartUsed[];
  readonly markers: readonly MarkerUsed[];
  readonly sensors: readonly SensorNote[];
  readonly faults: readonly Fault[];
  /** All segment groups, in words; '' where it is not known. */
  readonly smoothing: string;
  readonly datum: Datum;
  readonly substitutions: readonly string[];
  readonly facts: TrialFacts;
  readonly gate: Gate | null;
  readonly outlying: Outlying | null;
}
