/** Stretches of a marker that are not measured. */

/** Filled by a method of `MarkerFills`, missing, or `flown`: a struck ball that is not seen again, which is no gap. */
export const UNMEASURED = ['rigid', 'spline', 'components', 'missing', 'flown'] as const;
export type Unmeasured = (typeof UNMEASURED)[number];

/** First and last frame, from 0, both included. */
export type MarkerRun = readonly [first: number, last: number, what: Unmeasured];

/** Frames in the runs of one kind. */
export function framesOf(runs: readonly MarkerRun[], wanted: Unmeasured): number {
  return runs.reduce((sum, [first, last, what]) => (what === wanted ? sum + last - first + 1 : sum), 0);
}
