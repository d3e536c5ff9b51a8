/** Known damage put into clean trials: each returns the trial with it, and the input stays as it is. Frames are first and last, both included. */

import type { LandmarkId } from '../../src/model/landmarks.ts';
import { MISSING, type Track } from '../../src/model/track.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { createRandom } from '../../src/numeric/random.ts';

export type Frames = readonly [number, number];
type Vec = readonly [number, number, number];

/** A place of a marker in a frame, metres. */
export function placeOf(trial: MarkerTrial, id: LandmarkId, frame: number): Vec {
  const { data } = trial.points.get(id)!;
  const { frames } = trial.clock;
  return [data[frame]!, data[frames + frame]!, data[2 * frames + frame]!];
}

export function distanceOf(trial: MarkerTrial, a: LandmarkId, b: LandmarkId, frame: number): number {
  const p = placeOf(trial, a, frame);
  const q = placeOf(trial, b, frame);
  return Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
}

/** The two markers carry each other's name. */
export function swapped(trial: MarkerTrial, a: LandmarkId, b: LandmarkId, frames: Frames): MarkerTrial {
  const other = (id: LandmarkId): Track<3> => trial.points.get(id)!;
  return withTracks(trial, [a, b], frames, (id, f) => {
    const from = id === a ? b : a;
    return other(from).state[f] === MISSING ? null : placeOf(trial, from, f);
  });
}

/** The marker is off its place by the same vector. */
export function leaping(trial: MarkerTrial, id: LandmarkId, frames: Frames, by_m: Vec): MarkerTrial {
  return withTracks(trial, [id], frames, (_id, f) => {
    const [x, y, z] = placeOf(trial, id, f);
    return [x + by_m[0], y + by_m[1], z + by_m[2]];
  });
}

/** The marker's name is on a reflection that stands in the room, `by_m` from where the marker is in the first of the frames, and trembles by 5 mm. */
export function ghost(trial: MarkerTrial, id: LandmarkId, frames: Frames, by_m: Vec, seed: number): MarkerTrial {
  const random = createRandom(seed);
  const [x, y, z] = placeOf(trial, id, frames[0]);
  const near = (): number => 0.005 * (2 * random.uniform() - 1);
  return withTracks(trial, [id], frames, () => [x + by_m[0] + near(), y + by_m[1] + near(), z + by_m[2] + near()]);
}

/** The marker repeats the sample before the first of the frames. */
export function stuck(trial: MarkerTrial, id: LandmarkId, frames: Frames): MarkerTrial {
  const held = placeOf(trial, id, frames[0] - 1);
  return withTracks(trial, [id], frames, () => held);
}

/** Samples taken out of all markers at random, this share of them. */
export function thinned(trial: MarkerTrial, share: number, seed: number): MarkerTrial {
  const random = createRandom(seed);
  const all: Frames = [0, trial.clock.frames - 1];
  return withTracks(trial, [...trial.points.keys()], all, (id, f) =>
    random.uniform() < share || trial.points.get(id)!.state[f] === MISSING ? null : placeOf(trial, id, f),
  );
}

/** Gaps of `length` frames that overlap, in markers of the body and the club taken at random. */
export function withHoles(trial: MarkerTrial, markers: number, length: number, seed: number): MarkerTrial {
  const random = createRandom(seed);
  const ids = [...trial.points.keys()].filter((id) => id !== 'BALL');
  const start = 10 + random.int(trial.clock.frames - length - 30);
  let out = trial;
  for (let i = 0; i < markers; i++) {
    const id = ids.splice(random.int(ids.length), 1)[0]!;
    const from = start + random.int(10);
    out = withTracks(out, [id], [from, from + length - 1], () => null);
  }
  return out;
}

function withTracks(
  trial: MarkerTrial,
  ids: readonly LandmarkId[],
  [first, last]: Frames,
  at: (id: LandmarkId, frame: number) => Vec | null,
): MarkerTrial {
  const { frames } = trial.clock;
  const points = new Map(trial.points);
  for (const id of ids) {
    const track = trial.points.get(id)!;
    const data = track.data.slice();
    const state = track.state.slice();
    for (let f = first; f <= last; f++) {
      const place = at(id, f);
      for (let c = 0; c < 3; c++) data[c * frames + f] = place === null ? Number.NaN : place[c]!;
      if (place === null) state[f] = MISSING;
    }
    points.set(id, { ...track, data, state });
  }
  return { ...trial, points };
}
