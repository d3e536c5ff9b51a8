import type { Diagnostic } from '../../base/diagnostics.ts';

/** A value that was settled, in the file's words, with its evidence; value null: not settled, and the evidence is the question. */
export interface Described<T> {
  readonly value: T | null;
  readonly evidence: string;
}

/**
 * One sensor of a recording as `inspect` shows it. Nothing is refused here: what the intake would refuse stands in `problems`.
 */
export interface SensorDescription {
  /** As the file names it (the table's stem where there is one table a sensor). */
  readonly name: string;
  /** Table it stands in, without folders. */
  readonly file: string;
  /** Place on the body as a day file names it (`pelvis`, `left_forearm` …; `lead_…` or `trail_…` where the name says so); null: ask for `sensors: places`. */
  readonly place: Described<string>;
  /** Column names by meaning, in the order x, y, z or w, x, y, z; null where there are none. */
  readonly columns: {
    readonly time: string | null;
    readonly gyro: readonly string[] | null;
    readonly acc: readonly string[] | null;
    readonly mag: readonly string[] | null;
    readonly quaternion: readonly string[] | null;
    readonly trigger: string | null;
  };
  /** Samples used, after rows with broken stamps were dropped. */
  readonly samples: number;
  /** One over the median step. */
  readonly rate_Hz: Described<number>;
  readonly timeUnit: Described<string>;
  readonly gyroUnit: Described<string>;
  readonly accUnit: Described<string>;
  /** Largest angular speed, rad/s; null without a gyro or its unit. */
  readonly fastest_radPerS: number | null;
  /** Length of the mean specific force at rest, m/s²; null where there is no rest or no unit. */
  readonly gravity_mPerS2: number | null;
  /** Rows whose stamp was missing, repeated or went backward. */
  readonly stampsDropped: number;
  /** Samples missing between the stamps, and the longest such step in seconds (0 without). */
  readonly samplesDropped: number;
  readonly longestStep_s: number;
  /** Samples at the range limit. */
  readonly clipped: { readonly gyro: number; readonly acc: number };
  /** Whether the quaternions fit, in words; '' where there are none. */
  readonly quaternions: string;
  /** Why the intake would leave the sensor out or refuse the trial: whole sentences. */
  readonly problems: readonly string[];
}

/** What `inspect` says of a recording of sensors. */
export interface SensorsDescription {
  readonly sensors: readonly SensorDescription[];
  /** Sentences of what would refuse the trial as a whole, each with the key to set. */
  readonly questions: readonly string[];
  readonly diagnostics: readonly Diagnostic[];
}
