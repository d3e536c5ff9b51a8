/** Columns and sensors that copy one another: a fault of exports, never of bodies. */

import type { RawSensor } from '../columns/rawSensor.ts';

/** Residual of y = k·x against the spread of y below which a column is a copy: rounding of a table stays below, two signals never do. */
const COPY = 1e-3;
const FEWEST = 20;

/** The factor by which y copies x over the rows both have, or null. Columns that hardly change are no evidence. */
function copyFactor(x: Float64Array, y: Float64Array): number | null {
  const n = Math.min(x.length, y.length);
  let count = 0;
  let sx = 0;
  let sy = 0;
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  for (let i = 0; i < n; i += 1) {
    if (Number.isNaN(x[i]! + y[i]!)) continue;
    count += 1;
    sx += x[i]!;
    sy += y[i]!;
    sxx += x[i]! * x[i]!;
    sxy += x[i]! * y[i]!;
    syy += y[i]! * y[i]!;
  }
  if (count < FEWEST) return null;
  const spreadX = sxx - (sx * sx) / count;
  const spreadY = syy - (sy * sy) / count;
  if (!(spreadX > 1e-9 * sxx) || !(spreadY > 1e-9 * syy)) return null;
  const k = sxy / sxx;
  let rest = 0;
  for (let i = 0; i < n; i += 1) {
    const e = y[i]! - k * x[i]!;
    if (!Number.isNaN(e)) rest += e * e;
  }
  return Math.sqrt(rest / spreadY) < COPY ? k : null;
}

function columnOf(planar: Float64Array, rows: number, axis: number): Float64Array {
  return planar.subarray(axis * rows, (axis + 1) * rows);
}

export interface ColumnCopy {
  /** Axes 0 to 2 of the gyro and the accelerometer. */
  readonly gyro: number;
  readonly acc: number;
  readonly factor: number;
}

/** Gyro columns that copy accelerometer columns, exactly or scaled, in any order. */
export function gyroCopiesAcc(sensor: RawSensor): readonly ColumnCopy[] {
  const { gyro, acc, rows } = sensor;
  if (gyro === null || acc === null) return [];
  const found: ColumnCopy[] = [];
  for (let g = 0; g < 3; g += 1) {
    for (let a = 0; a < 3; a += 1) {
      const factor = copyFactor(columnOf(acc, rows, a), columnOf(gyro, rows, g));
      if (factor !== null) found.push({ gyro: g, acc: a, factor });
    }
  }
  return found;
}

/** Which signals of two sensors copy one another in all axes that change: 'gyro', 'acc'; [] where none does. */
export function sensorsCopy(a: RawSensor, b: RawSensor): readonly ('gyro' | 'acc')[] {
  return (['gyro', 'acc'] as const).filter((signal) => {
    const x = a[signal];
    const y = b[signal];
    if (x === null || y === null) return false;
    let copied = 0;
    for (let axis = 0; axis < 3; axis += 1) {
      const own = columnOf(x, a.rows, axis);
      const other = columnOf(y, b.rows, axis);
      if (!changes(own) && !changes(other)) continue;
      if (copyFactor(own, other) === null) return false;
      copied += 1;
    }
    return copied > 0;
  });
}

/** Whether a column has more than one value. */
export function changes(column: Float64Array): boolean {
  let first = Number.NaN;
  for (const value of column) {
    if (Number.isNaN(value)) continue;
    if (Number.isNaN(first)) first = value;
    else if (value !== first) return true;
  }
  return false;
}

/** Share of rows of a planar array that repeat the row before. */
export function repeatedShare(planar: Float64Array, rows: number): number {
  let repeated = 0;
  for (let i = 1; i < rows; i += 1) {
    let same = true;
    for (let at = i; at < planar.length; at += rows) if (planar[at] !== planar[at - 1]) same = false;
    if (same) repeated += 1;
  }
  return rows > 1 ? repeated / (rows - 1) : 0;
}
