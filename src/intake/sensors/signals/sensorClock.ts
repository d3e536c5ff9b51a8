/** Time stamps of one sensor: unit settled, broken ones dropped, rounding undone, gaps counted. */

import { formatFixed } from '../../../base/format.ts';
import { fitLine, median } from '../../../numeric/statistics.ts';
import { type RawSensor, selectRows } from '../columns/rawSensor.ts';
import type { Described } from '../described.ts';

export type TimeUnit = 's' | 'ms' | 'us' | 'ns';

export const SECONDS_PER: Readonly<Record<TimeUnit, number>> = { s: 1, ms: 1e-3, us: 1e-6, ns: 1e-9 };

/** The unit of time a text means, or null. */
export function timeUnitOfText(text: string): TimeUnit | null {
  const plain = text.trim().toLowerCase().replace('µ', 'u').replace('μ', 'u');
  if (/^(s|sec|secs|second|seconds)$/.test(plain)) return 's';
  if (/^(ms|msec|millisecond|milliseconds)$/.test(plain)) return 'ms';
  if (/^(us|usec|microsecond|microseconds)$/.test(plain)) return 'us';
  if (/^(ns|nsec|nanosecond|nanoseconds)$/.test(plain)) return 'ns';
  return null;
}

/** Rates at which sensors are sampled, Hz (common practice, no source). The four units of time cannot be confused within it. */
const SLOWEST_Hz = 20;
const FASTEST_Hz = 4000;

/** Median positive step of the stamps, file units; NaN without. */
export function medianStep(time: Float64Array): number {
  const steps: number[] = [];
  for (let i = 1; i < time.length; i += 1) {
    const step = time[i]! - time[i - 1]!;
    if (step > 0) steps.push(step);
  }
  return median(steps);
}

/** The unit in which the step of the stamps is a rate that sensors have: by the stated rate where there is one. */
export function detectTimeUnit(time: Float64Array, rate_Hz: number | null): Described<TimeUnit> {
  const step = medianStep(time);
  const fits = (['s', 'ms', 'us', 'ns'] as const).filter((unit) => {
    const rate = 1 / (step * SECONDS_PER[unit]);
    return rate_Hz === null ? rate >= SLOWEST_Hz && rate <= FASTEST_Hz : Math.abs(rate / rate_Hz - 1) < 0.2;
  });
  const shown = `${formatFixed(step, step < 1 ? 5 : 1)} a step`;
  if (fits.length !== 1) {
    return {
      value: null,
      evidence: `${shown} is no usual rate${rate_Hz === null ? '' : ` and not ${formatFixed(rate_Hz, 1)} Hz`} in one unit alone; set sensors: time_unit in the day file`,
    };
  }
  const rate = 1 / (step * SECONDS_PER[fits[0]!]);
  return {
    value: fits[0]!,
    evidence: `${shown} is ${formatFixed(rate, 1)} Hz in ${fits[0]!}`,
  };
}

export interface SensorClock {
  /** The sensor with the rows that were kept. */
  readonly sensor: RawSensor;
  /** Seconds, strictly increasing, on the file's own zero. */
  readonly times_s: Float64Array;
  readonly rate_Hz: number;
  readonly fromStamps: boolean;
  /** Rows dropped because their stamp was missing, repeated or went backward. */
  readonly stampsDropped: number;
  readonly samplesDropped: number;
  readonly longestStep_s: number;
  readonly longestAt_s: number;
  /** Resolution in seconds of stamps that were regularised, else null. */
  readonly rounded_s: number | null;
  /** Standard deviation of usual steps as a share of the median step. */
  readonly jitter: number;
}

/** Times counted from a rate. */
export function clockFromRate(sensor: RawSensor, rate_Hz: number): SensorClock {
  const times_s = new Float64Array(sensor.rows);
  for (let i = 0; i < times_s.length; i += 1) times_s[i] = i / rate_Hz;
  return {
    sensor,
    times_s,
    rate_Hz,
    fromStamps: false,
    stampsDropped: 0,
    samplesDropped: 0,
    longestStep_s: 0,
    longestAt_s: 0,
    rounded_s: null,
    jitter: 0,
  };
}

/** Times from the stamps. Throws RangeError for a sensor without any. */
export function clockFromStamps(sensor: RawSensor, unit: TimeUnit): SensorClock {
  if (sensor.time === null) throw new RangeError(`sensor ${sensor.name} has no time stamps`);
  const all = sensor.time.map((stamp) => stamp * SECONDS_PER[unit]);
  const even = undoRounding(all);
  if (even !== null) return finish(sensor, even.times_s, 0, even.resolution_s);
  const keep = increasing(all);
  const kept = selectRows(sensor, keep);
  const times = Float64Array.from(keep, (row) => all[row]!);
  const regular = undoRounding(times);
  return finish(kept, regular?.times_s ?? times, sensor.rows - keep.length, regular?.resolution_s ?? null);
}

