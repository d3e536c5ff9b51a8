/** From oriented sensors to motion: poses of the segments that carry one, directions of shaft and forearms, shocks. No places. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { formatFixed } from '../base/format.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { Clock } from '../model/clock.ts';
import type { ClubPlan } from '../model/dayPlan.ts';
import {
  type Datum,
  type DirectionId,
  LIMB_SEGMENTS,
  type LimbSegmentId,
  type Motion,
  POINTS,
  type SegmentId,
  type SensorNote,
  TRUNK_SEGMENTS,
  type TrunkSegmentId,
} from '../model/motion.ts';
import type { OrientedSensors, SensorCalibration, SensorPlace, SensorPlan } from '../model/sensors.ts';
import type { Track } from '../model/track.ts';
import type { SensorTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { impossibleAddress } from './sensors/checkAddress.ts';
import { sensorDiagnostic } from './sensors/diagnosticCodes.ts';
import { addressFrames, type Frames } from './sensors/headings.ts';
import { nominalSpeed, segmentRates } from './sensors/nominalSpeed.ts';
import { notesOf, qualityOf } from './sensors/notes.ts';
import {
  fullestFrame,
  type Placed,
  type PlacedSensors,
  placedAt,
  placeSensors,
  zeroAtAddress,
} from './sensors/placed.ts';
import { placeWords } from './sensors/places.ts';
import { shocksOf } from './sensors/shocks.ts';

export interface SensorPoseOptions {
  readonly plan: SensorPlan;
  readonly calibration: Avail<SensorCalibration>;
  /** The club of the trial: its mounting, its length. */
  readonly club: ClubPlan | null;
  readonly height_m: number | null;
}

const NO_PLACES = ['no-places-from-sensors', 'places in space: sensors give orientations only'] as const;
const NO_LINE = 'places in space, of which this line is made: sensors give orientations only';

/**
 * Motion in the player frame. A segment has a pose where its sensor has an orientation and a full mounting, a limb only where the headings are
 * the file's own besides: zeroed one by one they would make every joint angle zero at address. `lead_arm` and `trail_arm` are the
 * forearms' own long axes, elbow to wrist, which their provenance says; the shaft is the club's. Lines and points are absent.
 * Headings are zero at address, over the last 0.1 s of the still stretch (`zeroHeadings` takes P1 where it is found): each segment's turn by
 * itself, or with headings of the file all alike, the pelvis' turn. Shaft and forearms point at the ball there where they are not upright;
 * nothing that is reported rests on that. `trial` is the aligned one; events come to the clock of the motion.
 */
export function sensorPoses(
  trial: SensorTrial,
  oriented: OrientedSensors,
  options: SensorPoseOptions,
  ws: Workspace,
): Outcome<Motion> {
  const { clock, start_s } = oriented;
  const { calibration, club, height_m } = options;
  const address = addressFrames(oriented.still_s, clock.rate_Hz, clock.frames);
  const placed = placeSensors(oriented, calibration, club, ws);
  const tied = options.plan.heading === 'file';
  zeroAtAddress(placed, address, tied);
  const poses = new Map<SegmentId, Avail<Track<9>>>();
  const rates = new Map<TrunkSegmentId, Float64Array>();
  const turning = new Map<SegmentId, Avail<Track<3>>>();
  for (const segment of TRUNK_SEGMENTS) {
    const found = plausible(fullyPlaced(placed, segment), segment, address);
    poses.set(segment, found.ok ? present(poseTrack(found.value)) : found);
    turning.set(segment, found.ok ? present(turningTrack(found.value, clock, ws)) : found);
    const turns = turning.get(segment)!;
    if (!found.ok || !turns.ok || found.value.sensor.track.gyro === null) continue;
    rates.set(segment, turns.value.data.subarray(clock.frames, 2 * clock.frames));
  }
  const notes = notesOf(trial, oriented, placed, poses);
  const diagnostics = told(notes, poses);
  for (const segment of LIMB_SEGMENTS) {
    poses.set(segment, limbPose(placed, segment, tied));
    const found = placedAt(placed, segment);
    turning.set(segment, found.ok ? present(turningTrack(found.value, clock, ws)) : found);
  }
  const speed = nominalSpeed(placed, fullestFrame(placed, address), { height_m, club }, clock, ws);
  return {
    value: {
      head: trial.head,
      clock,
      datum: datumOf(calibration, tied),
      form: poses.get('pelvis')!.ok || poses.get('thorax')!.ok ? 'full' : 'reduced',
      poses,
      directions: directionsOf(placed, ws),
      points: new Map(POINTS.map((id) => [id, absent(...NO_PLACES)])),
      headPoint: absent(...NO_PLACES),
      headZeroed: true,
      headingZero: 'P1',
      headingsTied: tied,
      rates,
      turning,
      shocks: shocksOf(oriented, speed),
      nominalSpeed: speed,
      events: trial.events.map((event) => ({ ...event, time_s: event.time_s - start_s })),
      quality: qualityOf(trial, oriented, notes),
      height_m,
      sensors: notes,
    },
    diagnostics,
  };
}

