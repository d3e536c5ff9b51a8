/** Segments whose markers change their distances by more than skin allows. */

import { formatFixed } from '../../base/format.ts';
import { type BodyFaultLimits, skinOf } from '../../model/bodyFaultLimits.ts';
import type { Fault } from '../../model/faults.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { fileName, segmentWords } from '../shared/landmarkGroups.ts';
import { medianDistance } from '../shared/medians.ts';
import { SEGMENT_CLUSTERS } from '../shared/segmentClusters.ts';
import { distanceAt } from '../shared/tracks.ts';
import { type Frames, stretchesOf } from './stretches.ts';

/** Looked at first at this rate: what is shorter than 1/60 s is a leap and no segment that breaks. */
const LOOK_Hz = 60;
/** Standard deviations of noise that a single frame may be off. */
const NOISE = 4;
/** Breaks with less than this between them are one. */
const BRIDGE_s = 0.05;

interface Pair {
  readonly a: LandmarkId;
  readonly b: LandmarkId;
  readonly usual_m: number;
  /** Change of the distance at which the pair is broken: twice the skin of one marker, and noise. */
  readonly allowed_m: number;
  readonly change: (frame: number) => number;
}

/**
 * A segment breaks where the distance of two of its markers is off its median over the trial by more than twice what one of them
 * moves on the skin, white noise taken off. A marker that all broken distances of a stretch share is named alone. `known` are faults of
 * single markers that stay in the data: their frames are not looked at again.
 */
export function segmentBreaks(trial: MarkerTrial, limits: BodyFaultLimits, known: readonly Fault[]): Fault[] {
  const faults: Fault[] = [];
  const stride = Math.max(1, Math.floor(trial.clock.rate_Hz / LOOK_Hz));
  for (const { segment, landmarks } of SEGMENT_CLUSTERS) {
    const seen = landmarks.filter((id) => trial.points.has(id));
    const limit_m = 2 * skinOf(segment, limits);
    const doubtful: [LandmarkId, LandmarkId][] = [];
    for (let i = 0; i < seen.length; i++) {
      for (let k = i + 1; k < seen.length; k++) {
        const [a, b] = [trial.points.get(seen[i]!)!, trial.points.get(seen[k]!)!];
        if (rangeOfDistance(a.data, b.data, a.clock.frames, stride) > limit_m) doubtful.push([seen[i]!, seen[k]!]);
      }
    }
    if (doubtful.length > 0) faults.push(...breaksOf(trial, segment, doubtful, limit_m, known));
  }
  return faults;
}

/** Largest less smallest distance over every `stride`-th frame; 0 where they are never seen together. A missing sample compares false. */
function rangeOfDistance(p: Float64Array, q: Float64Array, frames: number, stride: number): number {
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  for (let f = 0; f < frames; f += stride) {
    const x = p[f]! - q[f]!;
    const y = p[frames + f]! - q[frames + f]!;
    const z = p[2 * frames + f]! - q[2 * frames + f]!;
    const square = x * x + y * y + z * z;
    if (square < least) least = square;
    if (square > most) most = square;
  }
  return most > least ? Math.sqrt(most) - Math.sqrt(least) : 0;
}

function breaksOf(
  trial: MarkerTrial,
  segment: string,
  doubtful: readonly (readonly [LandmarkId, LandmarkId])[],
  limit_m: number,
  known: readonly Fault[],
): Fault[] {
  const { frames, rate_Hz } = trial.clock;
  const pairs = doubtful.flatMap(([a, b]) => pairOf(trial, a, b, limit_m, known));
  const isBroken = (pair: Pair, f: number): boolean => pair.change(f) > pair.allowed_m;
  const stretches = stretchesOf((f) => pairs.some((pair) => isBroken(pair, f)), 0, frames, BRIDGE_s * rate_Hz);
  const least = rate_Hz / LOOK_Hz;
  const byMarkers = new Map<string, { markers: readonly LandmarkId[]; frames: Frames[]; most_m: number }>();
  for (const stretch of stretches) {
    if (stretch[1] - stretch[0] + 1 < least) continue;
    const broken: Pair[] = [];
    let most_m = 0;
    for (const pair of pairs) {
      let isOne = false;
      for (let f = stretch[0]; f <= stretch[1]; f++) {
        if (!isBroken(pair, f)) continue;
        isOne = true;
        most_m = Math.max(most_m, pair.change(f));
      }
      if (isOne) broken.push(pair);
    }
    const markers = sharedOrAll(broken);
    const key = markers.join();
    const entry = byMarkers.get(key) ?? { markers, frames: [], most_m: 0 };
    entry.frames.push(stretch);
    entry.most_m = Math.max(entry.most_m, most_m);
    byMarkers.set(key, entry);
  }
  return [...byMarkers.values()].map((entry) => breakFault(trial, segment, entry, limit_m));
}

function pairOf(
  trial: MarkerTrial,
  a: LandmarkId,
  b: LandmarkId,
  limit_m: number,
  known: readonly Fault[],
): readonly Pair[] {
  const usual_m = medianDistance(trial, a, b);
  if (usual_m === null) return [];
  const [p, q] = [trial.points.get(a)!, trial.points.get(b)!];
  const hidden = isKnown(trial, [a, b], known);
  const allowed_m = limit_m + NOISE * Math.hypot(noiseOf(p), noiseOf(q));
  return [{ a, b, usual_m, allowed_m, change: (f) => (hidden(f) ? 0 : Math.abs(distanceAt(p, q, f) - usual_m)) }];
}

const noiseOf = ({ noise }: Track<3>): number => (Number.isNaN(noise) ? 0 : noise);

/** Whether a frame is told of one of the markers already. */
function isKnown(trial: MarkerTrial, ids: readonly LandmarkId[], known: readonly Fault[]): (frame: number) => boolean {
  const names = ids.map((id) => fileName(id, trial.head.facts.hand.value));
  const told = known.filter(({ markers }) => markers.some((name) => names.includes(name))).flatMap((one) => one.frames);
  return (f) => told.some(([first, last]) => f >= first && f <= last);
}

/** The one marker that two and more pairs have in common; otherwise every marker of the pairs. */
function sharedOrAll(pairs: readonly Pair[]): readonly LandmarkId[] {
  const all = [...new Set(pairs.flatMap(({ a, b }) => [a, b]))];
  const shared = all.filter((id) => pairs.every(({ a, b }) => a === id || b === id));
  return (pairs.length > 1 && shared.length === 1 ? shared : all).sort();
}

function breakFault(
  trial: MarkerTrial,
  segment: string,
  {
    markers,
    frames,
    most_m,
  }: { readonly markers: readonly LandmarkId[]; readonly frames: readonly Frames[]; readonly most_m: number },
  limit_m: number,
): Fault {
  const hand = trial.head.facts.hand.value;
  const mm = (metres: number): string => formatFixed(1000 * metres, 0);
  const who =
    markers.length === 1
      ? `its distance from the rest of the ${segmentWords(segment, hand)} is off its usual value`
      : `distances between these markers of the ${segmentWords(segment, hand)} are off their usual values`;
  return {
    code: 'segment-breaks',
    markers: markers.map((id) => fileName(id, hand)).sort(),
    frames,
    action: 'kept',
    detail: `${who} by up to ${mm(most_m)} mm; skin allows ${mm(limit_m)} mm (two markers of ${mm(limit_m / 2)} mm each, noise taken off)`,
  };
}
