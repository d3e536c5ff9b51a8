/** Frames that were lost in recording: between two stored frames everything moves on by several frames' motion. */

import { formatFixed } from '../../base/format.ts';
import type { Fault } from '../../model/faults.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import { MISSING, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { filterGroupOf } from '../shared/landmarkGroups.ts';

/** The fastest parts of the body, for a quick look: of each row the first that the trial has. */
const QUICK: readonly (readonly LandmarkId[])[] = [
  ['lead_RS', 'lead_US', 'lead_WJC', 'lead_HAND'],
  ['trail_RS', 'trail_US', 'trail_WJC', 'trail_HAND'],
  ['lead_EL', 'lead_EM', 'lead_EJC'],
  ['trail_EL', 'trail_EM', 'trail_EJC'],
];
/** A step this many times the motion of a frame, as its neighbours show it, has lost a frame: one lost frame makes two. */
const LEAST_RATIO = 1.6;
/** Standard deviations by which the ratio of all witnesses together is above one. */
const OUT_OF_NOISE = 6;
/** A witness counts where it moves faster than this: what stands shows no time. */
const SLOWEST_mPerS = 0.25;
/** No marker under skin is steadier than this, metres. */
const STEADIEST_m = 0.0002;
/** A witness tells something where the noise of its own ratio is below this; so many must, and at most one in five may tell otherwise. */
const TELLING = 0.5;
const FEWEST_WITNESSES = 4;
const DISAGREEING = 0.2;
/** What ratios may differ from the common one, as a share of it and in standard deviations. */
const SPREAD = 0.35;
const SPREAD_SDS = 4;

interface Witness {
  /** The step along the velocity, over the velocity, both a frame. */
  readonly ratio: number;
  readonly sd: number;
}

/**
 * Steps in which every part of the body (the club is struck and left out) that moves goes on by the motion of two frames and more, measured against the mean of its velocities
 * over the two frames before and after. Named by the last frame before and the first after the loss. A loss while the player stands
 * cannot be seen. Kept: times after it are too early by the frames that are missing.
 */
export function droppedFrames(trial: MarkerTrial): Fault[] {
  const quick = QUICK.flatMap((row) => {
    const id = row.find((one) => trial.points.has(one));
    return id === undefined ? [] : [trial.points.get(id)!];
  });
  const body = [...trial.points].flatMap(([id, track]) => (filterGroupOf(id) === null ? [] : [track]));
  const { frames, rate_Hz } = trial.clock;
  const stretches: [number, number][] = [];
  let lost = 0;
  const slowest_m = SLOWEST_mPerS / rate_Hz;
  for (let f = 2; f + 3 < frames; f++) {
    if (suspectAt(quick, f, slowest_m) < 2) continue;
    const ratio = ratioAt(body, f, slowest_m);
    if (ratio === null) continue;
    stretches.push([f, f + 1]);
    lost += Math.max(1, Math.round(ratio) - 1);
  }
  if (stretches.length === 0) return [];
  const where = stretches.length === 1 ? 'Between two frames' : `In ${stretches.length} places, between two frames,`;
  return [
    {
      code: 'frames-dropped',
      markers: [],
      frames: stretches,
      action: 'kept',
      detail: `${where[0]!.toLowerCase()}${where.slice(1)} the whole body moves on by the motion of ${LEAST_RATIO} frames and more: about ${lost} ${lost === 1 ? 'frame is' : 'frames are'} lost, times after are too early by ${formatFixed(lost / rate_Hz, 3)} s`,
    },
  ];
}

/** How many of the tracks step by more than the ratio. */
function suspectAt(tracks: readonly Track<3>[], f: number, slowest_m: number): number {
  let count = 0;
  for (const { data, clock } of tracks) {
    let along = 0;
    let square = 0;
    for (let at = f; at < data.length; at += clock.frames) {
      const v = data[at]! - data[at - 2]! + data[at + 3]! - data[at + 1]!;
      along += (data[at + 1]! - data[at]!) * v;
      square += v * v;
    }
    if (4 * along > LEAST_RATIO * square && square > 16 * slowest_m * slowest_m) count += 1;
  }
  return count;
}

/** The ratio of all witnesses together, weighted by what each tells; null where it is within noise or they do not tell the same. */
function ratioAt(tracks: readonly Track<3>[], f: number, slowest_m: number): number | null {
  const witnesses = tracks.map((track) => witnessOf(track, f, slowest_m)).filter((one) => one !== null);
  let sum = 0;
  let weights = 0;
  for (const { ratio, sd } of witnesses) {
    sum += ratio / (sd * sd);
    weights += 1 / (sd * sd);
  }
  const ratio = sum / weights;
  if (!(ratio > LEAST_RATIO && (ratio - 1) * Math.sqrt(weights) > OUT_OF_NOISE)) return null;
  if (witnesses.filter(({ sd }) => sd < TELLING).length < FEWEST_WITNESSES) return null;
  const others = witnesses.filter((one) => Math.abs(one.ratio - ratio) > SPREAD * ratio + SPREAD_SDS * one.sd);
  return others.length > DISAGREEING * witnesses.length ? null : ratio;
}

/** Null where the marker hardly moves, turns round or is not seen. */
function witnessOf({ data, state, noise, clock: { frames } }: Track<3>, f: number, slowest_m: number): Witness | null {
  for (let i = f - 2; i <= f + 3; i++) if (state[i] === MISSING) return null;
  let before2 = 0;
  let after2 = 0;
  let across = 0;
  let along = 0;
  let speed2 = 0;
  for (let c = 0; c < 3; c++) {
    const at = c * frames + f;
    const before = (data[at]! - data[at - 2]!) / 2;
    const after = (data[at + 3]! - data[at + 1]!) / 2;
    const v = (before + after) / 2;
    before2 += before * before;
    after2 += after * after;
    across += before * after;
    along += (data[at + 1]! - data[at]!) * v;
    speed2 += v * v;
  }
  if (!(Math.min(before2, after2) > slowest_m * slowest_m)) return null;
  // turned by more than 60° between the two: no one velocity
  if (!(across > 0.5 * Math.sqrt(before2 * after2))) return null;
  // the step is a difference of two samples; each end shares one with the velocity
  const sd = (Math.SQRT2 * Math.max(STEADIEST_m, Number.isNaN(noise) ? 0 : noise)) / Math.sqrt(speed2);
  return { ratio: along / speed2, sd };
}
