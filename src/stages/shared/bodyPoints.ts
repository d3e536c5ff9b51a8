/** Joint centres and segment centres from landmarks, poses and the calibration. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { PlayerCalibration, Vec3 } from '../../model/calibration.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { PointId, SegmentId } from '../../model/motion.ts';
import type { Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { bestSet } from './landmarkSets.ts';
import { combinedState, combinedWidening, meanPoint, tracksOf, weightedPoint } from './tracks.ts';

/** Ways to a point as a mean of landmarks, the preferred first. */
interface PointRule {
  readonly landmarks: readonly LandmarkId[];
  readonly name: string;
  readonly substitution: string;
}

function rule(name: string, landmarks: readonly LandmarkId[], substitution = ''): PointRule {
  return { name, landmarks, substitution };
}

function meanOf(...landmarks: readonly LandmarkId[]): PointRule {
  return rule(`mean of ${landmarks.join(', ')}`, landmarks);
}

const MEANS: Readonly<Partial<Record<PointId, readonly PointRule[]>>> = {
  mid_asis: [rule('midpoint of the ASIS', ['lead_ASIS', 'trail_ASIS'])],
  head_centre: [
    rule('mean of the ear points', ['lead_EAR', 'trail_EAR']),
    rule('mean of four head-band markers', [
      'lead_HEAD_BACK',
      'trail_HEAD_BACK',
      'lead_HEAD_FRONT',
      'trail_HEAD_FRONT',
    ]),
    rule('one head point', ['HEAD'], 'one head point for the head centre'),
  ],
  thorax_centre: [meanOf('IJ', 'PX', 'C7', 'T8'), meanOf('IJ', 'PX', 'C7', 'T10')],
  ...sided('lead'),
  ...sided('trail'),
};

function sided(side: 'lead' | 'trail'): Partial<Record<PointId, readonly PointRule[]>> {
  return {
    [`${side}_elbow`]: [
      rule('midpoint of the epicondyles', [`${side}_EL`, `${side}_EM`]),
      rule('elbow centre of the file', [`${side}_EJC`]),
    ],
    [`${side}_wrist`]: [
      rule('midpoint of the styloids', [`${side}_RS`, `${side}_US`]),
      rule('wrist centre of the file', [`${side}_WJC`]),
      rule('hand point', [`${side}_HAND`], `${side} hand point for the wrist centre`),
    ],
    [`${side}_knee`]: [
      rule('midpoint of the epicondyles', [`${side}_FL`, `${side}_FM`]),
      rule('knee centre of the file', [`${side}_KJC`]),
    ],
    [`${side}_ankle`]: [
      rule('midpoint of the malleoli', [`${side}_LM`, `${side}_MM`]),
      rule('ankle centre of the file', [`${side}_AJC`]),
    ],
    [`${side}_heel`]: [rule('heel point', [`${side}_HEEL`])],
    [`${side}_toe`]: [
      rule('toe point', [`${side}_TOE`]),
      rule('midpoint of the metatarsal heads', [`${side}_MT1`, `${side}_MT5`]),
    ],
  };
}

/** Names of the sets that a trial shows best, by point. */
export function pointSets(trial: MarkerTrial): Record<string, string> {
  const sets: Record<string, string> = {};
  for (const [id, rules] of Object.entries(MEANS)) {
    const found = bestSet(trial, rules);
    if (found.ok) sets[id] = found.value.name;
  }
  return sets;
}

/** Points of the body, with the substitutions that were made. */
export interface BodyPoints {
  readonly points: Map<PointId, Avail<Track<3>>>;
  readonly substitutions: readonly string[];
}