function datumOf(calibration: Avail<SensorCalibration>, tied: boolean): Datum {
  if (!calibration.ok) return { kind: 'calibration', id: 'not calibrated' };
  const { still, anatomicalFrom } = calibration.value;
  const pose = `calibration ${still}${anatomicalFrom === null ? '' : ` on ${anatomicalFrom}`}`;
  return { kind: 'calibration', id: tied ? `${pose}, headings of the file` : pose };
}

/** A segment whose three axes are known. */
function fullyPlaced(placed: PlacedSensors, place: TrunkSegmentId): Avail<Placed> {
  const found = placedAt(placed, place);
  if (!found.ok || found.value.mounting.hasFlexionAxis) return found;
  const movement = place === 'pelvis' ? 'a pelvic tilt' : 'a bow';
  return absent(
    'no-flexion-axis',
    `${movement} that shows the flexion axis of ${placeWords(place)}, or its facing axis in the day file`,
  );
}

/** A limb's pose: its joint angles are only as good as its heading, which address does not show. */
function limbPose(placed: PlacedSensors, segment: LimbSegmentId, tied: boolean): Avail<Track<9>> {
  const found = placedAt(placed, segment);
  if (!found.ok) return found;
  const words = placeWords(segment);
  if (!tied)
    return absent('no-limb-heading', `${words}’s heading against the trunk: headings of the file (heading: file)`);
  if (!found.value.mounting.hasFlexionAxis)
    return absent('no-flexion-axis', `the facing axis of ${words} in the day file`);
  return present(poseTrack(found.value));
}

/** Absent where the posture at address is none that a player can take. */
function plausible(found: Avail<Placed>, segment: TrunkSegmentId, address: Frames): Avail<Placed> {
  const why = found.ok ? impossibleAddress(segment, found.value, address) : null;
  return why === null ? found : { ok: false, why };
}

/** What of the notes is told with the trial. */
function told(notes: readonly SensorNote[], poses: Motion['poses']): Diagnostic[] {
  return notes.flatMap(({ place, reason, flags, closingTilt_rad }) => {
    const pose = poses.get(place as TrunkSegmentId);
    if (reason !== '') {
      const code = pose?.ok === false && pose.why.code === 'sensor-moved' ? 'sensor-moved' : 'sensor-absent';
      return [sensorDiagnostic(code, `${placeWords(place)}: needs ${reason}`)];
    }
    if (!flags.includes('closing-tilt')) return [];
    const tilt = formatFixed(((closingTilt_rad ?? 0) * 180) / Math.PI, 1);
    return [sensorDiagnostic('closing-tilt', `${placeWords(place)}: ${tilt}° at the finish`)];
  });
}

function poseTrack({ sensor, R }: Placed): Track<9> {
  const { clock, state, noise } = sensor.R;
  return { dimension: 9, clock, data: R, state, noise, provenance: `sensor ${sensor.track.name}` };
}

function turningTrack(placed: Placed, clock: Clock, ws: Workspace): Track<3> {
  const { state } = placed.sensor.R;
  const provenance = `sensor ${placed.sensor.track.name}`;
  return { dimension: 3, clock, data: segmentRates(placed, clock, ws), state, noise: Number.NaN, provenance };
}

function directionsOf(placed: PlacedSensors, ws: Workspace): Motion['directions'] {
  const along = (place: SensorPlace, words: string): Avail<Track<3>> => {
    const found = placedAt(placed, place);
    return found.ok ? present(downTrack(found.value, words, ws)) : found;
  };
  const none = absent<never>(NO_PLACES[0], NO_LINE);
  return new Map<DirectionId, Avail<Track<3>>>([
    ['shaft', along('club', 'shaft')],
    ['lead_arm', along('lead_forearm', 'forearm, elbow to wrist')],
    ['trail_arm', along('trail_forearm', 'forearm, elbow to wrist')],
    ['pelvis_line', none],
    ['shoulder_line', none],
    ['trunk_axis', none],
    ['head_line', none],
    ['eyes_line', none],
    ['ankle_line', none],
    ['toe_line', none],
    ['lead_foot_line', none],
    ['trail_foot_line', none],
  ]);
}

/** −Y of the segment. */
function downTrack({ sensor, R }: Placed, words: string, ws: Workspace): Track<3> {
  const { clock, state, noise } = sensor.R;
  const { frames } = clock;
  const data = ws.float64(3 * frames);
  for (let f = 0; f < frames; f++) for (let c = 0; c < 3; c++) data[c * frames + f] = 0 - R[9 * f + 3 * c + 1]!;
  return { dimension: 3, clock, data, state, noise, provenance: `${words}, sensor ${sensor.track.name}` };
}
