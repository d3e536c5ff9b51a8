/** What is said of each sensor of a trial: for the quality table and the report. */

import type { Motion, SegmentId, SensorNote } from '../../model/motion.ts';
import {
  CLIPPED_ACC,
  CLIPPED_GYRO,
  type OrientedSensor,
  type OrientedSensors,
  type SensorTrack,
} from '../../model/sensors.ts';
import { FILLED_CUBIC, MEASURED, MISSING } from '../../model/track.ts';
import type { MarkerQuality, SensorTrial } from '../../model/trial.ts';
import { norm } from '../../numeric/vector.ts';
import type { PlacedSensors } from './placed.ts';

/** A finish is not quite still, so that gravity is felt a degree or two off (choice of this program; no source). */
const CLOSING_TILT_rad = (3 * Math.PI) / 180;

/** One note for each sensor, in the order of the trial; `poses`: of the segments that have one when all three axes are known. */
export function notesOf(
  trial: SensorTrial,
  oriented: OrientedSensors,
  placed: PlacedSensors,
  poses: Motion['poses'],
): SensorNote[] {
  return [...trial.sensors].map(([place, track]) => {
    const sensor = oriented.sensors.get(place);
    const mounted = placed.get(place);
    const known = sensor?.ok ? sensor.value : null;
    const pose = poses.get(place as SegmentId);
    const why = [mounted, sensor, pose].find((one) => one?.ok === false);
    return {
      place,
      name: track.name,
      method: known?.method ?? null,
      bias_radPerS: known?.bias_radPerS ? norm(known.bias_radPerS) : null,
      driftBound_rad: known?.driftBound_rad ?? null,
      closingTilt_rad: known?.closingTilt_rad ?? null,
      flags: flagsOf(track, known),
      reason: why?.ok === false ? why.why.needed : '',
    };
  });
}

function flagsOf(track: SensorTrack, sensor: OrientedSensor | null): string[] {
  const flags: string[] = [];
  let clipped = 0;
  for (const bits of track.clipped) clipped |= bits;
  if ((clipped & CLIPPED_GYRO) !== 0) flags.push('gyro-clipped');
  if ((clipped & CLIPPED_ACC) !== 0) flags.push('acc-clipped');
  const tilt = sensor?.closingTilt_rad ?? null;
  if (tilt !== null && tilt > Math.max(CLOSING_TILT_rad, 2 * (sensor?.driftBound_rad ?? 0))) flags.push('closing-tilt');
  return flags;
}

/** Rows of the quality table: `sensor <name>`, frames of the common clock (of the sensor's own where it has no orientation). */
export function qualityOf(
  trial: SensorTrial,
  oriented: OrientedSensors,
  notes: readonly SensorNote[],
): MarkerQuality[] {
  return notes.map(({ place, name, flags }) => {
    const sensor = oriented.sensors.get(place);
    const row = { marker: `sensor ${name}`, noise_m: Number.NaN, flags };
    if (sensor?.ok !== true) {
      const frames = trial.sensors.get(place)!.times_s.length;
      return { ...row, frames, missing: frames, filled: 0, longestGap_s: frames / trial.sensors.get(place)!.rate_Hz };
    }
    const { state, clock } = sensor.value.R;
    let missing = 0;
    let filled = 0;
    let run = 0;
    let longest = 0;
    for (let f = 0; f < clock.frames; f++) {
      if (state[f] === MISSING) missing += 1;
      if (state[f]! >= FILLED_CUBIC) filled += 1;
      run = state[f] === MEASURED ? 0 : run + 1;
      longest = Math.max(longest, run);
    }
    return { ...row, frames: clock.frames, missing, filled, longestGap_s: longest / clock.rate_Hz };
  });
}
