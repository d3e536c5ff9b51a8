/** Markers that sit elsewhere on their segment than on the static trial. */

import { formatFixed } from '../../base/format.ts';
import { type BodyFaultLimits, skinOf } from '../../model/bodyFaultLimits.ts';
import type { ClusterModel, PlayerCalibration } from '../../model/calibration.ts';
import type { Fault } from '../../model/faults.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import { MISSING } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { createPoseFit, fitPoseInto, type PoseFit } from '../../numeric/poseFit.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { fileName, segmentWords } from '../shared/landmarkGroups.ts';
import { BODY_LENGTHS, lengthName, median, medianDistance, sampleFrames } from '../shared/medians.ts';
import { carriedNoiseGain, SEGMENT_CLUSTERS } from '../shared/segmentClusters.ts';
import { gather, tracksOf } from '../shared/tracks.ts';

/** Frames of the trial that are laid on the shape of the static trial: medians over nine keep 0.4 of the noise. */
const LAID = 9;
const FEWEST_LAID = 5;
/** With every marker within this share of its skin on the shape of all, none is looked at alone: a shift of a whole skin leaves a quarter of itself with four markers. */
const AT_EASE = 0.15;
/** Other markers count as one shape with the static trial's where they fit it as well as the best choice does, within this factor and length. */
const AS_GOOD = 3;
const AS_GOOD_m = 0.002;

interface Shapes {
  readonly segment: string;
  readonly landmarks: readonly LandmarkId[];
  /** x, y, z of each on the static trial and in this trial, metres. */
  readonly then: Float64Array;
  readonly now: Float64Array;
  readonly skin_m: number;
}

/** One marker taken for the moved one: how well the others fit their shape, how far it is from where they carry it, what skin allows. */
interface Suspicion {
  readonly marker: number;
  readonly misfit_m: number;
  readonly off_m: number;
  readonly allowed_m: number;
}

/**
 * Segments whose shape in the trial (median over frames) is not that of the static trial. With four markers and more each is compared with
 * where the others carry it: a marker moved where it is off by more than √(1 + g²/4) of the most that skin moves a marker (its own
 * most, and half of it for the others, which the pose carries with gain g). It is named alone only where no other choice leaves the rest of the segment in shape; a shift square to the
 * plane of four markers, for one, could be of any of them. With two or three markers their distances are compared and all are named.
 */
export function movedMarkers(
  trial: MarkerTrial,
  calibration: Pick<PlayerCalibration, 'clusters' | 'lengths_m'>,
  limits: BodyFaultLimits,
  ws: Workspace,
): Fault[] {
  const faults: Fault[] = [];
  const fit = createPoseFit();
  for (const { segment, landmarks } of SEGMENT_CLUSTERS) {
    const model = calibration.clusters.find((one) => one.segment === segment);
    const skin_m = skinOf(segment, limits);
    const seen = landmarks.filter((id) => trial.points.has(id));
    const shared = model === undefined ? [] : model.landmarks.filter((id) => trial.points.has(id));
    const shapes = model === undefined || shared.length < 4 ? null : shapesOf(trial, model, shared, skin_m, fit, ws);
    const fault =
      shapes === null
        ? byLengths(trial, segment, seen, (a, b) => lengthThen(calibration, model, a, b), skin_m)
        : byShape(trial, shapes, fit, ws);
    if (fault !== null) faults.push(fault);
  }
  return faults;
}

/** The markers' median places over frames in which all are seen, each frame laid on the static shape; null where there are too few. */
function shapesOf(
  trial: MarkerTrial,
  model: ClusterModel,
  landmarks: readonly LandmarkId[],
  skin_m: number,
  fit: PoseFit,
  ws: Workspace,
): Shapes | null {
  const count = landmarks.length;
  const tracks = tracksOf(trial, landmarks);
  const { frames } = trial.clock;
  const gappy = tracks.filter(({ state }) => state.includes(MISSING));
  const looked = sampleFrames(frames);
  const whole = gappy.length === 0 ? looked : looked.filter((f) => gappy.every(({ state }) => state[f] !== MISSING));
  if (whole.length < FEWEST_LAID) return null;
  const then = ws.float64(3 * count);
  landmarks.forEach((id, k) => {
    const at = 3 * model.landmarks.indexOf(id);
    for (let c = 0; c < 3; c++) then[3 * k + c] = model.places_m[at + c]!;
  });
  const laid = Math.min(LAID, whole.length);
  const local: number[][] = Array.from({ length: 3 * count }, () => []);
  const p = ws.float64(3 * count);
  for (let i = 0; i < laid; i++) {
    gather(tracks, frames, whole[Math.floor(((i + 0.5) * whole.length) / laid)]!, p);
    if (fitPoseInto(fit, then, p, count) !== 'ok') continue;
    const { R, L } = fit;
    for (let k = 0; k < count; k++) {
      const x = p[3 * k]! - L[0]!;
      const y = p[3 * k + 1]! - L[1]!;
      const z = p[3 * k + 2]! - L[2]!;
      for (let c = 0; c < 3; c++) local[3 * k + c]!.push(R[c]! * x + R[3 + c]! * y + R[6 + c]! * z);
    }
  }
  if (local[0]!.length < FEWEST_LAID) return null;
  const now = ws.float64(3 * count);
  for (let i = 0; i < 3 * count; i++) now[i] = median(local[i]!);
  return { segment: model.segment, landmarks, then, now, skin_m };
}

