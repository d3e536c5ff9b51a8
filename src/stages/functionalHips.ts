/** Hip joint centres from movement: the centre of the spheres on which the thigh's markers move in the pelvis. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { PlayerCalibration, Vec3 } from '../model/calibration.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import type { Track } from '../model/track.ts';
import type { MarkerTrial } from '../model/trial.ts';
import { applyT3 } from '../numeric/rotation.ts';
import { fitSpheres } from '../numeric/sphereFit.ts';
import { sortedPercentile } from '../numeric/statistics.ts';
import { symmetricEigen3 } from '../numeric/svd3.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { landmarkWords } from './shared/landmarkGroups.ts';
import { bestSet, framesTogether } from './shared/landmarkSets.ts';
import { SEGMENT_RULES, type SegmentRule } from './shared/segmentRules.ts';
import { staticHips } from './shared/staticHips.ts';
import { gather, tracksOf } from './shared/tracks.ts';

export type Side = 'lead' | 'trail';

export interface FunctionalHip {
  /** In the pelvis frame, origin mid-ASIS, metres. */
  readonly place: Vec3;
  /** Markers of the thigh that were used, and the radius of each about the centre, metres. */
  readonly landmarks: readonly LandmarkId[];
  readonly radii_m: readonly number[];
  /** RMS distance of the markers from their spheres, metres: skin motion and noise. */
  readonly residual_m: number;
  /** Standard deviation in the worst direction, metres, were residuals independent from frame to frame: a lower bound. */
  readonly sd_m: number;
  /** The thigh's motion about the regression's centre in the pelvis, radians: middle 95 % of frames along the direction of most motion and across it. */
  readonly range_rad: readonly [number, number];
  readonly frames: number;
  /** From the centre of the best regression for what the trial shows, metres. */
  readonly fromRegression_m: number;
}

export interface FunctionalHips {
  readonly lead: Avail<FunctionalHip>;
  readonly trail: Avail<FunctionalHip>;
}

export interface FunctionalOptions {
  /** Name of the pelvis set of the player's calibration, whose frame the centres are in; null: the one the trial shows best. */
  readonly pelvisSet: string | null;
}

/**
 * Less motion is refused. Choices of this program: at 40° by 20° 1 mm of noise in 600 frames moves the centre by 2 mm, at 20° by 10° by
 * 8 mm (see `fitSpheres`).
 */
const LEAST_RANGE_rad: readonly [number, number] = [(40 * Math.PI) / 180, (20 * Math.PI) / 180];
const FEWEST_FRAMES = 100;
/** Regressions are some 12 mm off, Bell 1990 some 19 mm: a centre farther from them than this comes from a false motion. */
const FARTHEST_m = 0.06;
const RANGE_PERCENTILES = [2.5, 97.5] as const;
/** As it stands in the datum: residuals differ from trial to trial, the method does not. */
const REGRESSION = 'sphere fit of the thigh';

/**
 * Hip centres of a functional trial in any frame, in the pelvis frame, origin mid-ASIS. The spheres are those of the femoral epicondyles
 * and, where there are none, of the knee centre of the file; the trochanter slides under its marker and is not used. A leg that stands
 * still is absent with its range; a warning is given where neither leg gives a centre.
 */
export function functionalHips(trial: MarkerTrial, options: FunctionalOptions, ws: Workspace): Outcome<FunctionalHips> {
  const pelvis = pelvisOf(trial, options.pelvisSet);
  const value: FunctionalHips = {
    lead: pelvis.ok ? oneSide(trial, pelvis.value, 'lead', ws) : pelvis,
    trail: pelvis.ok ? oneSide(trial, pelvis.value, 'trail', ws) : pelvis,
  };
  const diagnostics: Diagnostic[] = [];
  const { lead, trail } = value;
  if (!lead.ok && !trail.ok) {
    const needs = [...new Set([lead.why.needed, trail.why.needed])].join('; ');
    diagnostics.push(stageDiagnostic('functional-hip-refused', needs));
  }
  return { value, diagnostics };
}

/**
 * The calibration with functional hip centres where both sides have one; otherwise as it is: a pelvis centre is never half of each. What
 * was measured on the static trial (width, depth, leg length) stays.
 */
export function withFunctionalHips(calibration: PlayerCalibration, found: FunctionalHips): PlayerCalibration {
  const { hips } = calibration;
  if (!hips.ok || !found.lead.ok || !found.trail.ok) return calibration;
  const { lead, trail } = found;
  return {
    ...calibration,
    hips: present({ ...hips.value, lead: lead.value.place, trail: trail.value.place, regression: REGRESSION }),
  };
}

/** The calibration's own set of pelvis landmarks: axes from others lie a little differently in the pelvis. */
function pelvisOf(trial: MarkerTrial, set: string | null): Avail<SegmentRule> {
  const own = SEGMENT_RULES.pelvis.filter(({ name }) => set === null || name === set);
  return bestSet(trial, own.length > 0 ? own : SEGMENT_RULES.pelvis);
}

