/** The club as measured: grip, head point, shaft. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { ClubPlan } from '../../model/dayPlan.ts';
import type { ClubLandmark, LandmarkId } from '../../model/landmarks.ts';
import type { HeadPoint } from '../../model/motion.ts';
import { MISSING, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { clubBodyTrack, HEAD_MARKERS, hasMovedMarkers, isReflected } from './clubBody.ts';
import { hasLandmark } from './landmarkGroups.ts';
import { areSeenTogether, firstSeen } from './landmarkSets.ts';
import { combinedState, combinedWidening, directionTrack, gather, tracksOf } from './tracks.ts';

export interface ClubTracks {
  readonly grip: Avail<Track<3>>;
  readonly head: Avail<Track<3>>;
  readonly headPoint: Avail<HeadPoint>;
  readonly shaft: Avail<Track<3>>;
  readonly ball: Avail<Track<3>>;
  /** R_trial_club of the three head markers. */
  readonly body: Avail<Track<9>>;
}

/** Club and ball in the trial's frame. The shaft runs from the grip to the lower shaft marker, else to the first head marker that is seen. */
export function clubTracks(trial: MarkerTrial, club: ClubPlan | null, ws: Workspace): ClubTracks {
  const grip = single(trial, 'CLUB_GRIP');
  const tip = firstSeen(trial, ['CLUB_SHAFT', ...HEAD_MARKERS]);
  const shaft =
    grip.ok && tip !== null
      ? present(directionTrack(grip.value, tracksOf(trial, [tip])[0]!, trial.clock, `CLUB_GRIP to ${tip}`, ws))
      : absent<Track<3>>(
          'landmark-missing',
          grip.ok ? 'CLUB_SHAFT or a club head marker' : tip === null ? 'CLUB_GRIP and CLUB_SHAFT' : 'CLUB_GRIP',
        );
  const body = clubBodyTrack(trial, club?.headSides_m ?? null, ws);
  const { head, headPoint } = headOf(trial, club, hasMovedMarkers(body), ws);
  return { grip, head, headPoint, shaft, ball: single(trial, 'BALL'), body };
}

function single(trial: MarkerTrial, id: LandmarkId): Avail<Track<3>> {
  return hasLandmark(trial, id) ? present(tracksOf(trial, [id])[0]!) : absent('landmark-missing', id);
}

/** The face centre where it is given, the head markers lie where it holds and are seen together; otherwise one named marker (definitions 5). */
function headOf(
  trial: MarkerTrial,
  club: ClubPlan | null,
  isElsewhere: boolean,
  ws: Workspace,
): { readonly head: Avail<Track<3>>; readonly headPoint: Avail<HeadPoint> } {
  if (club?.faceCentre_mm != null && !isElsewhere && areSeenTogether(trial, HEAD_MARKERS)) {
    const reflected = isReflected(trial.head);
    const [x, y, z] = club.faceCentre_mm;
    const head = faceCentre(trial, [x / 1000, y / 1000, (reflected ? -z : z) / 1000], ws);
    return { head: present(head), headPoint: present({ kind: 'face-centre', id: 'face-centre' }) };
  }
  const chosen = club?.headPoint ?? null;
  const id =
    chosen !== null && hasLandmark(trial, chosen as LandmarkId)
      ? (chosen as ClubLandmark)
      : firstSeen<ClubLandmark>(trial, [...HEAD_MARKERS, 'CLUB_SHAFT']);
  if (id === null) {
    const why = absent<never>('landmark-missing', 'a club head marker or CLUB_SHAFT');
    return { head: why, headPoint: why };
  }
  return {
    head: single(trial, id),
    headPoint: present({ kind: 'marker', id: `marker:${trial.head.club ?? ''}:${id}` }),
  };
}

/**
 * A point of the frame of three head markers: origin the first, x toward the second, z = x × (third − first) normalised, y = z × x.
 * The caller gives z with the other sign for a trial that was reflected (`isReflected`).
 */