function byShape(trial: MarkerTrial, shapes: Shapes, fit: PoseFit, ws: Workspace): Fault | null {
  const { landmarks, then, now, skin_m } = shapes;
  if (largestOff(then, now) < AT_EASE * skin_m) return null;
  const suspicions = landmarks.map((_id, marker) => suspicionOf(shapes, marker, fit, ws));
  const best = suspicions.reduce((a, b) => (b.misfit_m < a.misfit_m ? b : a));
  if (best.misfit_m > skin_m) {
    const off_m = largestOff(then, now);
    return off_m > skin_m ? movedFault(trial, shapes.segment, landmarks, off_m, skin_m, 'several') : null;
  }
  const possible = suspicions.filter(({ misfit_m }) => misfit_m <= AS_GOOD * best.misfit_m + AS_GOOD_m);
  if (possible.some(({ off_m, allowed_m }) => !(off_m > allowed_m))) return null;
  const least = possible.reduce((a, b) => (b.off_m < a.off_m ? b : a));
  const named = possible.map(({ marker }) => landmarks[marker]!);
  const kind = named.length === 1 ? 'one' : 'any';
  return movedFault(trial, shapes.segment, named, least.off_m, least.allowed_m, kind);
}

/** Largest distance of a marker's places, laid on one another by all markers. */
function largestOff(then: Float64Array, now: Float64Array): number {
  let most = 0;
  for (let k = 0; k < then.length; k += 3) {
    most = Math.max(most, Math.hypot(now[k]! - then[k]!, now[k + 1]! - then[k + 1]!, now[k + 2]! - then[k + 2]!));
  }
  return most;
}

function suspicionOf({ then, now, skin_m }: Shapes, marker: number, fit: PoseFit, ws: Workspace): Suspicion {
  const rest = ws.float64(now.length);
  rest.set(now);
  rest.fill(Number.NaN, 3 * marker, 3 * marker + 3);
  if (fitPoseInto(fit, then, rest, now.length / 3) !== 'ok') {
    return { marker, misfit_m: Number.POSITIVE_INFINITY, off_m: 0, allowed_m: skin_m };
  }
  const { R, L, rmsPerMarker } = fit;
  let squares = 0;
  for (let c = 0; c < 3; c++) {
    const carried =
      R[3 * c]! * then[3 * marker]! +
      R[3 * c + 1]! * then[3 * marker + 1]! +
      R[3 * c + 2]! * then[3 * marker + 2]! +
      L[c]!;
    const d = now[3 * marker + c]! - carried;
    squares += d * d;
  }
  const gain = carriedNoiseGain(then, (other) => other !== marker, marker);
  return {
    marker,
    misfit_m: rmsPerMarker,
    off_m: Math.sqrt(squares),
    allowed_m: skin_m * Math.sqrt(1 + (gain * gain) / 4),
  };
}

/** Distance on the static trial: of its shape where the segment has one, otherwise of the lengths that are stored. */
function lengthThen(
  { lengths_m }: Pick<PlayerCalibration, 'lengths_m'>,
  model: ClusterModel | undefined,
  a: LandmarkId,
  b: LandmarkId,
): number | undefined {
  const [i, k] = [model?.landmarks.indexOf(a) ?? -1, model?.landmarks.indexOf(b) ?? -1];
  if (model !== undefined && i >= 0 && k >= 0) {
    const at = model.places_m;
    return Math.hypot(at[3 * i]! - at[3 * k]!, at[3 * i + 1]! - at[3 * k + 1]!, at[3 * i + 2]! - at[3 * k + 2]!);
  }
  return BODY_LENGTHS.some(([p, q]) => p === a && q === b) ? lengths_m[lengthName(a, b)] : undefined;
}

function byLengths(
  trial: MarkerTrial,
  segment: string,
  seen: readonly LandmarkId[],
  then: (a: LandmarkId, b: LandmarkId) => number | undefined,
  skin_m: number,
): Fault | null {
  const off = new Set<LandmarkId>();
  let most = 0;
  seen.forEach((a, i) => {
    for (const b of seen.slice(i + 1)) {
      const expected = then(a, b) ?? then(b, a);
      const found = expected === undefined ? null : medianDistance(trial, a, b);
      if (expected === undefined || found === null || Math.abs(found - expected) <= 2 * skin_m) continue;
      off.add(a).add(b);
      most = Math.max(most, Math.abs(found - expected));
    }
  });
  return off.size === 0 ? null : movedFault(trial, segment, [...off], most, 2 * skin_m, 'lengths');
}

const mm = (metres: number): string => formatFixed(1000 * metres, 0);

function movedFault(
  trial: MarkerTrial,
  segment: string,
  markers: readonly LandmarkId[],
  off_m: number,
  allowed_m: number,
  kind: 'one' | 'any' | 'several' | 'lengths',
): Fault {
  const { hand } = trial.head.facts;
  const on = segmentWords(segment, hand.value);
  const limit = `skin allows ${mm(allowed_m)} mm`;
  const detail = {
    one: `sits ${mm(off_m)} mm from where it was on the ${on} on the static trial; ${limit}`,
    any: `one of these sits ${mm(off_m)} mm or more from where it was on the ${on} on the static trial; ${limit}; the others do not show which`,
    several: `several markers of the ${on} sit elsewhere than on the static trial, by up to ${mm(off_m)} mm; ${limit}`,
    lengths: `distances between these markers of the ${on} are off those of the static trial by up to ${mm(off_m)} mm; ${limit}`,
  }[kind];
  return {
    code: 'marker-moved',
    markers: markers.map((id) => fileName(id, hand.value)).sort(),
    frames: [],
    action: 'kept',
    detail,
  };
}
