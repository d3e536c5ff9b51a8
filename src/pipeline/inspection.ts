/** What `inspect` finds in a file, as its JSON has it: keys always present, null where unknown. */
import type { Diagnostic } from '../base/diagnostics.ts';
import type { C3dFile } from '../c3d/types.ts';
import type { SignedAxis } from '../model/dayPlan.ts';
import type { FileLandmark } from '../model/landmarks.ts';
import type { AnglesBetween } from './anglesBetween.ts';

/** What `inspect --json` prints of one file. Of tables of sensors what belongs to C3D files is null, 0 or empty. */
export interface Inspection {
  readonly file: string;
  readonly bytes: number;
  readonly processor: C3dFile['processor'] | null;
  readonly form: C3dFile['form'] | null;
  readonly points: number;
  readonly frames: number | null;
  readonly firstFrame: number | null;
  readonly rate_Hz: number | null;
  readonly units: string | null;
  readonly analogChannels: number;
  readonly analogSamplesPerFrame: number;
  readonly rotations: number;
  readonly labels: readonly string[];
  readonly landmarks: readonly { readonly name: FileLandmark; readonly label: string }[];
  readonly up: SignedAxis | null;
  readonly target: string | null;
  /** `time_s` from the first stored frame; `frame` from 0. */
  readonly events: readonly {
    readonly label: string;
    readonly context: string;
    readonly time_s: number;
    readonly frame: number;
  }[];
  readonly diagnostics: readonly Diagnostic[];
  readonly rotationLabels: readonly string[];
  /** As what a day would read it. */
  readonly source: 'markers' | 'sensors';
  readonly sensors: readonly SensorInspection[];
  /** What a day would refuse or ask for, whole sentences with the key to set. */
  readonly questions: readonly string[];
  /** Only where they were asked for. */
  readonly angles?: AnglesBetween;
}

export interface SensorInspection {
  readonly name: string;
  /** Table it stands in. */
  readonly file: string;
  /** As a day file names it, or null. */
  readonly place: string | null;
  readonly rate_Hz: number | null;
  readonly samples: number;
  /** From the first sample to the last, dropped ones included. */
  readonly span_s: number | null;
  readonly columns: {
    readonly time: string | null;
    readonly gyro: readonly string[] | null;
    readonly acc: readonly string[] | null;
    readonly mag: readonly string[] | null;
    readonly quaternion: readonly string[] | null;
    readonly trigger: string | null;
  };
  readonly timeUnit: string | null;
  readonly gyroUnit: string | null;
  readonly accUnit: string | null;
  readonly fastest_degPerS: number | null;
  /** Length of the specific force at rest. */
  readonly gravity_mPerS2: number | null;
  readonly stampsDropped: number;
  readonly samplesDropped: number;
  readonly longestStep_s: number;
  readonly clippedGyro: number;
  readonly clippedAcc: number;
  /** Whether the quaternions fit the gyro, in words; null where there are none. */
  readonly quaternions: string | null;
  readonly problems: readonly string[];
}

export interface FailedInspection {
  readonly file: string;
  readonly error: { readonly code: string; readonly message: string; readonly offset: number | null };
}
