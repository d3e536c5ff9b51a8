import type { Avail } from './availability.ts';
import type { Moments } from './positions.ts';

/** A figure with its standard deviation from the fit's covariance; the ± shown is 1.96 times it. SI, radians. */
export interface Figured {
  readonly value: number;
  readonly sd: number;
  readonly flags: readonly string[];
}

/** Kinds of evidence for impact, in the order of definitions 6; 'shock': an accelerometer of club or hand. */
export type ImpactEvidence =
  | 'event'
  | 'trigger'
  | 'sound'
  | 'ball-leaving'
  | 'velocity-step'
  | 'head-passing'
  | 'shock';

/** The last frame before contact and the first after it: no filter window or fit crosses the pair. */
export interface ImpactFrames {
  readonly before: number;
  readonly after: number;
  readonly evidence: ImpactEvidence;
}

export interface FoundPositions {
  readonly moments: Moments;
  readonly impact: Avail<ImpactFrames>;
}

/** Club figures at impact (definitions 5). */
export interface ClubFigures {
  readonly 'head-speed': Avail<Figured>;
  readonly attack: Avail<Figured>;
  readonly path: Avail<Figured>;
}
