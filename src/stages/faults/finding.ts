import type { FaultCode } from '../../model/faults.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { Span } from './mending.ts';

/** A fault as it is found, before anything is done about it. */
export interface Finding {
  readonly code: FaultCode;
  readonly markers: readonly LandmarkId[];
  /** In the order of time. */
  readonly spans: readonly Span[];
  /** False where it cannot be told which samples are right. */
  readonly clear: boolean;
  readonly detail: string;
}
