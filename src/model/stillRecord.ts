/** A player's static trial of markers as it is stored: the angles of the still pose, against which two days can be zeroed. */
import type { Datum } from './motion.ts';
import type { AngleOrder } from './quantity.ts';
import type { TrialHead } from './trial.ts';

export const STILL_POSE = 'still-pose';

/** Mean over the frames of the static trial, radians; order, sign and solution as in the catalogue. */
export interface StillAngle {
  readonly quantity: string;
  readonly order: AngleOrder | null;
  /** In (−π, π]. */
  readonly value: number;
  /** Largest less smallest of ten means over equal stretches of the trial. */
  readonly range: number;
  /** `moves`: the range is over 2°; `near-singular`: within 10° of the order's singular position in some frame. Such an angle zeroes nothing. */
  readonly flags: readonly string[];
}

/** `trials/<static trial id>.json`. */
export interface StillRecord {
  readonly kind: typeof STILL_POSE;
  readonly head: TrialHead;
  readonly sha256: string;
  readonly datum: Datum;
  readonly frames: number;
  /** In the order of the catalogue; what lacks its landmarks is absent. */
  readonly angles: readonly StillAngle[];
}

/**
 * Names of the landmark sets of the pelvis and thorax frames of a datum of markers: what angles of the trunk rest on. Joint centres, which leg swings may
 * move after the static trial, are no part of it.
 */
export function trunkFrames({ id }: Datum): string {
  return id.split('; ').slice(0, 2).join('; ');
}
