/** Markers that stand still to the last digit while they should move. */

import { formatFixed } from '../../base/format.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { whiteNoise } from '../shared/markerNoise.ts';
import { median } from '../shared/medians.ts';
import type { Finding } from './finding.ts';
import type { Span } from './mending.ts';

/** Repeats in a row from which a run is looked at: one equal neighbour is chance where coordinates are stored in steps. */
const FEWEST_REPEATS = 2;
/** Repeats from which no leap is asked for. */
const FEWEST_STILL = 8;
/** A leap out of (or a stop into) a run, metres at 240 Hz: 0.5 m/s that begin or end between two frames. */
const LEAST_SPEED_mPerS = 0.5;
/** A motion that begins from rest makes its first step a third of its second; one that was held makes it three times the second and more. */
const STEP_RATIO = 2;
/** A step this many times the one before, or the least leap, is no speed. */
const LEAP_RATIO = 5;
/** Longer than this many times the way that the slower of both sides makes over the frames held, it is a leap to elsewhere. */
const MAKES_UP = 6;
/** Chance of a run in a whole trial above which it is none. */
const LARGEST_CHANCE = 1e-6;
/** A marker quieter than this repeats itself whenever it is at rest. */
const LEAST_NOISE_m = 2e-5;

/**
 * Runs of repeated coordinates that end in a leap, begin with a dead stop, or are longer than chance while the marker's own noise never
 * repeats. Frames are those of the repeats; the sample that they repeat is right. The ball is left out: it lies still, then leaps.
 */
export function stuckMarkers(trial: MarkerTrial, ws: Workspace): readonly Finding[] {
  const { frames, rate_Hz } = trial.clock;
  const candidates: { readonly id: LandmarkId; readonly track: Track<3>; readonly runs: readonly number[] }[] = [];
  for (const [id, track] of trial.points) {
    if (id === 'BALL') continue;
    const runs = repeatedRuns(track.data, frames);
    if (runs.length > 0) candidates.push({ id, track, runs });
  }
  if (candidates.length === 0) return [];
  const usual = median([...trial.points.values()].map(({ data }) => repeatedShare(data, frames)));
  return candidates.flatMap(({ id, track, runs }): readonly Finding[] => {
    const spans: Span[] = [];
    let worst_m = 0;
    for (let r = 0; r < runs.length; r += 2) {
      const span: Span = [runs[r]!, runs[r + 1]!];
      const leap_m = leapAt(track.data, frames, span, LEAST_SPEED_mPerS / rate_Hz);
      if (leap_m === 0 && !isBeyondChance(track.data, frames, span, usual, ws)) continue;
      spans.push(span);
      worst_m = Math.max(worst_m, leap_m);
    }
    if (spans.length === 0) return [];
    const held = spans.reduce((sum, [first, last]) => sum + last - first + 1, 0);
    const leap = worst_m === 0 ? '' : `, then ${formatFixed(1000 * worst_m, 0)} mm in a frame`;
    const detail = `repeats its coordinates to the last digit in ${held} frames${leap}`;
    return [{ code: 'marker-sticks', markers: [id], spans, clear: true, detail }];
  });
}

/** Runs of repeats as first, last, first, last …; the frame they repeat stands before the first. */
function repeatedRuns(data: Float64Array, frames: number): number[] {
  const runs: number[] = [];
  let last = data[0]!;
  for (let f = 1; f < frames; f++) {
    const here = data[f]!;
    const isMoved = here !== last;
    last = here;
    if (isMoved) continue;
    const from = f;
    while (f < frames && isRepeat(data, frames, f)) f += 1;
    if (f - from >= FEWEST_REPEATS) runs.push(from, f - 1);
    if (f < frames) last = data[f]!;
  }
  return runs;
}

function isRepeat(data: Float64Array, frames: number, f: number): boolean {
  return (
    data[f] === data[f - 1] &&
    data[frames + f] === data[frames + f - 1] &&
    data[2 * frames + f] === data[2 * frames + f - 1]
  );
}

/** Share of the frames outside a run that repeat the one before. */
function repeatedShare(data: Float64Array, frames: number, [first, last]: Span = [frames, frames]): number {
  let repeats = 0;
  let all = 0;
  for (let f = 1; f < frames; f++) {
    if (f >= first && f <= last) continue;
    all += 1;
    if (isRepeat(data, frames, f)) repeats += 1;
  }
  return all > 0 ? repeats / all : 1;
}

/**
 * Step out of the run where it makes up for what was held: longer than a motion that begins can make it, no longer than the speeds on both sides
 * take it. At the end of the trial the step into the run, where a body cannot stop so. 0 where it is none; NaN beside a gap counts as none.
 */
function leapAt(data: Float64Array, frames: number, [first, last]: Span, least_m: number): number {
  const out = step(data, frames, last);
  const after = steady(step(data, frames, last + 1), step(data, frames, last + 2));
  const into = steady(step(data, frames, first - 2), step(data, frames, first - 3));
  if (last + 1 >= frames) return stop(data, frames, first) > least_m ? into : 0;
  if (isLeap(step(data, frames, first - 2), step(data, frames, first - 3), least_m)) return 0;
  const most = MAKES_UP * (last - first + 2) * Math.min(after, into);
  return out > least_m && out < most && !(out <= STEP_RATIO * after) ? out : 0;
}

/** The least of the three steps into a run, where they are much alike: speed that ends at once. 0 where they are not. */
function stop(data: Float64Array, frames: number, first: number): number {
  const steps = [2, 3, 4].map((back) => step(data, frames, first - back));
  const least = Math.min(...steps);
  return Math.max(...steps) <= STEP_RATIO * least ? least : 0;
}

/** True where the sample that is repeated lies elsewhere than the marker was before: then it is no place to stick to. */
function isLeap(step_m: number, beyond_m: number, least_m: number): boolean {
  return step_m > LEAP_RATIO * Math.max(beyond_m, least_m);
}

/** The step beside a run, where the one beyond it moves much alike: a single leap is no speed. */
function steady(step_m: number, beyond_m: number): number {
  return Math.min(step_m, STEP_RATIO * beyond_m);
}

/** Distance from frame f to the next; NaN at the ends. */
function step(data: Float64Array, frames: number, f: number): number {
  if (f < 0 || f + 1 >= frames) return Number.NaN;
  const x = data[f + 1]! - data[f]!;
  const y = data[frames + f + 1]! - data[frames + f]!;
  const z = data[2 * frames + f + 1]! - data[2 * frames + f]!;
  return Math.sqrt(x * x + y * y + z * z);
}

/** True where a noisy marker would hardly ever repeat itself so often: `usual` is the share of repeats among the trial's markers. */
function isBeyondChance(data: Float64Array, frames: number, span: Span, usual: number, ws: Workspace): boolean {
  const repeats = span[1] - span[0] + 1;
  if (repeats < FEWEST_STILL) return false;
  const share = Math.max(usual, repeatedShare(data, frames, span), 1 / frames);
  let chance = frames;
  for (let i = 0; i < FEWEST_STILL; i++) chance *= share;
  if (chance > LARGEST_CHANCE) return false;
  return whiteNoise(data, frames, ws.float64(Math.ceil(frames / 16) + 1)) >= LEAST_NOISE_m;
}