function oneSide(trial: MarkerTrial, pelvis: SegmentRule, side: Side, ws: Workspace): Avail<FunctionalHip> {
  const hand = trial.head.facts.hand.value;
  const leg = landmarkWords(`${side}_HJC`, hand).split(' ')[0]!;
  const epicondyles: LandmarkId[] = [`${side}_FL`, `${side}_FM`];
  const candidates = [...epicondyles, `${side}_KJC` as LandmarkId];
  const seen = candidates.filter((id) => framesTogether(trial, [...pelvis.landmarks, id]) >= FEWEST_FRAMES);
  const own = seen.filter((id) => epicondyles.includes(id));
  const landmarks = own.length > 0 ? own : seen;
  if (landmarks.length === 0) {
    const words = epicondyles.map((id) => landmarkWords(id, hand)).join(' or ');
    return absent('landmark-missing', `${words} with the pelvis in at least ${FEWEST_FRAMES} frames`);
  }
  const { frames } = trial.clock;
  const points = inPelvis(trial, pelvis, tracksOf(trial, landmarks), ws);
  const { hips } = staticHips(trial, { sex: null }).value;
  if (!hips.ok) return hips;
  const regression = hips.value[side];
  const range = rangeOf(points, frames, regression);
  if (!(range[0] >= LEAST_RANGE_rad[0] && range[1] >= LEAST_RANGE_rad[1])) {
    const [a, b] = range.map(degrees);
    const [least, across] = LEAST_RANGE_rad.map(degrees);
    return absent(
      'too-little-motion',
      `at least ${least}° by ${across}° of motion of the ${leg} thigh in the pelvis; it moves ${a}° by ${b}°`,
    );
  }
  const fit = fitSpheres(
    points,
    landmarks.map(() => frames),
  );
  if (fit === null) return absent('no-sphere', `${leg} thigh markers that move on spheres about one centre`);
  const place: Vec3 = [fit.centre[0]!, fit.centre[1]!, fit.centre[2]!];
  const fromRegression_m = Math.hypot(place[0] - regression[0], place[1] - regression[1], place[2] - regression[2]);
  if (!(fromRegression_m <= FARTHEST_m)) {
    const far = Math.round(1000 * fromRegression_m);
    const most = Math.round(1000 * FARTHEST_m);
    return absent('hip-centre-off', `a ${leg} hip centre within ${most} mm of the regression; it lies ${far} mm off`);
  }
  return present({
    place,
    landmarks,
    radii_m: Array.from(fit.radii),
    residual_m: fit.rms,
    sd_m: fit.sd,
    range_rad: range,
    frames: Math.round(fit.used / landmarks.length),
    fromRegression_m,
  });
}

function degrees(angle_rad: number): number {
  return Math.round((angle_rad * 180) / Math.PI);
}

/** Points in the pelvis frame, origin mid-ASIS: x, y, z of all frames of the first track, then of the next. */
function inPelvis(trial: MarkerTrial, pelvis: SegmentRule, tracks: readonly Track<3>[], ws: Workspace): Float64Array {
  const { frames } = trial.clock;
  const own = tracksOf(trial, pelvis.landmarks);
  const p = ws.float64(3 * own.length);
  const q = ws.float64(3 * tracks.length);
  const R = ws.float64(9);
  const local = ws.float64(3);
  const points = ws.float64(3 * frames * tracks.length);
  for (let f = 0; f < frames; f++) {
    gather(own, frames, f, p);
    gather(tracks, frames, f, q);
    pelvis.kernel(p, R, 0);
    for (let m = 0; m < tracks.length; m++) {
      for (let c = 0; c < 3; c++) local[c] = q[3 * m + c]! - (p[c]! + p[3 + c]!) / 2;
      applyT3(R, 0, local, local);
      for (let c = 0; c < 3; c++) points[3 * (m * frames + f) + c] = local[c]!;
    }
  }
  return points;
}

/** Middle 95 % of the first marker's `n` directions from `centre` along the two principal directions across their mean. */
function rangeOf(points: Float64Array, n: number, centre: Vec3): readonly [number, number] {
  const u = new Float64Array(3 * n);
  const mean = new Float64Array(3);
  let used = 0;
  for (let i = 0; i < n; i++) {
    const x = points[3 * i]! - centre[0];
    const y = points[3 * i + 1]! - centre[1];
    const z = points[3 * i + 2]! - centre[2];
    const length = Math.sqrt(x * x + y * y + z * z);
    if (!(length > 0)) continue;
    u[3 * used] = x / length;
    u[3 * used + 1] = y / length;
    u[3 * used + 2] = z / length;
    for (let c = 0; c < 3; c++) mean[c] = mean[c]! + u[3 * used + c]!;
    used += 1;
  }
  const size = Math.hypot(mean[0]!, mean[1]!, mean[2]!);
  if (used < 2 || !(size > 0)) return [0, 0];
  for (let c = 0; c < 3; c++) mean[c] = mean[c]! / size;
  // Logarithms at the mean direction: angle times the direction across it, so that 40° of arc are 40°.
  const moment = new Float64Array(9);
  for (let i = 0; i < used; i++) {
    const cosine = u[3 * i]! * mean[0]! + u[3 * i + 1]! * mean[1]! + u[3 * i + 2]! * mean[2]!;
    const sine = Math.sqrt(Math.max(0, 1 - cosine * cosine));
    const factor = sine > 0 ? Math.atan2(sine, cosine) / sine : 1;
    for (let c = 0; c < 3; c++) u[3 * i + c] = factor * (u[3 * i + c]! - cosine * mean[c]!);
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) moment[3 * r + c] = moment[3 * r + c]! + u[3 * i + r]! * u[3 * i + c]!;
    }
  }
  const values = new Float64Array(3);
  const axes = new Float64Array(9);
  symmetricEigen3(moment, values, axes);
  const along = (column: number): number => {
    const shares = new Float64Array(used);
    for (let i = 0; i < used; i++) {
      shares[i] = u[3 * i]! * axes[column]! + u[3 * i + 1]! * axes[3 + column]! + u[3 * i + 2]! * axes[6 + column]!;
    }
    shares.sort();
    return sortedPercentile(shares, RANGE_PERCENTILES[1]) - sortedPercentile(shares, RANGE_PERCENTILES[0]);
  };
  return [along(2), along(1)];
}
