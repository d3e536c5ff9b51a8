/** The sensors of a trial on their segments: rotations of segments in the player frame, with what they are made of. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Vec3 } from '../../model/calibration.ts';
import type { ClubPlan } from '../../model/dayPlan.ts';
import type {
  OrientedSensor,
  OrientedSensors,
  SensorCalibration,
  SensorMounting,
  SensorPlace,
} from '../../model/sensors.ts';
import { applyT3, isRotationPresent, mul3 } from '../../numeric/rotation.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { type Frames, pointingOf, takeTurnOff, turnOf } from './headings.ts';
import { placeWords } from './places.ts';

/** A sensor with its mounting. */
export interface Placed {
  readonly place: SensorPlace;
  readonly sensor: OrientedSensor;
  readonly mounting: SensorMounting;
  /** R_player_segment, nine numbers a frame. */
  readonly R: Float64Array;
}

export type PlacedSensors = ReadonlyMap<SensorPlace, Avail<Placed>>;

/** The sensor of a place, or why there is none. */
export function placedAt(sensors: PlacedSensors, place: SensorPlace): Avail<Placed> {
  return sensors.get(place) ?? absent('no-sensor', `a sensor on ${placeWords(place)}`);
}

/** The mounting of a place: the club's by the club of the trial. */
export function mountingOf(
  calibration: SensorCalibration,
  place: SensorPlace,
  club: ClubPlan | null,
): Avail<SensorMounting> {
  if (place === 'club') {
    if (club === null) return absent('no-club-named', 'the club of the trial in the day file');
    return calibration.clubs.get(club.id) ?? absent('no-club-mounting', `how the sensor sits on ${club.id}`);
  }
  return (
    calibration.mountings.get(place) ??
    absent('not-calibrated', `${placeWords(place)} in the still pose ${calibration.still}`)
  );
}

/** Sensors that have orientation and mounting, their headings still their own. */
export function placeSensors(
  oriented: OrientedSensors,
  calibration: Avail<SensorCalibration>,
  club: ClubPlan | null,
  ws: Workspace,
): Map<SensorPlace, Avail<Placed>> {
  const { frames } = oriented.clock;
  const placed = new Map<SensorPlace, Avail<Placed>>();
  for (const [place, sensor] of oriented.sensors) {
    const mounting = calibration.ok ? mountingOf(calibration.value, place, club) : calibration;
    if (!sensor.ok || !mounting.ok) {
      placed.set(place, sensor.ok ? (mounting as Avail<never>) : sensor);
      continue;
    }
    const R = ws.float64(9 * frames);
    const R_sensor_segment = Float64Array.from(mounting.value.R_sensor_segment);
    for (let f = 0; f < frames; f++) mul3(sensor.value.R.data, 9 * f, R_sensor_segment, 0, R, 9 * f);
    placed.set(place, present({ place, sensor: sensor.value, mounting: mounting.value, R }));
  }
  return placed;
}

/**
 * Headings of a trial whose sensors share none: at address each segment faces the ball (turn 0), and shaft and limbs point at it where they are
 * more than 10° from the vertical. With `tied` headings all are turned alike, so that the pelvis (else the thorax, else the first there is)
 * faces the ball.
 */
export function zeroAtAddress(placed: PlacedSensors, address: Frames, tied: boolean): void {
  const zeroOf = ({ mounting, R }: Placed): number =>
    mounting.hasFlexionAxis ? turnOf(R, address) : pointingOf(R, address);
  const all = [...placed.values()].flatMap((one) => (one.ok ? [one.value] : []));
  const leader =
    (['pelvis', 'thorax'] as const).flatMap((place) => all.filter((one) => one.place === place))[0] ?? all[0];
  const common = tied && leader !== undefined ? zeroOf(leader) : null;
  for (const one of all) {
    const turn = common ?? zeroOf(one);
    if (!Number.isNaN(turn)) takeTurnOff(one.R, turn);
  }
}

/** The last frame of an address in which most sensors are there. */
export function fullestFrame(placed: PlacedSensors, [from, to]: Frames): number {
  let best = to;
  let most = -1;
  for (let f = to; f >= from; f--) {
    let there = 0;
    for (const one of placed.values()) if (one.ok && isRotationPresent(one.value.R, 9 * f)) there += 1;
    if (there > most) {
      most = there;
      best = f;
    }
  }
  return best;
}

/** A vector of the segment's axes that is `v` in the player frame at the frame. */
export function inSegment({ R }: Placed, frame: number, v: Vec3): Vec3 {
  const out: [number, number, number] = [0, 0, 0];
  applyT3(R, 9 * frame, v, out);
  return out;
}
