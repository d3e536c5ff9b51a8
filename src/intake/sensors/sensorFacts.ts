/** Facts of a recording of sensors: it has no lengths, no target line and, without orientations of its own, no axes in space. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import { type Avail, absent, present } from '../../model/availability.ts';
import type { Hand, SignedAxis } from '../../model/dayPlan.ts';
import type { Fact, TrialFacts } from '../../model/trial.ts';
import { median } from '../../numeric/statistics.ts';
import { angleBetween } from '../../numeric/vector.ts';
import { axisVector, nearestAxis } from '../detectFacts.ts';
import { intakeDiagnostic } from '../diagnosticCodes.ts';
import type { CheckedSensor } from './checkSensors.ts';
import { sensorDiagnostic } from './diagnosticCodes.ts';
import { DEG } from './signals/tiltFit.ts';

export interface FactInputs {
  readonly sensors: readonly CheckedSensor[];
  readonly up: SignedAxis | null;
  readonly target: SignedAxis | null;
  readonly hand: Hand | null;
  readonly insistUp: boolean;
  readonly insistRate: boolean;
  readonly rate_Hz: number | null;
  /** The up axis by places or a side-car of the recording, or null. */
  readonly fileUp: { readonly value: SignedAxis; readonly evidence: string } | null;
  readonly headingOfFile: boolean;
}

export interface SensorFacts {
  readonly facts: TrialFacts;
  readonly diagnostics: readonly Diagnostic[];
}

/** Where sensors of one recording disagree by more, their world is not one. */
const SAME_UP_rad = 15 * DEG;

/** Settles the facts; refused where a set up axis contradicts gravity, or sensors disagree about it. */
export function settleSensorFacts(inputs: FactInputs): Avail<SensorFacts> {
  const diagnostics: Diagnostic[] = [];
  const up = settleUp(inputs, diagnostics);
  if (!up.ok) return up;
  const rates = inputs.sensors.map((one) => one.clock?.rate_Hz ?? Number.NaN).filter(Number.isFinite);
  const { hand } = inputs;
  if (hand === null) {
    diagnostics.push(intakeDiagnostic('hand-assumed', 'handedness is not set; right is assumed'));
  }
  const stamped = inputs.sensors.some((one) => one.clock?.fromStamps === true);
  const insisted = inputs.insistRate && inputs.rate_Hz !== null;
  const target = inputs.target;
  const level = target !== null && target[1] !== up.value.value[1] && inputs.headingOfFile;
  return present({
    facts: {
      units: { value: 'm', source: 'assumed', evidence: 'a recording of sensors has no lengths' },
      rate_Hz: {
        value: median(rates),
        source: insisted ? 'insisted' : stamped ? 'detected' : inputs.rate_Hz === null ? 'file' : 'set',
        evidence: stamped
          ? `median of ${rates.length} ${rates.length === 1 ? 'sensor' : 'sensors'} by their time stamps${spread(rates)}`
          : inputs.rate_Hz === null
            ? 'the file; there are no time stamps'
            : 'the day file',
      },
      up: up.value,
      target: level
        ? { value: target, source: 'set', evidence: 'the day file' }
        : { value: target ?? '+X', source: 'assumed', evidence: 'heading zero at address' },
      hand:
        hand === null
          ? { value: 'right', source: 'assumed', evidence: 'not set' }
          : { value: hand, source: 'set', evidence: 'the day file' },
      mirrored: { value: false, source: 'assumed', evidence: 'a recording of sensors has no frame in space' },
    },
    diagnostics,
  });
}

function spread(rates: readonly number[]): string {
  const least = Math.min(...rates);
  const most = Math.max(...rates);
  return most - least > 0.005 * most ? `, ${formatFixed(least, 1)} to ${formatFixed(most, 1)} Hz` : '';
}

function settleUp(inputs: FactInputs, diagnostics: Diagnostic[]): Avail<Fact<SignedAxis>> {
  const oriented = inputs.sensors.filter((one) => one.orientation.ok && one.problems.length === 0);
  if (oriented.length === 0) {
    return present({
      value: inputs.up ?? '+Y',
      source: 'assumed',
      evidence: 'a recording of sensors has no axes in space; up is against gravity',
    });
  }
  const seen = oriented.flatMap(({ raw, orientation }) =>
    orientation.ok && orientation.value.up !== null ? [{ name: raw.name, up: orientation.value.up }] : [],
  );
  let shown = inputs.fileUp;
  if (seen.length > 0) {
    const mean: [number, number, number] = [0, 0, 0];
    for (const { up } of seen) for (let axis = 0; axis < 3; axis += 1) mean[axis]! += up[axis]! / seen.length;
    const { axis } = nearestAxis(mean);
    const off = seen.find(({ up }) => angleBetween(up, axisVector(axis)) > SAME_UP_rad);
    if (off !== undefined) {
      return absent(
        'up-disagrees',
        `one world for all sensors: gravity at rest points along ${axis} by most, along ${nearestAxis(off.up).axis} by the quaternions of ${off.name}; set use_quaternions: no under sensors in the day file, or correct the export`,
      );
    }
    shown = {
      value: axis,
      evidence: `gravity at rest points along ${axis} by the quaternions of ${seen.length} sensors`,
    };
  }
  if (inputs.up !== null) {
    if (shown === null || shown.value === inputs.up) {
      const evidence = shown === null ? 'the day file' : `the day file; ${shown.evidence}`;
      return present({ value: inputs.up, source: 'set', evidence });
    }
    if (inputs.insistUp) {
      diagnostics.push(intakeDiagnostic('insisted-against-data', `up ${inputs.up} is used; ${shown.evidence}`));
      return present({ value: inputs.up, source: 'insisted', evidence: shown.evidence });
    }
    return absent(
      'conflict-up',
      `the day file sets up ${inputs.up}, the data show ${shown.value} (${shown.evidence}); correct the day file, or list up under insist to hold the set value`,
    );
  }
  if (shown !== null) return present({ value: shown.value, source: 'detected', evidence: shown.evidence });
  diagnostics.push(
    sensorDiagnostic(
      'world-up-assumed',
      'the up axis of the orientations is neither set nor shown by gravity; +Z was assumed',
    ),
  );
  return present({ value: '+Z', source: 'assumed', evidence: 'neither set nor shown by gravity' });
}
