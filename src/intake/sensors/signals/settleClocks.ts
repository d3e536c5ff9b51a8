/** The clocks of all sensors of a recording: unit and rate settled, what was dropped told. */

import type { Diagnostic } from '../../../base/diagnostics.ts';
import { formatFixed } from '../../../base/format.ts';
import type { Missing } from '../../../model/availability.ts';
import type { SensorPlan } from '../../../model/sensors.ts';
import type { RawSensor } from '../columns/rawSensor.ts';
import { sensorDiagnostic } from '../diagnosticCodes.ts';
import {
  clockFromRate,
  clockFromStamps,
  detectTimeUnit,
  medianStep,
  SECONDS_PER,
  type SensorClock,
  type TimeUnit,
  timeUnitOfText,
} from './sensorClock.ts';

export interface ClockOptions {
  readonly plan: SensorPlan;
  readonly rate_Hz: number | null;
  readonly insistRate: boolean;
}

export interface SettledClock {
  readonly clock: SensorClock | null;
  readonly unit: TimeUnit | null;
  readonly evidence: string;
  /** What refuses the trial. */
  readonly refusal: Missing | null;
}

/** Rates no sensor has, Hz. */
const IMPOSSIBLE_BELOW_Hz = 5;
const IMPOSSIBLE_ABOVE_Hz = 20_000;
/** Clocks of sensors differ by far less; a stated rate that is off by more is another rate. */
const RATE_SHARE = 0.02;
const DROPPED_SHARE = 0.2;

/** Settles each sensor's clock; a stated rate that fits none of the sensors is a contradiction of all. */
export function settleClocks(sensors: readonly RawSensor[], options: ClockOptions): readonly SettledClock[] {
  const clocks = sensors.map((sensor) => settleOne(sensor, options));
  const { rate_Hz } = options;
  const stamped = clocks.filter((one) => one.clock?.fromStamps === true);
  if (options.insistRate || stamped.length === 0) return clocks;
  const stated = stamped.map((one) => rate_Hz ?? one.clock!.sensor.rate_Hz);
  const fits = stamped.some(
    (one, i) => stated[i] === null || Math.abs(one.clock!.rate_Hz / stated[i]! - 1) <= RATE_SHARE,
  );
  if (fits) return clocks;
  const first = stamped[0]!.clock!;
  const by = rate_Hz === null ? 'the side-car says' : 'the day file sets rate_Hz';
  const refusal: Missing = {
    code: 'conflict-rate',
    needed: `one rate: ${by} ${formatFixed(stated[0]!, 2)} Hz, the time stamps of ${first.sensor.name} in ${first.sensor.file} show ${formatFixed(first.rate_Hz, 2)} Hz (steps of ${formatFixed(1000 / first.rate_Hz, 3)} ms, unit ${stamped[0]!.unit}); correct rate_Hz or sensors: time_unit in the day file, or list rate under insist to hold the stated rate`,
  };
  return clocks.map((one) => ({ ...one, refusal: one.refusal ?? refusal }));
}

function settleOne(sensor: RawSensor, { plan, rate_Hz, insistRate }: ClockOptions): SettledClock {
  const stated = rate_Hz ?? sensor.rate_Hz;
  const fail = (code: string, needed: string, unit: TimeUnit | null = null): SettledClock => ({
    clock: null,
    unit,
    evidence: needed,
    refusal: { code, needed },
  });
  if (sensor.time === null || (insistRate && stated !== null)) {
    if (stated === null) {
      return fail(
        'rate-missing',
        `time stamps or a rate: ${sensor.file} has no time column that is recognised; name it under sensors: columns: time, or set rate_Hz in the day file`,
      );
    }
    const evidence = sensor.time === null ? 'no time stamps' : 'rate is listed under insist';
    return { clock: clockFromRate(sensor, stated), unit: null, evidence, refusal: null };
  }
  const text = timeUnitOfText(sensor.units.time);
  let unit: TimeUnit | null = plan.timeUnit ?? text;
  let evidence = plan.timeUnit === null ? 'the table' : 'the day file';
  const step = medianStep(sensor.time);
  if (!(step > 0)) {
    return fail(
      'stamps-broken',
      `time stamps that increase: those of ${sensor.name} in ${sensor.file} (column "${sensor.columns.time}") never do; name another column under sensors: columns: time, or set rate_Hz and list rate under insist`,
    );
  }
  const detected = detectTimeUnit(sensor.time, stated);
  if (unit === null) {
    if (detected.value === null) {
      return fail('time-unit-unknown', `the unit of time of ${sensor.name} in ${sensor.file}: ${detected.evidence}`);
    }
    unit = detected.value;
    evidence = detected.evidence;
  } else {
    const rate = 1 / (step * SECONDS_PER[unit]);
    if (!(rate >= IMPOSSIBLE_BELOW_Hz && rate <= IMPOSSIBLE_ABOVE_Hz) && !insistRate) {
      const shown = detected.value === null ? 'no unit that fits' : `${detected.value} (${detected.evidence})`;
      return fail(
        'conflict-rate',
        `one unit of time: ${evidence} says ${unit}, which makes ${formatFixed(rate, rate < 10 ? 4 : 0)} Hz of the stamps of ${sensor.name} in ${sensor.file}; the data show ${shown}; correct sensors: time_unit in the day file, or list rate under insist`,
        unit,
      );
    }
  }
  const clock = clockFromStamps(sensor, unit);
  if (clock.stampsDropped > DROPPED_SHARE * sensor.rows) {
    return fail(
      'stamps-broken',
      `time stamps that increase: ${clock.stampsDropped} of ${sensor.rows} stamps of ${sensor.name} in ${sensor.file} are missing, repeated or go backward; name another column under sensors: columns: time, or set rate_Hz and list rate under insist to count time from the rate`,
      unit,
    );
  }
  return { clock, unit, evidence, refusal: null };
}

/** Jitter worth telling, as a share of the step. */
const JITTER = 0.02;

/** What happened to the stamps of one sensor; one line each. */
export function clockDiagnostics(clock: SensorClock, name: string): readonly Diagnostic[] {
  const out: Diagnostic[] = [];
  const ms = (seconds: number): string => `${formatFixed(1000 * seconds, 1)} ms`;
  const rate = `${formatFixed(clock.rate_Hz, 2)} Hz`;
  if (!clock.fromStamps && clock.sensor.matrices === null) {
    out.push(sensorDiagnostic('no-stamps', `${name}: times were counted from ${rate}`));
  }
  if (clock.stampsDropped > 0) {
    out.push(
      sensorDiagnostic(
        'stamps-dropped',
        `${name}: ${clock.stampsDropped} rows with missing, repeated or backward time stamps were dropped`,
      ),
    );
  }
  if (clock.rounded_s !== null) {
    out.push(
      sensorDiagnostic(
        'stamps-rounded',
        `${name}: stamps are rounded to ${ms(clock.rounded_s)}, which explains all their unevenness; ${clock.sensor.rows} even times at ${rate} were used`,
      ),
    );
  }
  if (clock.samplesDropped > 0) {
    out.push(
      sensorDiagnostic(
        'samples-dropped',
        `${name}: ${clock.samplesDropped} samples are missing, the longest step is ${ms(clock.longestStep_s)} at ${formatFixed(clock.longestAt_s - clock.times_s[0]!, 3)} s`,
      ),
    );
  }
  if (clock.jitter > JITTER) {
    out.push(
      sensorDiagnostic('stamps-jitter', `${name}: steps vary by ${formatFixed(100 * clock.jitter, 1)} % about ${rate}`),
    );
  }
  return out;
}
