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

/** Figures of the club at impact (definitions 5). */
export const CLUB_FIGURES = [
  'head-speed',
  'attack',
  'path',
  'face',
  'face-to-path',
  'loft',
  'lie',
  'shaft-lean',
  'face-rate',
  'face-to-velocity',
  'plane-slope',
  'plane-direction',
  'plane-disagreement',
  'late-plane-slope',
  'late-plane-direction',
  'late-plane-disagreement',
  'low-point',
  'plane-after-slope',
  'plane-after-direction',
  'low-point-after',
] as const;
export type ClubFigureId = (typeof CLUB_FIGURES)[number];

/** Those that are the same for every point of a rigid club; all others are of the head point, and compared only where it is the same point. */
export const FIGURES_OF_ANY_POINT: ReadonlySet<ClubFigureId> = new Set([
  'face',
  'loft',
  'lie',
  'shaft-lean',
  'face-rate',
]);

/** What the path of the head point gives. */
export type DeliveryFigures = Readonly<Record<'head-speed' | 'attack' | 'path', Avail<Figured>>>;
/** Figures that were not asked for are not there; what could not be had is absent with its reason. */
export type ClubFigures = DeliveryFigures & Readonly<Partial<Record<ClubFigureId, Avail<Figured>>>>;
