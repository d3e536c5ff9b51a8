/** The club head as a rigid body: the frame of its three markers, and what the face is in it. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { ClubPlan } from '../../model/dayPlan.ts';
import type { Track } from '../../model/track.ts';
import { MEASURED, MISSING } from '../../model/track.ts';
import type { MarkerTrial, TrialHead } from '../../model/trial.ts';
import { NEAR_LINE_RATIO } from '../../numeric/poseFit.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { areSeenTogether } from './landmarkSets.ts';
import { rms3, rotationCovariance } from './rotationNoise.ts';
import { combinedState, gather, tracksOf } from './tracks.ts';

export const HEAD_MARKERS = ['CLUB_HEAD_1', 'CLUB_HEAD_2', 'CLUB_HEAD_3'] as const;

/** Distances of the head markers 1–2, 1–3, 2–3, metres. */
type Sides = readonly [number, number, number];

/** Places of the three markers in their own plane about their mean, metres: x and y of each. */
type Triangle = readonly [number, number, number, number, number, number];

/**
 * R_trial_club in every frame: the frame of `face_centre_mm` and `face_normal` (x from the first marker toward the second,
 * z = x × (third − first), y = z × x), laid by least squares upon the triangle of the trial's mean side lengths. For three markers that is
 * the plane of the three, in closed form, and a turn in it. Absent without the three markers together, where they lie nearly on a line, and where
 * they do not lie as in the trial that showed the face (`sidesThen_m`).
 */
export function clubBodyTrack(trial: MarkerTrial, sidesThen_m: Sides | null, ws: Workspace): Avail<Track<9>> {
  if (!areSeenTogether(trial, HEAD_MARKERS)) return absent('landmark-missing', 'three markers on the club head');
  const tracks = tracksOf(trial, HEAD_MARKERS);
  const { frames } = trial.clock;
  const state = combinedState(tracks, frames, ws);
  const p = ws.float64(9);
  const sides = meanSides(tracks, frames, state, p);
  const moved = sidesThen_m === null ? null : movedMarkers(sides, sidesThen_m);
  if (moved !== null) return absent('head-markers-moved', moved);
  const triangle = triangleOf(sides);
  if (triangle === null) {
    return absent('head-markers-on-a-line', 'three markers on the club head that do not lie nearly on one line');
  }
  const data = ws.float64(9 * frames);
  let middle = -1;
  for (let f = 0; f < frames; f++) {
    gather(tracks, frames, f, p);
    poseOfTriangle(p, triangle, data, 9 * f);
    if (Number.isNaN(data[9 * f])) state[f] = MISSING;
    else if (middle < 0 || f <= frames / 2) middle = f;
  }
  if (middle < 0) return absent('landmark-missing', 'three markers on the club head');
  gather(tracks, frames, middle, p);
  const covariance = rotationCovariance(
    p,
    tracks.map((track) => track.noise),
    (at, out, off) => poseOfTriangle(at, triangle, out, off),
  );
  const axes = [0, 4, 8].map((k) => Math.sqrt(covariance[k]!)) as [number, number, number];
  return present({
    dimension: 9,
    clock: trial.clock,
    data,
    state,
    noise: rms3(axes),
    axisNoise_rad: axes,
    axisCovariance_rad2: Array.from(covariance),
    provenance: 'three head markers',
  });
}

/** A head marker that was put on again elsewhere turns the face by some 3° for each of these. */
const MOST_MOVED_m = 0.003;

function movedMarkers(now: Sides, then: Sides): string | null {
  const pairs = ['1–2', '1–3', '2–3'];
  const worst = [0, 1, 2].reduce((a, b) => (Math.abs(now[b]! - then[b]!) > Math.abs(now[a]! - then[a]!) ? b : a));
  if (!(Math.abs(now[worst]! - then[worst]!) > MOST_MOVED_m)) return null;
  const of = (sides: Sides): string => `${Math.round(10_000 * sides[worst]!) / 10} mm`;
  return `head markers where they were in the calibration trial of the face: ${pairs[worst]} lie ${of(now)} apart, there ${of(then)}`;
}

/** True where the face of the club does not hold for this trial: its head markers were put on elsewhere. */
export function hasMovedMarkers(body: Avail<Track<9>>): boolean {
  return !body.ok && body.why.code === 'head-markers-moved';
}

/** Mean lengths of the sides 1–2, 1–3, 2–3 where all three are measured; of what there is where they never are. */
function meanSides(tracks: readonly Track<3>[], frames: number, state: Uint8Array, p: Float64Array): Sides {
  let a = 0;
  let b = 0;
  let c = 0;
  let n = 0;
  const isMeasured = state.includes(MEASURED);
  for (let f = 0; f < frames; f++) {
    if (state[f] === MISSING || (isMeasured && state[f] !== MEASURED)) continue;
    gather(tracks, frames, f, p);
    a += side(p, 0, 3);
    b += side(p, 0, 6);
    c += side(p, 3, 6);
    n += 1;
  }
  return [a / n, b / n, c / n];
}

