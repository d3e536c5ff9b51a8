import type { Diagnostic } from '../../base/diagnostics.ts';
import type { C3dFile, C3dRotations } from '../../c3d/types.ts';
import { type Avail, absent, present } from '../../model/availability.ts';
import type { SignedAxis } from '../../model/dayPlan.ts';
import { nearestAxis } from '../detectFacts.ts';
import type { RawSensor } from './columns/rawSensor.ts';
import type { FoundSensors } from './columns/tableSensors.ts';
import { sensorDiagnostic } from './diagnosticCodes.ts';
import { placeOfName } from './placeNames.ts';

/** A rotation's label without what says that it is a 4 × 4 matrix. */
export function rotationName(label: string): string {
  return label.trim().replace(/[\s_]*4\s*[xX]\s*4$/, '');
}

/** Rotations of a C3D file, each as a sensor that has an orientation alone. */
export function sensorsOfRotations(file: C3dFile, shownName: string, rate_Hz: number | null): Avail<FoundSensors> {
  const rotations = file.rotationData;
  if (rotations === null || rotations.labels.length === 0 || rotations.frames === 0) {
    return absent('no-rotations', `rotations: ${shownName} holds none; a C3D file of markers is read as markers`);
  }
  const stated = Number.isFinite(rotations.rate_Hz) && rotations.rate_Hz > 0 ? rotations.rate_Hz : file.rate_Hz;
  const diagnostics: Diagnostic[] = [
    sensorDiagnostic(
      'rotations-used',
      `${shownName}: ${rotations.labels.length} rotations of ${rotations.frames} samples were used as orientations`,
    ),
  ];
  const sensors = rotations.labels.map(
    (label, index): RawSensor => ({
      name: rotationName(label) || `rotation ${index + 1}`,
      file: shownName,
      rows: rotations.frames,
      columns: { time: null, gyro: null, acc: null, mag: null, quaternion: null, trigger: null },
      time: null,
      gyro: null,
      acc: null,
      mag: null,
      quaternion: null,
      quaternionOrder: 'letters',
      trigger: null,
      matrices: rotations.matrices.slice(9 * index * rotations.frames, 9 * (index + 1) * rotations.frames),
      units: { time: '', gyro: '', acc: '' },
      rate_Hz: rate_Hz ?? stated,
    }),
  );
  return present({ sensors, diagnostics });
}

const UPPER: ReadonlySet<string> = new Set(['head', 'thorax']);
const LOWER: ReadonlySet<string> = new Set([
  'pelvis',
  'left_shank',
  'right_shank',
  'left_foot',
  'right_foot',
  'left_thigh',
  'right_thigh',
]);

/** The up axis by the places stored with the rotations: head and chest above pelvis and legs; null where they do not show it. */
export function upOfRotations(
  rotations: C3dRotations,
): { readonly value: SignedAxis; readonly evidence: string } | null {
  const upper: number[] = [];
  const lower: number[] = [];
  rotations.labels.forEach((label, index) => {
    const { place } = placeOfName(rotationName(label));
    if (place !== null && UPPER.has(place)) upper.push(index);
    if (place !== null && LOWER.has(place)) lower.push(index);
  });
  if (upper.length === 0 || lower.length === 0) return null;
  const a = meanPlace(rotations, upper);
  const b = meanPlace(rotations, lower);
  if (a === null || b === null) return null;
  const { axis, share } = nearestAxis([a[0] - b[0], a[1] - b[1], a[2] - b[2]]);
  return share < 0.75 ? null : { value: axis, evidence: `head and chest lie above pelvis and legs along ${axis}` };
}

function meanPlace(rotations: C3dRotations, indices: readonly number[]): [number, number, number] | null {
  const sum: [number, number, number] = [0, 0, 0];
  let count = 0;
  for (const index of indices) {
    for (let frame = 0; frame < rotations.frames; frame += 1) {
      const at = 3 * (index * rotations.frames + frame);
      const x = rotations.translations[at]!;
      const y = rotations.translations[at + 1]!;
      const z = rotations.translations[at + 2]!;
      if (!Number.isFinite(x + y + z)) continue;
      sum[0] += x;
      sum[1] += y;
      sum[2] += z;
      count += 1;
    }
  }
  return count === 0 ? null : [sum[0] / count, sum[1] / count, sum[2] / count];
}
