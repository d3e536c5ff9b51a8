/** Tables of sensors, faithful to the file: no unit is changed, no gap filled, no name given a meaning. */

import type { Diagnostic } from '../base/diagnostics.ts';

/** A file of a recording. */
export interface NamedBytes {
  /** As the user named it, below the data folder. */
  readonly path: string;
  readonly bytes: Uint8Array;
}

/** A column of words, such as the name of the sensor in each row. */
export interface WordColumn {
  readonly column: number;
  /** Distinct words in the order of their first row. */
  readonly words: readonly string[];
  /** Index into `words` per row; −1 where the cell is empty. */
  readonly index: Int32Array;
}

/** One table of numbers. */
export interface SensorTable {
  /** File name without folders, as shown in messages. */
  readonly file: string;
  /**
   * Column names in order, as written but for a unit in brackets at the end (`gyro_x [deg/s]` is gyro_x); `col_1` and so on where there
   * are none; the channel names of a Motion-BIDS recording.
   */
  readonly columns: readonly string[];
  /** Unit text of each column where the file or a side-car states one, else ''. */
  readonly units: readonly string[];
  readonly rows: number;
  /** Planar: column c is `values[c * rows … (c + 1) * rows)`; NaN where empty, `n/a`, `NaN` or not a number. */
  readonly values: Float64Array;
  readonly words: readonly WordColumn[];
}

/** A row of Motion-BIDS channels.tsv; '' where the column is missing or `n/a`. */
export interface BidsChannel {
  readonly name: string;
  readonly component: string;
  readonly type: string;
  readonly trackedPoint: string;
  readonly units: string;
  readonly placement: string;
  readonly referenceFrame: string;
  readonly samplingFrequency_Hz: number | null;
  readonly status: string;
}

/** A reference frame described in channels.json. */
export interface BidsReferenceFrame {
  readonly name: string;
  /** Three letters of A P L R S I or _, '' where not given. */
  readonly spatialAxes: string;
  readonly rotationOrder: string;
  readonly rotationRule: string;
}

export interface BidsEvent {
  readonly onset_s: number;
  readonly duration_s: number;
  readonly label: string;
}

/** What the side-cars of a Motion-BIDS recording say. */
export interface BidsSidecars {
  readonly samplingFrequency_Hz: number;
  readonly samplingFrequencyEffective_Hz: number | null;
  readonly taskName: string;
  /** MissingValues as declared, or null. */
  readonly missingValues: string | null;
  readonly channels: readonly BidsChannel[];
  readonly frames: readonly BidsReferenceFrame[];
  readonly events: readonly BidsEvent[];
}

/** A recording of sensors as its files have it. */
export interface ImuRecording {
  readonly kind: 'delimited' | 'motion-bids';
  /** One table of all sensors, or one per sensor. */
  readonly tables: readonly SensorTable[];
  /** Only for 'motion-bids', whose only table has one column per channel. */
  readonly bids: BidsSidecars | null;
  readonly diagnostics: readonly Diagnostic[];
}