function side(p: Float64Array, i: number, k: number): number {
  const x = p[k]! - p[i]!;
  const y = p[k + 1]! - p[i + 1]!;
  const z = p[k + 2]! - p[i + 2]!;
  return Math.sqrt(x * x + y * y + z * z);
}

/** The triangle of three sides in its own plane; null where it is nearly a line. */
function triangleOf([ab, ac, bc]: Sides): Triangle | null {
  const x = (ab * ab + ac * ac - bc * bc) / (2 * ab);
  const square = ac * ac - x * x;
  if (!(square > 0)) return null;
  const y = Math.sqrt(square);
  const mx = (ab + x) / 3;
  const my = y / 3;
  // Singular values of the centred markers: roots of the eigenvalues of their second moments.
  const xx = mx * mx + (ab - mx) * (ab - mx) + (x - mx) * (x - mx);
  const yy = 2 * my * my + (y - my) * (y - my);
  const xy = mx * my - (ab - mx) * my + (x - mx) * (y - my);
  const half = (xx + yy) / 2;
  const apart = Math.sqrt((xx - yy) * (xx - yy) + 4 * xy * xy) / 2;
  if (!(Math.sqrt(Math.max(0, half - apart)) >= NEAR_LINE_RATIO * Math.sqrt(half + apart))) return null;
  return [-mx, -my, ab - mx, -my, x - mx, y - my];
}

/** Row-major at `off`; NaN where a marker is missing. */
function poseOfTriangle(p: ArrayLike<number>, triangle: Triangle, out: Float64Array, off: number): void {
  let xx = p[3]! - p[0]!;
  let xy = p[4]! - p[1]!;
  let xz = p[5]! - p[2]!;
  const n = 1 / Math.sqrt(xx * xx + xy * xy + xz * xz);
  xx *= n;
  xy *= n;
  xz *= n;
  const dx = p[6]! - p[0]!;
  const dy = p[7]! - p[1]!;
  const dz = p[8]! - p[2]!;
  let zx = xy * dz - xz * dy;
  let zy = xz * dx - xx * dz;
  let zz = xx * dy - xy * dx;
  const m = 1 / Math.sqrt(zx * zx + zy * zy + zz * zz);
  zx *= m;
  zy *= m;
  zz *= m;
  const yx = zy * xz - zz * xy;
  const yy = zz * xx - zx * xz;
  const yz = zx * xy - zy * xx;
  let along = 0;
  let across = 0;
  for (let i = 0; i < 3; i++) {
    const px = p[3 * i]!;
    const py = p[3 * i + 1]!;
    const pz = p[3 * i + 2]!;
    const u = px * xx + py * xy + pz * xz;
    const v = px * yx + py * yy + pz * yz;
    // The triangle's places sum to zero, so the mean of the markers drops out.
    along += triangle[2 * i]! * u + triangle[2 * i + 1]! * v;
    across += triangle[2 * i]! * v - triangle[2 * i + 1]! * u;
  }
  const r = 1 / Math.sqrt(along * along + across * across);
  const c = along * r;
  const s = across * r;
  out[off] = c * xx + s * yx;
  out[off + 3] = c * xy + s * yy;
  out[off + 6] = c * xz + s * yz;
  out[off + 1] = c * yx - s * xx;
  out[off + 4] = c * yy - s * xy;
  out[off + 7] = c * yz - s * xz;
  out[off + 2] = zx;
  out[off + 5] = zy;
  out[off + 8] = zz;
}

/**
 * True where coordinates of the day file, which hold in file axes, have the other sign of z in the trial: a reflection (a left-hander, or a
 * file whose axes are left-handed; both together are none) keeps x and y of a frame of three markers and turns z = x × (…) round.
 */
export function isReflected({ facts: { hand, mirrored } }: TrialHead): boolean {
  return (hand.value === 'left') !== mirrored.value;
}

/** Unit vector along which the face looks, in the frame of `clubBodyTrack`; absent where neither day file nor face trial gives it. */
export function faceNormalOf(club: ClubPlan | null, head: TrialHead): Avail<readonly [number, number, number]> {
  const given = club?.faceNormal ?? null;
  const length = given === null ? 0 : Math.sqrt(given[0] * given[0] + given[1] * given[1] + given[2] * given[2]);
  if (given === null || !(length > 1e-9)) {
    const why =
      club?.faceLost ?? 'face_normal of the club in the day file, or a calibration trial with markers on its face';
    return absent('no-face-normal', why);
  }
  const [x, y, z] = given;
  return present([x / length, y / length, (isReflected(head) ? -z : z) / length]);
}
