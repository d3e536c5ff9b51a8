/** Checks on the raw signals of one sensor that leave it in use: dead channels, repeated rows, samples at the range limit. */

import type { Diagnostic } from '../../../base/diagnostics.ts';
import { formatFixed } from '../../../base/format.ts';
import { CLIPPED_ACC, CLIPPED_GYRO, type SensorPlan } from '../../../model/sensors.ts';
import type { RawSensor } from '../columns/rawSensor.ts';
import { sensorDiagnostic } from '../diagnosticCodes.ts';
import { clippedSamples, runsOf, SMALLEST_ACC_RANGE_mPerS2, SMALLEST_GYRO_RANGE_radPerS } from './clipping.ts';
import { changes, repeatedShare } from './copies.ts';
import type { SensorClock } from './sensorClock.ts';

/** Columns that keep one value through the whole recording. */
export function deadChannels(sensor: RawSensor): Diagnostic[] {
  const out: Diagnostic[] = [];
  for (const signal of ['gyro', 'acc'] as const) {
    const planar = sensor[signal];
    if (planar === null) continue;
    const dead = [0, 1, 2].filter((axis) => !changes(planar.subarray(axis * sensor.rows, (axis + 1) * sensor.rows)));
    if (dead.length === 0) continue;
    const names = dead.map((axis) => sensor.columns[signal]![axis]!);
    const values = dead.map((axis) => formatFixed(planar[axis * sensor.rows]!, 4));
    out.push(
      sensorDiagnostic(
        'dead-channel',
        `${sensor.name}: ${names.join(', ')} in ${sensor.file} ${dead.length === 1 ? 'keeps' : 'keep'} one value (${values.join(', ')}) in all ${sensor.rows} rows`,
      ),
    );
  }
  return out;
}

/** A gyro whose rows often repeat: a table faster than its sensor. */
export function repeatedRows(sensor: RawSensor): Diagnostic[] {
  const { gyro, rows, name, file } = sensor;
  if (gyro === null || !changes(gyro.subarray(0, rows))) return [];
  const share = repeatedShare(gyro, rows);
  if (share < 0.25) return [];
  return [
    sensorDiagnostic(
      'values-repeated',
      `${name}: ${formatFixed(100 * share, 0)} % of the gyro's rows in ${file} repeat the row before`,
    ),
  ];
}

/** Bits per sample, and what is to be said of them. */
export function findClipped(
  clock: SensorClock,
  gyro: Float64Array | null,
  acc: Float64Array | null,
  plan: SensorPlan,
): { readonly clipped: Uint8Array; readonly told: readonly Diagnostic[] } {
  const { rows, name } = clock.sensor;
  const clipped = new Uint8Array(rows);
  const told: Diagnostic[] = [];
  const mark = (planar: Float64Array | null, bit: number, range: number | null, smallest: number): void => {
    if (planar === null) return;
    const marks = clippedSamples(planar, rows, range, smallest);
    let count = 0;
    marks.forEach((value, i) => {
      if (value === 0) return;
      clipped[i] = clipped[i]! | bit;
      count += 1;
    });
    if (count === 0) return;
    const { runs, all } = runsOf(marks, clock.times_s, 3);
    const start = clock.times_s[0]!;
    const shown = runs.map(([a, b]) => `${formatFixed(a - start, 3)}–${formatFixed(b - start, 3)} s`).join(', ');
    const more = all > runs.length ? ` and ${all - runs.length} more` : '';
    const how = range === null ? 'flat tops at a repeated extreme' : `the range of the day file`;
    told.push(
      sensorDiagnostic(
        bit === CLIPPED_GYRO ? 'gyro-clipped' : 'acc-clipped',
        `${name}: ${count} samples at the limit (${how}), at ${shown}${more} of its own clock`,
      ),
    );
  };
  mark(gyro, CLIPPED_GYRO, plan.range.gyro_radPerS, SMALLEST_GYRO_RANGE_radPerS);
  mark(acc, CLIPPED_ACC, plan.range.acc_mPerS2, SMALLEST_ACC_RANGE_mPerS2);
  return { clipped, told };
}