function faceCentre(trial: MarkerTrial, place_m: readonly [number, number, number], ws: Workspace): Track<3> {
  const tracks = tracksOf(trial, HEAD_MARKERS);
  const { frames } = trial.clock;
  const data = ws.float64(3 * frames);
  const p = ws.float64(9);
  const at = ws.float64(3);
  const state = combinedState(tracks, frames, ws);
  let middle = -1;
  for (let f = 0; f < frames; f++) {
    gather(tracks, frames, f, p);
    pointOfThree(p, place_m, at);
    for (let c = 0; c < 3; c++) data[c * frames + f] = at[c]!;
    if (Number.isNaN(at[0])) state[f] = MISSING;
    else if (middle < 0 || f <= frames / 2) middle = f;
  }
  let noise = Number.NaN;
  if (middle >= 0) {
    gather(tracks, frames, middle, p);
    noise = pointNoise(
      p,
      place_m,
      tracks.map((track) => track.noise),
    );
  }
  const provenance = 'face centre from three head markers';
  const widening = combinedWidening(tracks, frames, ws);
  return { dimension: 3, clock: trial.clock, data, state, noise, ...widening, builtOn: tracks, provenance };
}

/** The point `place` of the frame of three markers (nine numbers). */
export function pointOfThree(
  p: ArrayLike<number>,
  place: readonly [number, number, number],
  out: number[] | Float64Array,
): void {
  let ux = p[3]! - p[0]!;
  let uy = p[4]! - p[1]!;
  let uz = p[5]! - p[2]!;
  const un = 1 / Math.sqrt(ux * ux + uy * uy + uz * uz);
  ux *= un;
  uy *= un;
  uz *= un;
  const dx = p[6]! - p[0]!;
  const dy = p[7]! - p[1]!;
  const dz = p[8]! - p[2]!;
  let nx = uy * dz - uz * dy;
  let ny = uz * dx - ux * dz;
  let nz = ux * dy - uy * dx;
  const nn = 1 / Math.sqrt(nx * nx + ny * ny + nz * nz);
  nx *= nn;
  ny *= nn;
  nz *= nn;
  const [a, b, c] = place;
  out[0] = p[0]! + a * ux + b * (ny * uz - nz * uy) + c * nx;
  out[1] = p[1]! + a * uy + b * (nz * ux - nx * uz) + c * ny;
  out[2] = p[2]! + a * uz + b * (nx * uy - ny * ux) + c * nz;
}

/** Coordinates of a place in the frame of three markers: the inverse of `pointOfThree`. */
export function placeInFrameOfThree(
  p: ArrayLike<number>,
  place: ArrayLike<number>,
  out: number[] | Float64Array,
): void {
  const origin = [0, 0, 0];
  const axis = [0, 0, 0];
  pointOfThree(p, [0, 0, 0], origin);
  for (let k = 0; k < 3; k++) {
    pointOfThree(p, [k === 0 ? 1 : 0, k === 1 ? 1 : 0, k === 2 ? 1 : 0], axis);
    let sum = 0;
    for (let c = 0; c < 3; c++) sum += (axis[c]! - origin[c]!) * (place[c]! - origin[c]!);
    out[k] = sum;
  }
}

/** RMS over the axes of the standard deviation of the point, metres, from those of the markers. */
function pointNoise(p: Float64Array, place: readonly [number, number, number], noise_m: readonly number[]): number {
  const step_m = 1e-6;
  const own = Float64Array.from(p);
  const still = new Float64Array(3);
  const moved = new Float64Array(3);
  pointOfThree(own, place, still);
  let variance = 0;
  for (let i = 0; i < 9; i++) {
    const kept = own[i]!;
    own[i] = kept + step_m;
    pointOfThree(own, place, moved);
    own[i] = kept;
    const share = noise_m[Math.floor(i / 3)]! / step_m;
    for (let c = 0; c < 3; c++) {
      const d = share * (moved[c]! - still[c]!);
      variance += d * d;
    }
  }
  return Math.sqrt(variance / 3);
}