/** All points of the body: means of landmarks, joint centres carried by a segment, centres of segments (definitions 4). */
export function bodyPoints(
  trial: MarkerTrial,
  calibration: PlayerCalibration,
  poses: ReadonlyMap<SegmentId, Avail<Track<9>>>,
  ws: Workspace,
): BodyPoints {
  const points = new Map<PointId, Avail<Track<3>>>();
  const substitutions: string[] = [];
  for (const [id, rules] of Object.entries(MEANS) as [PointId, readonly PointRule[]][]) {
    const found = bestSet(trial, rules, calibration.sets[id] ?? null);
    if (!found.ok) {
      points.set(id, found);
      continue;
    }
    points.set(id, pointOf(trial, found.value, ws));
    if (found.value.substitution !== '') substitutions.push(found.value.substitution);
  }
  const hips = calibration.hips;
  const shoulders = calibration.shoulders;
  const ij = pointOf(trial, meanOf('IJ'), ws);
  for (const side of ['lead', 'trail'] as const) {
    points.set(
      `${side}_hip`,
      jointCentre(
        trial,
        `${side}_HJC`,
        hips.ok ? present(hips.value[side]) : hips,
        hips.ok ? hips.value.regression : '',
        {
          pose: poses.get('pelvis')!,
          origin: points.get('mid_asis')!,
          ws,
        },
      ),
    );
    points.set(
      `${side}_shoulder`,
      jointCentre(
        trial,
        `${side}_SJC`,
        shoulders.ok ? present(shoulders.value[side]) : shoulders,
        shoulders.ok ? shoulders.value.regression : '',
        {
          pose: poses.get('thorax')!,
          origin: ij,
          ws,
        },
      ),
    );
  }
  points.set('pelvis_centre', middle(points, 'lead_hip', 'trail_hip', 'midpoint of the hip joint centres', ws));
  return { points, substitutions };
}

function pointOf(trial: MarkerTrial, one: PointRule, ws: Workspace): Avail<Track<3>> {
  const found = bestSet(trial, [one]);
  return found.ok ? present(meanPoint(tracksOf(trial, one.landmarks), trial.clock, one.name, ws)) : found;
}

interface Carrier {
  readonly pose: Avail<Track<9>>;
  readonly origin: Avail<Track<3>>;
  readonly ws: Workspace;
}

/** A joint centre fixed in a segment; where that is not possible the file's own joint centre. */
function jointCentre(
  trial: MarkerTrial,
  stored: LandmarkId,
  place: Avail<Vec3>,
  regression: string,
  { pose, origin, ws }: Carrier,
): Avail<Track<3>> {
  if (place.ok && pose.ok && origin.ok) {
    return present(carried(origin.value, pose.value, place.value, regression, ws));
  }
  const own = bestSet(trial, [{ landmarks: [stored] }]);
  if (own.ok) {
    return present(meanPoint(tracksOf(trial, [stored]), trial.clock, 'joint centre of the file', ws));
  }
  const why = !pose.ok ? pose.why : !place.ok ? place.why : own.why;
  return absent(why.code, `${why.needed}; or ${own.why.needed}`);
}

/** origin + R · place, metres. */
function carried(origin: Track<3>, pose: Track<9>, place: Vec3, provenance: string, ws: Workspace): Track<3> {
  const { frames } = origin.clock;
  const data = ws.float64(3 * frames);
  const R = pose.data;
  const [x, y, z] = place;
  for (let c = 0; c < 3; c++) {
    for (let f = 0; f < frames; f++) {
      const o = 9 * f + 3 * c;
      data[c * frames + f] = origin.data[c * frames + f]! + R[o]! * x + R[o + 1]! * y + R[o + 2]! * z;
    }
  }
  const turned = pose.noise * pose.noise * (2 / 3) * (x * x + y * y + z * z);
  return {
    dimension: 3,
    clock: origin.clock,
    data,
    state: combinedState([origin, pose], frames, ws),
    ...combinedWidening([origin, pose], frames, ws),
    noise: Math.sqrt(origin.noise * origin.noise + turned),
    madeOf: { kind: 'carried', origin, pose, place },
    provenance,
  };
}

/** Midpoint of two points that may be missing. */
export function middle(
  points: ReadonlyMap<PointId, Avail<Track<3>>>,
  a: PointId,
  b: PointId,
  provenance: string,
  ws: Workspace,
): Avail<Track<3>> {
  const p = points.get(a)!;
  const q = points.get(b)!;
  if (!p.ok) return p;
  if (!q.ok) return q;
  return present(weightedPoint([p.value, q.value], [0.5, 0.5], p.value.clock, provenance, ws));
}
