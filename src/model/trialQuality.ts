import type { Fault } from './faults.ts';
import type { SwingRecord } from './swingRecord.ts';
import type { MarkerQuality } from './trial.ts';

/** What the quality figure of a recording of markers shows. */
export interface TrialQuality {
  readonly trial: string;
  readonly frames: number;
  /** NaN where it is not known. */
  readonly rate_Hz: number;
  readonly moments: SwingRecord['moments'];
  readonly markers: readonly MarkerQuality[];
  /** Empty: none found. */
  readonly faults: readonly Fault[];
}

/** The quality of a swing of markers; null of sensors, whose samples are not placed by frame, and of a record stored before runs were kept. */
export function qualityOf(record: SwingRecord): TrialQuality | null {
  const { head, frames, moments, quality, faults = [] } = record;
  if (head.source === 'sensors' || quality.length === 0) return null;
  if (quality.some(({ missing, runs }) => missing > 0 && runs === undefined)) return null;
  return { trial: head.trial, frames, rate_Hz: head.facts.rate_Hz.value, moments, markers: quality, faults };
}
