/** Known damage of whole segments, time base and club, put into clean recordings. */

import type { C3dFile } from '../../src/c3d/types.ts';
import type { LandmarkId } from '../../src/model/landmarks.ts';
import { MISSING, type Track } from '../../src/model/track.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { fitPose } from '../../src/numeric/poseFit.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { SEGMENT_CLUSTERS } from '../../src/stages/shared/segmentClusters.ts';

export type Shift = readonly [number, number, number];

/** A copy whose track of one landmark is changed frame by frame; `change` writes into the three numbers. */
function changed(
  trial: MarkerTrial,
  id: LandmarkId,
  change: (frame: number, p: [number, number, number]) => void,
): MarkerTrial {
  const { frames } = trial.clock;
  const track = trial.points.get(id)!;
  const data = track.data.slice();
  for (let f = 0; f < frames; f++) {
    const p: [number, number, number] = [data[f]!, data[frames + f]!, data[2 * frames + f]!];
    change(f, p);
    for (let c = 0; c < 3; c++) data[c * frames + f] = p[c]!;
  }
  return { ...trial, points: new Map(trial.points).set(id, { ...track, data }) };
}

function placesAt(tracks: readonly Track<3>[], frame: number): Float64Array {
  return Float64Array.from(tracks.flatMap(({ data, clock }) => [0, 1, 2].map((c) => data[c * clock.frames + frame]!)));
}

/**
 * The landmark shifted by a vector that turns with its segment (metres, in the axes of the lab at the first frame), times `share` of each frame.
 * The segment's rotation is the least-squares one of all its landmarks against the first frame.
 */
export function shiftedOnSegment(
  trial: MarkerTrial,
  id: LandmarkId,
  shift_m: Shift,
  share: (frame: number) => number = () => 1,
): MarkerTrial {
  const cluster = SEGMENT_CLUSTERS.find(({ landmarks }) => landmarks.includes(id))!;
  const tracks = cluster.landmarks.flatMap((one) => trial.points.get(one) ?? []);
  const first = placesAt(tracks, 0);
  return changed(trial, id, (f, p) => {
    const { R } = fitPose(first, placesAt(tracks, f), tracks.length);
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) p[r] = p[r]! + share(f) * R[3 * r + c]! * shift_m[c]!;
    }
  });
}

/** The trial with some of its frames alone, as if they had followed one another. */
function withFrames(trial: MarkerTrial, isLeft: (frame: number) => boolean): MarkerTrial {
  const { frames } = trial.clock;
  const left = Array.from({ length: frames }, (_, f) => f).filter(isLeft);
  const clock = { ...trial.clock, frames: left.length };
  const points = new Map<LandmarkId, Track<3>>();
  for (const [id, track] of trial.points) {
    points.set(id, {
      ...track,
      clock,
      data: Float64Array.from([0, 1, 2].flatMap((c) => left.map((f) => track.data[c * frames + f]!))),
      state: Uint8Array.from(left.map((f) => track.state[f]!)),
    });
  }
  return { ...trial, clock, points };
}

/** The trial without the `count` frames after frame `last`: what a recorder loses. */
export function withoutFrames(trial: MarkerTrial, last: number, count: number): MarkerTrial {
  return withFrames(trial, (f) => f <= last || f > last + count);
}

/** The same samples under another rate. */
export function withRate(trial: MarkerTrial, rate_Hz: number): MarkerTrial {
  const clock = { ...trial.clock, rate_Hz };
  const points = new Map([...trial.points].map(([id, track]) => [id, { ...track, clock }]));
  return { ...trial, clock, points };
}

/** Every `nth` frame of the trial under the old rate: as if the rate were written `nth` times too high. */
export function thinned(trial: MarkerTrial, nth: number): MarkerTrial {
  return withFrames(trial, (f) => f % nth === 0);
}

export function withoutMarkers(trial: MarkerTrial, ids: readonly LandmarkId[], from: number, to: number): MarkerTrial {
  const points = new Map(trial.points);
  for (const id of ids) {
    const hidden = changed(trial, id, (f, p) => {
      if (f >= from && f < to) p.fill(Number.NaN);
    }).points.get(id)!;
    points.set(id, { ...hidden, state: hidden.state.map((state, f) => (f >= from && f < to ? MISSING : state)) });
  }
  return { ...trial, points };
}

/** Markers of the club drawn out along their own motion: each by a normal share of `size_m`, frame by frame, in frames [from, to). */
export function blurred(
  trial: MarkerTrial,
  ids: readonly LandmarkId[],
  size_m: number,
  from: number,
  to: number,
  seed: number,
): MarkerTrial {
  const random = createRandom(seed);
  let out = trial;
  for (const id of ids) {
    const { data, clock } = trial.points.get(id)!;
    out = changed(out, id, (f, p) => {
      if (f < from || f >= to) return;
      const way = [0, 1, 2].map((c) => data[c * clock.frames + f]! - data[c * clock.frames + f - 1]!);
      const step = (size_m * random.normal()) / Math.hypot(...way);
      for (let c = 0; c < 3; c++) p[c] = p[c]! + step * way[c]!;
    });
  }
  return out;
}

/** The file with the labels of these pairs of markers exchanged (`ASIS`: L_ASIS and R_ASIS); without a list: of every pair. */
export function withSidesExchanged(file: C3dFile, names: readonly string[] | null = null): C3dFile {
  const other = (label: string): string => {
    if (!/^[LR]_/.test(label) || (names !== null && !names.includes(label.slice(2)))) return label;
    return `${label.startsWith('L') ? 'R' : 'L'}${label.slice(1)}`;
  };
  return { ...file, labels: file.labels.map(other) };
}

/** The same numbers in another unit of length: the file still says the old one. */
export function scaled(file: C3dFile, factor: number): C3dFile {
  return { ...file, xyz: file.xyz.map((value) => factor * value) };
}
