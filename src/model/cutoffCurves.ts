import type { CutoffMethod, FilterGroup } from './dayPlan.ts';

/** What each rule of the filter choice reads in one segment group of a trial, over the cutoff: stored where it was asked for. */
export interface CutoffCurves {
  readonly group: FilterGroup;
  /** Markers with a stretch long enough around the swing. */
  readonly markers: number;
  /** What the group was smoothed with; null: not filtered. */
  readonly used_Hz: number | null;
  /** The rule that chose it; null: as set. */
  readonly rule: CutoffMethod | null;
  /** RMS of what the filter takes off, each marker over its own noise, at these cutoffs. */
  readonly residual: Sampled;
  /** The line through the tail of that curve. */
  readonly tail: {
    readonly from_Hz: number;
    readonly to_Hz: number;
    readonly intercept: number;
    readonly slope: number;
  };
  /** How far from white the residual is; at the cutoffs that can be chosen. */
  readonly autocorrelation: Sampled;
  /** Cross-validated error of the spline, at the same. */
  readonly crossValidation: Sampled;
  /** What each rule would choose, Hz. */
  readonly choices_Hz: Readonly<Record<CutoffMethod, number>>;
}

export interface Sampled {
  readonly cutoffs_Hz: readonly number[];
  readonly values: readonly number[];
}
