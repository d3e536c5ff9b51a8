/** From landmarks to motion: segment frames, joint centres, lines, the club. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { ClubPlan } from '../model/dayPlan.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import {
  type DirectionId,
  type Motion,
  POINTS,
  type PointId,
  type SegmentId,
  TRUNK_SEGMENTS,
} from '../model/motion.ts';
import type { Track } from '../model/track.ts';
import type { MarkerQuality, PlayerTrial } from '../model/trial.ts';
import { mul3, mulT3 } from '../numeric/rotation.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { bodyPoints, middle } from './shared/bodyPoints.ts';
import { hasMovedMarkers } from './shared/clubBody.ts';
import { clubTracks } from './shared/clubTracks.ts';
import { bestSet } from './shared/landmarkSets.ts';
import { limbPoses } from './shared/limbPoses.ts';
import { SEGMENT_RULES } from './shared/segmentRules.ts';
import { directionTrack, rotationTrack, tracksOf } from './shared/tracks.ts';

export interface SegmentOptions {
  readonly calibration: PlayerCalibration;
  /** The club of the trial, for its head point. */
  readonly club: ClubPlan | null;
  /** Marker quality from the stages before, carried along. */
  readonly quality: readonly MarkerQuality[];
}

/**
 * Motion in the player frame. Pelvis after ISB 2002 (sacrum for the middle of the PSIS where there are none), thorax after ISB 2005
 * (T10 for T8), head technical, zeroed by the calibration where it is made of the same landmarks. Of several sets of landmarks the
 * calibration's, else the one seen most (`bestSet`). Limbs by LIMB_RULES, from the joint centres and landmarks that are there. What lacks its landmarks is absent with their names; nothing else is lost.
 * `form` is 'reduced' where neither pelvis nor thorax has a frame. Club and ball are taken as they are in the trial.
 */
export function segmentPoses(trial: PlayerTrial, options: SegmentOptions, ws: Workspace): Outcome<Motion> {
  const { clock } = trial;
  const { calibration } = options;
  const diagnostics: Diagnostic[] = [];
  const substitutions: string[] = [...trial.head.substitutions];
  const poses = new Map<SegmentId, Avail<Track<9>>>();
  const datum: string[] = [];
  let headZeroed = calibration.head.ok;
  for (const segment of TRUNK_SEGMENTS) {
    const rules = SEGMENT_RULES[segment];
    const rule = bestSet(trial, rules, calibration.sets[segment] ?? null);
    if (segment !== 'head') datum.push(rule.ok ? rule.value.name : rules[0]!.name);
    if (!rule.ok) {
      poses.set(segment, rule);
      diagnostics.push(stageDiagnostic('landmark-missing', `no ${segment} frame: ${rule.why.needed}`));
      continue;
    }
    const tracks = tracksOf(trial, rule.value.landmarks);
    const track = rotationTrack(tracks, rule.value.kernel, clock, rule.value.name, ws);
    // A zero holds for the frame of its own landmarks alone.
    if (segment === 'head' && calibration.head.ok && calibration.sets['head'] !== rule.value.name) headZeroed = false;
    const zero = segment === 'head' && headZeroed && calibration.head.ok ? calibration.head.value : null;
    poses.set(segment, present(zero === null ? track : zeroedHead(track, zero)));
    if (rule.value.substitution !== '') substitutions.push(rule.value.substitution);
  }
  if (poses.get('head')!.ok && !headZeroed) {
    diagnostics.push(stageDiagnostic('head-not-zeroed', 'head angles are changes since P1'));
  }
  const body = bodyPoints(trial, calibration, poses, ws);
  const limbs = limbPoses(trial, calibration, body.points, ws);
  for (const [segment, pose] of limbs.poses) poses.set(segment, pose);
  substitutions.push(...body.substitutions, ...limbs.substitutions);
  if (limbs.missing.length > 0) {
    diagnostics.push(stageDiagnostic('limb-missing', `no frame of ${limbs.missing.join('; ')}`));
  }
  for (const substitution of substitutions) diagnostics.push(stageDiagnostic('substitution', substitution));
  const club = clubTracks(trial, options.club, ws);
  if (!club.body.ok && hasMovedMarkers(club.body)) {
    diagnostics.push(stageDiagnostic('head-markers-moved', `needs ${club.body.why.needed}`));
  }
  const points = body.points;
  points.set('head_point', club.head);
  points.set('club_grip', club.grip);
  points.set('ball', club.ball);
  for (const [joint, regression] of [
    ['hips', calibration.hips.ok ? calibration.hips.value.regression : ''],
    ['shoulders', calibration.shoulders.ok ? calibration.shoulders.value.regression : ''],
  ] as const) {
    if (regression !== '') datum.push(`${joint} ${regression}`);
  }
  const form = poses.get('pelvis')!.ok || poses.get('thorax')!.ok ? 'full' : 'reduced';
  return {
    value: {
      head: { ...trial.head, substitutions: [...new Set(substitutions)] },
      clock,
      datum: { kind: 'anatomical', id: form === 'full' ? datum.join('; ') : 'joint centres' },
      form,
      poses,
      directions: directionsOf(trial, points, club.shaft, ws),
      landmarks: trial.points,
      points: new Map(POINTS.map((id) => [id, points.get(id) ?? absent('landmark-missing', `the ${id}`)])),
      headPoint: club.headPoint,
      clubBody: club.body,
      headZeroed,
      events: trial.events,
      quality: options.quality,
      ...(trial.forces === undefined ? {} : { forces: trial.forces }),
      height_m: calibration.height_m,
    },
    diagnostics,
  };
}

