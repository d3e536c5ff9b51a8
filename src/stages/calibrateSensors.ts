/** How a player's sensors sit on body and club, once for all trials of a still pose. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { type Avail, present } from '../model/availability.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { ClubPlan, PlayerPlan } from '../model/dayPlan.ts';
import { TRUNK_SEGMENTS, type TrunkSegmentId } from '../model/motion.ts';
import type {
  Movement,
  SensorCalibration,
  SensorMounting,
  SensorPlace,
  SensorPlan,
  StandingPose,
} from '../model/sensors.ts';
import type { PlayerTrial, SensorTrial } from '../model/trial.ts';
import { anglesFromRotation, rotationFromAngles } from '../numeric/eulerAngles.ts';
import { meanRotation, mul3 } from '../numeric/rotation.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { clubMounting } from './sensors/clubMountings.ts';
import { sensorDiagnostic } from './sensors/diagnosticCodes.ts';
import { bodyMounting, checkTurn, type MovementRecorded, type Recorded } from './sensors/mountings.ts';
import { filePlaceOf, placeWords, sensorAxis } from './sensors/places.ts';
import { bestSet } from './shared/landmarkSets.ts';
import { SEGMENT_RULES } from './shared/segmentRules.ts';
import { rotationTrack, tracksOf } from './shared/tracks.ts';

export interface SensorCalibrationInput {
  readonly player: PlayerPlan;
  readonly still: SensorTrial;
  readonly movements: readonly { readonly movement: Movement; readonly trial: SensorTrial }[];
  readonly hanging: readonly { readonly club: string; readonly trial: SensorTrial }[];
  readonly clubs: readonly ClubPlan[];
  readonly plan: SensorPlan;
  /** From the player's marker static trial; null where there is none. */
  readonly standing: StandingPose | null;
}

/** Movements that turn a segment about its flexion axis, the better first; a bow turns the pelvis too, but less surely. */
const FLEXES: Readonly<Record<TrunkSegmentId, readonly Movement[]>> = {
  pelvis: ['pelvic-tilt', 'bow'],
  thorax: ['bow'],
  head: ['bow'],
};

/**
 * Mountings from gravity in the still pose and the axis of a movement: Y up, X = Y × axis, Z = X × Y. A bow shows the axis of thorax and
 * head, a pelvic tilt that of the pelvis (without one the bow, which also tells forward from backward); limbs have their long axis from the pose, arms hanging, and a flexion axis
 * only by the sensor axis that is said to face forward. A turn on the spot checks the long axis. With a standing pose of the markers the
 * segments have its forward and side bend in the still pose, otherwise none. What is not clean is absent with its numbers, or a warning.
 */
export function calibrateSensors(input: SensorCalibrationInput, ws: Workspace): Outcome<SensorCalibration> {
  const { player, still, plan, standing } = input;
  const hand = still.head.facts.hand.value;
  const diagnostics: Diagnostic[] = [];
  const mountings = new Map<SensorPlace, Avail<SensorMounting>>();
  let isAnatomical = false;
  for (const [place, track] of still.sensors) {
    if (place === 'club') continue;
    const pose: Recorded = { trial: still.head.trial, track };
    const facing = plan.facing[filePlaceOf(place, hand)];
    const axis = facing === undefined ? null : sensorAxis(facing, hand);
    let mounting = bodyMounting(place, pose, movementsOf(place, input), axis, diagnostics, ws);
    for (const turn of recordedAs(place, 'turn', input)) checkTurn(place, pose, turn, diagnostics, ws);
    if (!mounting.ok) {
      const words = `${placeWords(place)} needs ${mounting.why.needed}`;
      diagnostics.push(sensorDiagnostic('mounting-missing', words));
    } else if (standing !== null && isSegment(place) && mounting.value.hasFlexionAxis) {
      const bends = standing.segments[place];
      if (bends === undefined) {
        const words = `${placeWords(place)} is zero in ${still.head.trial}: ${standing.trial} does not show its bend`;
        diagnostics.push(sensorDiagnostic('anatomical-offset-missing', words));
      } else {
        mounting = present(bentInPose(mounting.value, bends));
        isAnatomical = true;
      }
    }
    mountings.set(place, mounting);
  }
  const clubs = new Map<string, Avail<SensorMounting>>();
  for (const { id, sensorShaft } of input.clubs) {
    const hanging = input.hanging.flatMap(({ club, trial }) => {
      const track = trial.sensors.get('club');
      return club === id && track !== undefined ? [{ trial: trial.head.trial, track }] : [];
    });
    const declared = sensorShaft === null ? null : sensorAxis(sensorShaft, hand);
    clubs.set(id, clubMounting(id, hanging, declared, diagnostics, ws));
  }
  return {
    value: {
      player: player.id,
      still: still.head.trial,
      mountings,
      clubs,
      anatomicalFrom: isAnatomical && standing !== null ? standing.trial : null,
    },
    diagnostics,
  };
}

function isSegment(place: SensorPlace): place is TrunkSegmentId {
  return (TRUNK_SEGMENTS as readonly string[]).includes(place);
}

/** The recordings of movements that serve the place, the better first. */
function movementsOf(place: SensorPlace, input: SensorCalibrationInput): readonly MovementRecorded[] {
  return isSegment(place) ? FLEXES[place].flatMap((movement) => recordedAs(place, movement, input)) : [];
}

function recordedAs(place: SensorPlace, movement: Movement, input: SensorCalibrationInput): MovementRecorded[] {
  return input.movements.flatMap((one) => {
    const track = one.trial.sensors.get(place);
    return one.movement === movement && track !== undefined ? [{ trial: one.trial.head.trial, track, movement }] : [];
  });
}

/** The mounting whose segment has these bends in the still pose: R_sensor_segment · Rx(side bend) · Rz(−forward bend). */
function bentInPose(
  mounting: SensorMounting,
  bends: { readonly forwardBend_rad: number; readonly sideBend_rad: number },
): SensorMounting {
  const bent = new Float64Array(9);
  const R = new Float64Array(9);
  rotationFromAngles(0, bends.sideBend_rad, -bends.forwardBend_rad, 'YXZ', bent);
  mul3(Float64Array.from(mounting.R_sensor_segment), 0, bent, 0, R, 0);
  return { ...mounting, R_sensor_segment: Array.from(R) };
}

/**
 * Forward and side bend of pelvis and thorax in a static trial of markers, means over its frames (definitions 2: turn taken off first), and
 * zero for a head that the trial zeroes. Segments whose landmarks are missing are left out.
 */
export function standingPose(trial: PlayerTrial, calibration: PlayerCalibration, ws: Workspace): StandingPose {
  const segments: { -readonly [S in TrunkSegmentId]?: { forwardBend_rad: number; sideBend_rad: number } } = {};
  const angles = new Float64Array(3);
  for (const segment of ['pelvis', 'thorax'] as const) {
    const rule = bestSet(trial, SEGMENT_RULES[segment], calibration.sets[segment] ?? null);
    if (!rule.ok) continue;
    const { landmarks, kernel, name } = rule.value;
    const track = rotationTrack(tracksOf(trial, landmarks), kernel, trial.clock, name, ws);
    const mean = meanRotation(track.data, trial.clock.frames);
    if (Number.isNaN(mean[0])) continue;
    anglesFromRotation(mean, 0, 'YXZ', angles);
    segments[segment] = { forwardBend_rad: 0 - angles[2]!, sideBend_rad: angles[1]! };
  }
  if (calibration.head.ok) segments.head = { forwardBend_rad: 0, sideBend_rad: 0 };
  return { trial: trial.head.trial, segments };
}
