/** One sensor's columns out of a table, in the file's units: what finding columns gives and everything after it reads. */

/** Units as words of the file; '' where nothing is said. */
export interface RawUnits {
  readonly time: string;
  readonly gyro: string;
  readonly acc: string;
}

export interface RawSensor {
  /** As the file names it. */
  readonly name: string;
  /** Table it stands in, for messages. */
  readonly file: string;
  readonly rows: number;
  /** Column names by meaning. */
  readonly columns: {
    readonly time: string | null;
    readonly gyro: readonly string[] | null;
    readonly acc: readonly string[] | null;
    readonly mag: readonly string[] | null;
    readonly quaternion: readonly string[] | null;
    readonly trigger: string | null;
  };
  /** Time stamps in the file's unit, or null. */
  readonly time: Float64Array | null;
  /** Planar 3 × rows. */
  readonly gyro: Float64Array | null;
  readonly acc: Float64Array | null;
  readonly mag: Float64Array | null;
  /** Planar 4 × rows, w x y z as read. */
  readonly quaternion: Float64Array | null;
  /** 'declared' by the day file, 'letters' w x y z in the names, 'numbers' 0 to 3 in the names. */
  readonly quaternionOrder: 'declared' | 'letters' | 'numbers';
  readonly trigger: Float64Array | null;
  /** R_world_sensor as stored, 9 × rows frame-major; of a C3D file only. */
  readonly matrices: Float64Array | null;
  readonly units: RawUnits;
  /** Rate that a side-car or a C3D file states for this sensor. */
  readonly rate_Hz: number | null;
}

/** Copies the rows `keep` of a planar array of `parts` columns. */
function keepRows(planar: Float64Array, parts: number, rows: number, keep: Int32Array): Float64Array {
  const out = new Float64Array(parts * keep.length);
  for (let part = 0; part < parts; part += 1) {
    for (let i = 0; i < keep.length; i += 1) out[part * keep.length + i] = planar[part * rows + keep[i]!]!;
  }
  return out;
}

/** The sensor with the rows `keep` alone. */
export function selectRows(sensor: RawSensor, keep: Int32Array): RawSensor {
  const { rows } = sensor;
  const pick = (planar: Float64Array | null, parts: number): Float64Array | null =>
    planar === null ? null : keepRows(planar, parts, rows, keep);
  let matrices: Float64Array | null = null;
  if (sensor.matrices !== null) {
    matrices = new Float64Array(9 * keep.length);
    for (let i = 0; i < keep.length; i += 1) {
      matrices.set(sensor.matrices.subarray(9 * keep[i]!, 9 * keep[i]! + 9), 9 * i);
    }
  }
  return {
    ...sensor,
    rows: keep.length,
    time: pick(sensor.time, 1),
    gyro: pick(sensor.gyro, 3),
    acc: pick(sensor.acc, 3),
    mag: pick(sensor.mag, 3),
    quaternion: pick(sensor.quaternion, 4),
    trigger: pick(sensor.trigger, 1),
    matrices,
  };
}