/** R_player_head = R_player_technical · R_technical_head, in the track's own memory; the noise of the axes turns with it (no covariance). */
function zeroedHead(track: Track<9>, zero: readonly number[]): Track<9> {
  const { data, clock, axisNoise_rad } = track;
  const R_technical_head = Float64Array.from(zero);
  const R = new Float64Array(9);
  for (let f = 0; f < clock.frames; f++) {
    mul3(data, 9 * f, R_technical_head, 0, R, 0);
    for (let i = 0; i < 9; i++) data[9 * f + i] = R[i]!;
  }
  if (axisNoise_rad === undefined) return track;
  const about = (axis: 0 | 1 | 2): number =>
    Math.hypot(zero[axis]! * axisNoise_rad[0], zero[3 + axis]! * axisNoise_rad[1], zero[6 + axis]! * axisNoise_rad[2]);
  return { ...track, axisNoise_rad: [about(0), about(1), about(2)], ...turnedAxes(track, R_technical_head) };
}

/** What a track is made of, seen along axes that the rotation `zero` turns: Zᵀ · turns · Z. */
function turnedAxes({ madeOf }: Track<9>, zero: Float64Array): Pick<Track<9>, 'madeOf'> {
  if (madeOf?.kind !== 'frame') return {};
  const between = new Float64Array(9);
  const turned = (turns: Float64Array): Float64Array => {
    const out = new Float64Array(turns.length);
    for (let k = 0; k < turns.length; k += 9) {
      mulT3(zero, 0, turns, k, between, 0);
      mul3(between, 0, zero, 0, out, k);
    }
    return out;
  };
  const { turns, turnsAt } = madeOf;
  return {
    madeOf: {
      ...madeOf,
      turns: turns === null ? null : turned(turns),
      turnsAt: (frame) => turned(turnsAt(frame)),
    },
  };
}

function directionsOf(
  trial: PlayerTrial,
  points: Map<PointId, Avail<Track<3>>>,
  shaft: Avail<Track<3>>,
  ws: Workspace,
): ReadonlyMap<DirectionId, Avail<Track<3>>> {
  const between = (a: Avail<Track<3>>, b: Avail<Track<3>>, provenance: string): Avail<Track<3>> => {
    if (!a.ok) return a;
    if (!b.ok) return b;
    return present(directionTrack(a.value, b.value, a.value.clock, provenance, ws));
  };
  const line = (a: PointId, b: PointId): Avail<Track<3>> => between(points.get(a)!, points.get(b)!, `${a} to ${b}`);
  const ofLandmarks = (a: LandmarkId, b: LandmarkId): Avail<Track<3>> => {
    const both = bestSet(trial, [{ landmarks: [a, b] }]);
    if (!both.ok) return both;
    const [from, to] = tracksOf(trial, [a, b]) as [Track<3>, Track<3>];
    return between(present(from), present(to), `${a} to ${b}`);
  };
  const midShoulder = middle(points, 'lead_shoulder', 'trail_shoulder', 'midpoint of the shoulder centres', ws);
  return new Map<DirectionId, Avail<Track<3>>>([
    ['shaft', shaft],
    ['lead_arm', line('lead_shoulder', 'lead_wrist')],
    ['trail_arm', line('trail_shoulder', 'trail_wrist')],
    ['pelvis_line', line('lead_hip', 'trail_hip')],
    ['shoulder_line', line('lead_shoulder', 'trail_shoulder')],
    ['trunk_axis', between(points.get('pelvis_centre')!, midShoulder, 'pelvis centre to mid-shoulder')],
    ['head_line', ofLandmarks('lead_EAR', 'trail_EAR')],
    ['eyes_line', ofLandmarks('lead_ORBIT', 'trail_ORBIT')],
    ['ankle_line', line('lead_ankle', 'trail_ankle')],
    ['toe_line', line('lead_toe', 'trail_toe')],
    ['lead_foot_line', line('lead_heel', 'lead_toe')],
    ['trail_foot_line', line('trail_heel', 'trail_toe')],
  ]);
}