/** Rows whose stamps increase strictly; of a backward step the stamp that leapt ahead alone is dropped, else those behind. */
function increasing(times: Float64Array): Int32Array {
  const keep: number[] = [];
  for (let i = 0; i < times.length; i += 1) {
    const t = times[i]!;
    if (!Number.isFinite(t)) continue;
    const last = keep.at(-1);
    if (last === undefined || t > times[last]!) {
      keep.push(i);
      continue;
    }
    const before = keep.at(-2);
    const next = times[i + 1];
    // The last kept stamp leapt ahead when this one and the next fit after the one before it.
    if (t < times[last]! && before !== undefined && t > times[before]! && next !== undefined && next < times[last]!) {
      keep.pop();
      keep.push(i);
    }
  }
  return Int32Array.from(keep);
}

const RESOLUTIONS_s = [0.01, 0.001, 0.0001] as const;

/**
 * Stamps on a grid of 10, 1 or 0.1 ms whose distance from evenly spaced times is less than that grid: the even times, else null.
 * Longer steps stay gaps of whole samples. Stamps that repeat because the grid is coarser than the rate are covered as well.
 */
function undoRounding(times: Float64Array): { readonly times_s: Float64Array; readonly resolution_s: number } | null {
  const n = times.length;
  if (n < 20) return null;
  const origin = times[0]!;
  const resolution = RESOLUTIONS_s.find((q) =>
    times.every((t) => Math.abs((t - origin) / q - Math.round((t - origin) / q)) < 1e-4),
  );
  if (resolution === undefined) return null;
  const usual = medianStep(times);
  let most = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 1; i < n; i += 1) {
    const step = times[i]! - times[i - 1]!;
    if (step < -1e-9) return null;
    if (step > 1.5 * usual && usual > 1.5 * resolution) continue;
    most = Math.max(most, step);
    least = Math.min(least, step);
  }
  if (most - least < 0.1 * resolution) return null;
  const index = new Float64Array(n);
  for (let i = 0; i < n; i += 1) index[i] = i;
  let line = fitLine(index, times);
  if (!explains(times, index, line, resolution)) {
    if (!(usual > resolution)) return null;
    let sum = 0;
    let count = 0;
    for (let i = 1; i < n; i += 1) {
      const step = times[i]! - times[i - 1]!;
      if (step <= 1.5 * usual) {
        sum += step;
        count += 1;
      }
    }
    const period = sum / count;
    for (let i = 1; i < n; i += 1) {
      index[i] = index[i - 1]! + Math.max(1, Math.round((times[i]! - times[i - 1]!) / period));
    }
    line = fitLine(index, times);
    if (!explains(times, index, line, resolution)) return null;
  }
  return { times_s: index.map((at) => line.intercept + line.slope * at), resolution_s: resolution };
}

/** Whether all residuals of the line lie within one step of the grid. */
function explains(
  times: Float64Array,
  index: Float64Array,
  line: { readonly slope: number; readonly intercept: number },
  resolution: number,
): boolean {
  if (!(line.slope > 0)) return false;
  let most = Number.NEGATIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < times.length; i += 1) {
    const residual = times[i]! - (line.intercept + line.slope * index[i]!);
    most = Math.max(most, residual);
    least = Math.min(least, residual);
  }
  return most - least <= 1.05 * resolution;
}

function finish(
  sensor: RawSensor,
  times_s: Float64Array,
  stampsDropped: number,
  rounded_s: number | null,
): SensorClock {
  const step = medianStep(times_s);
  let samplesDropped = 0;
  let longestStep_s = 0;
  let longestAt_s = 0;
  let squares = 0;
  let count = 0;
  for (let i = 1; i < times_s.length; i += 1) {
    const own = times_s[i]! - times_s[i - 1]!;
    if (own > 1.5 * step) {
      samplesDropped += Math.max(1, Math.round(own / step) - 1);
      if (own > longestStep_s) {
        longestStep_s = own;
        longestAt_s = times_s[i - 1]!;
      }
    } else {
      squares += (own - step) * (own - step);
      count += 1;
    }
  }
  return {
    sensor,
    times_s,
    rate_Hz: 1 / step,
    fromStamps: true,
    stampsDropped,
    samplesDropped,
    longestStep_s,
    longestAt_s,
    rounded_s,
    jitter: count === 0 ? 0 : Math.sqrt(squares / count) / step,
  };
}
