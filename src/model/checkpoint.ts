/** Checkpoints: rules that a coach reads a swing by, as data; what became of them is a `CheckpointResult`. */
import type { ClubKind } from './dayPlan.ts';
import type { PositionId } from './positions.ts';
import type { CURVE_POSITIONS } from './swingRecord.ts';
import type { Unit } from './units.ts';

export type CurvePosition = (typeof CURVE_POSITIONS)[number];

/** What a rule looks at in one swing. */
export type CheckpointReading =
  | { readonly kind: 'value'; readonly position: PositionId | 'swing' }
  /** Value at `to` less value at `from`; `withoutTurn`: of a bend, less what turning alone would give as well. */
  | { readonly kind: 'change'; readonly from: PositionId; readonly to: PositionId; readonly withoutTurn: boolean }
  /** Where between `from` and `to` the quantity is largest (falls) or smallest (rises): from there on it falls or rises. */
  | {
      readonly kind: 'begins';
      readonly way: 'falls' | 'rises';
      readonly from: CurvePosition;
      readonly to: CurvePosition;
    };

/** Display units of the quantity; of a beginning the number of the position, 5.5 for P5.5. Null: no limit on that side. */
export interface CheckpointBand {
  readonly kind: 'band';
  readonly low: number | null;
  readonly high: number | null;
  readonly severeLow: number | null;
  readonly severeHigh: number | null;
}

export interface Checkpoint {
  readonly name: string;
  readonly quantity: string;
  readonly reading: CheckpointReading;
  /** 'reference': met unless the comparison's verdict is *departs*. */
  readonly rule: CheckpointBand | { readonly kind: 'reference' };
  /** Kinds of club that the rule is about; null: all. */
  readonly clubs: readonly ClubKind[] | null;
  readonly note: string;
  /** Where the rule is from, in words; '' where that is not said. */
  readonly source: string;
}

export interface CheckpointSet {
  /** The file named in the day file; null: the default set. */
  readonly file: string | null;
  readonly checkpoints: readonly Checkpoint[];
}

export type CheckpointState = 'met' | 'not-met' | 'not-measured';

/** The turn that a bend is read with (definitions 2), degrees; null where it is not measured. */
export interface TurnBeside {
  readonly quantity: string;
  /** Mean turn of the group at the position, and of a change where it begins. */
  readonly at: number | null;
  readonly from: number | null;
  readonly referenceAt: number | null;
  /** Of a change: what turning alone would give, the segment's long axis fixed in the room. */
  readonly alone: number | null;
}

/** One rule on one player's swings. Numbers in display units of `unit`; null where not available. */
export interface CheckpointResult {
  readonly checkpoint: Checkpoint;
  readonly state: CheckpointState;
  /** Beyond the severe limits. */
  readonly severe: boolean;
  readonly unit: Unit | 'position';
  /** The positions that were read: P4(arm) may stand in for P4. */
  readonly from: PositionId | null;
  readonly position: PositionId | 'swing';
  /** Mean over the group's swings; its standard deviation and the 95 % interval of the mean. */
  readonly value: number | null;
  readonly sd: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
  readonly n: number;
  /** Swings that meet a band by themselves; null of a rule against the reference. */
  readonly swingsMet: number | null;
  readonly valueReference: number | null;
  readonly nReference: number;
  /** The 95 % interval of the mean reaches across a limit: these swings do not exclude the other state. */
  readonly withinScatter: boolean;
  readonly turn: TurnBeside | null;
  /** What belongs to the reading: few swings, the turn that is missing, what stands in for the top. */
  readonly remarks: readonly string[];
  /** Why it is not measured, or ''. */
  readonly reason: string;
}
