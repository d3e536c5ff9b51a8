/** One checked sensor to its track, and what is said of its units and its quaternions. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { present } from '../../model/availability.ts';
import type { SignedAxis } from '../../model/dayPlan.ts';
import type { SensorPlace, SensorTrack } from '../../model/sensors.ts';
import type { TrialFacts } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import type { CheckedSensor } from './checkSensors.ts';
import { sensorDiagnostic } from './diagnosticCodes.ts';
import { mirrorInto, toWorldInto, worldRows } from './toWorld.ts';

/** One line per kind of unit that the data settled. */
export function tellDetected(sensors: readonly CheckedSensor[], diagnostics: Diagnostic[]): void {
  const clock = sensors.find((one) => /step is/.test(one.settledClock.evidence));
  if (clock !== undefined) {
    diagnostics.push(
      sensorDiagnostic(
        'sensor-units-detected',
        `time is in ${clock.settledClock.unit}: ${clock.settledClock.evidence}`,
      ),
    );
  }
  for (const [word, key] of [
    ['the gyro', 'gyroUnit'],
    ['the accelerometer', 'accUnit'],
  ] as const) {
    const one = sensors.find((sensor) => sensor[key].source === 'detected');
    if (one !== undefined) {
      diagnostics.push(
        sensorDiagnostic('sensor-units-detected', `${word} is in ${one[key].value}: ${one[key].evidence}`),
      );
    }
    const held = sensors.find((sensor) => sensor[key].source === 'insisted');
    if (held !== undefined) {
      diagnostics.push(
        sensorDiagnostic(
          'sensor-units-detected',
          `${word} is read in ${held[key].value} because units is listed under insist; the data say otherwise: ${held[key].evidence}`,
        ),
      );
    }
  }
}

/** The track of one sensor: times from the common zero, a left-hander mirrored, orientations in the world with Y up. Says what was not used. */
export function trackOf(
  sensor: CheckedSensor,
  place: SensorPlace,
  zero_s: number,
  facts: TrialFacts,
  target: SignedAxis | null,
  memory: Workspace | undefined,
  diagnostics: Diagnostic[],
): SensorTrack {
  const clock = sensor.clock!;
  const { rows, name } = clock.sensor;
  const lend = (n: number): Float64Array => memory?.float64(n) ?? new Float64Array(n);
  const mirror = facts.hand.value === 'left';
  const times_s = lend(rows);
  for (let i = 0; i < rows; i += 1) times_s[i] = clock.times_s[i]! - zero_s;
  const taken = (planar: Float64Array | null, kind: 'direction' | 'axial'): Float64Array | null => {
    if (planar === null) return null;
    const out = lend(planar.length);
    out.set(planar);
    if (mirror) mirrorInto(out, rows, kind);
    return out;
  };
  const clipped = memory?.uint8(rows) ?? new Uint8Array(rows);
  clipped.set(sensor.clipped);
  const { orientation } = sensor;
  let R: SensorTrack['orientation'];
  if (orientation.ok) {
    const out = lend(9 * rows);
    toWorldInto(out, orientation.value.R, worldRows(facts.up.value, target), mirror);
    R = present(out);
    tellReading(sensor, name, diagnostics);
  } else {
    R = { ok: false, why: orientation.why };
    if (orientation.why.code === 'quaternions-contradict-gyro' || orientation.why.code === 'quaternions-not-level') {
      diagnostics.push(sensorDiagnostic('quaternions-contradict-gyro', `not used: ${orientation.why.needed}`));
    }
    if (orientation.why.code === 'quaternions-not-unit') {
      diagnostics.push(sensorDiagnostic('quaternions-not-unit', `not used: ${orientation.why.needed}`));
    }
  }
  return {
    place,
    name,
    rate_Hz: clock.rate_Hz,
    times_s,
    gyro: taken(sensor.gyro, 'axial'),
    acc: taken(sensor.acc, 'direction'),
    mag: taken(clock.sensor.mag, 'direction'),
    orientation: R,
    trigger_s: triggerOf(clock.sensor.trigger, times_s),
    clipped,
  };
}

function tellReading(sensor: CheckedSensor, name: string, diagnostics: Diagnostic[]): void {
  const { orientation } = sensor;
  if (!orientation.ok || sensor.raw.matrices !== null) return;
  const { evidence, assumed, orderDetected } = orientation.value;
  if (orderDetected || sensor.raw.quaternionOrder === 'numbers') {
    diagnostics.push(sensorDiagnostic('quaternion-order-assumed', `${name}: ${evidence}`));
  }
  if (assumed) diagnostics.push(sensorDiagnostic('quaternion-direction-assumed', `${name}: ${evidence}`));
}

/** First rising edge through the middle of the signal's range: the first sample at or above it. */
function triggerOf(trigger: Float64Array | null, times_s: Float64Array): number | null {
  if (trigger === null) return null;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of trigger) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (!(high > low)) return null;
  const middle = (low + high) / 2;
  for (let i = 1; i < trigger.length; i += 1) {
    if (trigger[i - 1]! < middle && trigger[i]! >= middle) return times_s[i]!;
  }
  return null;
}
