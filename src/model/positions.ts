import type { Missing } from './availability.ts';

/** Positions of the swing (common practice, no source), in the order of time. P4(arm) stands in for P4 without a club or where the shaft is hidden around the top, and is never compared with it. */
export const POSITIONS = ['P1', 'P2', 'P3', 'P4', 'P4(arm)', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9', 'P10'] as const;
/** A position of the swing, P1 to P10 (docs/definitions.md). */
export type PositionId = (typeof POSITIONS)[number];

/** Positions that a coach's note can name; one at P4 also stands where P4(arm) does for it. */
export const NOTE_POSITIONS = ['P1', 'P2', 'P3', 'P4', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9', 'P10'] as const;
export type NotePosition = (typeof NOTE_POSITIONS)[number];

export type MomentMethod =
  | 'stillness' // P1, P10 by the speed rule
  | 'slowest' // P1, P10: the slowest stretch, flagged moving
  | 'shaft-horizontal'
  | 'lead-arm-horizontal'
  | 'trail-arm-horizontal'
  | 'shaft-reversal'
  | 'shaft-pause' // P4: end of a pause at the top
  | 'lead-arm-reversal'
  | 'lead-forearm-horizontal' // sensors: the forearm's own direction, not shoulder to wrist
  | 'trail-forearm-horizontal'
  | 'lead-forearm-reversal'
  | 'shock' // P7 by the accelerometer of club or hand
  | 'shaft-rotation-share' // fractions such as P5.5
  | 'ball-contact' // P7 by the face reaching the still ball
  | 'velocity-step' // P7 by the meeting of the fits before and after
  | 'address-place' // P7 by the head passing its address place
  | 'event' // a stored event's own time
  | 'trigger'
  | 'sound';

/** A moment of the swing. Seconds from the first stored frame. sd_s: standard deviation; the ± shown is 1.96 times it. */
export type Moment =
  | {
      readonly found: true;
      readonly time_s: number;
      readonly sd_s: number;
      readonly method: MomentMethod;
      /** 0 to 1. */
      readonly confidence: number;
      readonly flags: readonly string[];
      /** Stretch over which values are averaged (P1, P10), seconds; null: values at the instant. */
      readonly window_s: readonly [number, number] | null;
      /** Time of a mapped stored event minus this time, seconds; null where there is none. */
      readonly eventOffset_s: number | null;
    }
  | { readonly found: false; readonly why: Missing };

export type Moments = ReadonlyMap<PositionId, Moment>;
