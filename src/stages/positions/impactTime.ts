/** When inside its pair of frames the strike was: ball, meeting of the paths before and after, or address place. */

import type { ImpactEvidence, ImpactFrames } from '../../model/delivery.ts';
import type { MomentMethod } from '../../model/positions.ts';
import type { Track } from '../../model/track.ts';
import { addressPlace } from './addressPlace.ts';
import type { FramePair, StillBall } from './impactEvidence.ts';
import { type FoundMoment, momentAt } from './momentMaker.ts';
import { arrivalAt, BALL_RADIUS_m, fitAfter, fitBefore, meetingOf, type StrikeTime } from './strikeFit.ts';

/** Placement of the head at address against contact, metres: what an assumed contact place adds (definitions 6). */
const PLACE_UNCERTAINTY_m = 0.03;
/** The head's speed must change by this share across the meeting of two fits. */
const LEAST_STEP = 0.06;
/** The time must lie within this many frames of the pair that the evidence gave. */
const REACH_frames = 2.5;
const ROUNDS = 5;

/** Uncertainty of a trigger's and a sound's own time, seconds (estimates; no source). */
export const HINT_SD_s = { trigger: 0.0005, sound: 0.001 } as const;

export interface ImpactOptions {
  /** Times of a trigger and of the sound of impact (its delay taken off), seconds from the first stored frame; null where there is none. */
  readonly trigger_s: number | null;
  readonly sound_s: number | null;
  /** How long the ball stays on the face, seconds: paths before and after meet half of it after first touch. */
  readonly contact_s: number;
}

export interface Impact {
  readonly frames: ImpactFrames;
  readonly moment: FoundMoment;
}

export interface Scene {
  readonly head: Track<3> | null;
  readonly headNoise: number;
  readonly isFace: boolean;
  readonly speeds: Float64Array | null;
  readonly ball: StillBall | null;
  readonly rate_Hz: number;
  readonly frameCount: number;
}

/** Frames between a frame and a pair; 0 inside it. */
export function distanceTo(pair: FramePair, frame: number): number {
  return Math.max(0, pair.before - frame, frame - pair.after);
}

/** Frames surely before and surely after a time that may be rounded to a frame. */
export function aroundFrame(at: number, frames: number): FramePair {
  const whole = Math.round(at);
  const isRounded = Math.abs(at - whole) < 0.02;
  const before = isRounded ? whole - 1 : Math.floor(at);
  const after = isRounded ? whole + 1 : Math.floor(at) + 1;
  return { before: Math.max(0, before), after: Math.min(frames - 1, after) };
}

interface Timed {
  readonly strike: StrikeTime;
  readonly method: MomentMethod;
  readonly flags: readonly string[];
}

type Timer = (pair: FramePair) => Timed | null;

/** The time inside the pair by the first rule that applies: ball, meeting of fits, address place. */
export function timeInside(
  scene: Scene,
  pair: FramePair,
  step: FramePair | null,
  evidence: ImpactEvidence,
  options: ImpactOptions,
): Impact | null {
  const reach_frames = REACH_frames;
  const { head, ball } = scene;
  if (head === null) return null;
  if (ball !== null && scene.isFace) {
    const found = settle(scene, pair, evidence, reach_frames, (p) => touches(scene, ball, p, reach_frames));
    if (found !== null) return found;
  }
  if (step !== null && distanceTo(step, (pair.before + pair.after) / 2) <= reach_frames) {
    const found = meetingInside(scene, step, evidence, reach_frames, options);
    if (found !== null) return found;
  }
  const place = addressPlace(head, pair.before, scene.headNoise);
  return place === null ? null : settle(scene, pair, evidence, reach_frames, (p) => passes(scene, place, p));
}

/** Repeats fit and timing until the time lies between the frames that the fits took for before and after. */
function settle(
  scene: Scene,
  start: FramePair,
  evidence: ImpactEvidence,
  reach_frames: number,
  timer: Timer,
): Impact | null {
  let pair = start;
  let timed: Timed | null = null;
  for (let round = 0; round < ROUNDS; round++) {
    const next = timer(pair);
    if (next === null) break;
    timed = next;
    const at = next.strike.time_s * scene.rate_Hz;
    if (distanceTo(start, at) > reach_frames) return null;
    const before = Math.ceil(at - 1e-6) - 1;
    if (before === pair.before && pair.after === before + 1) break;
    if (before < 0 || before + 1 >= scene.frameCount) break;
    pair = { before, after: before + 1 };
  }
  if (timed === null) return null;
  const { strike, method, flags } = timed;
  return { frames: { ...pair, evidence }, moment: momentAt(strike.time_s, strike.sd_s, method, flags) };
}

function touches(scene: Scene, ball: StillBall, pair: FramePair, reach_frames: number): Timed | null {
  const fit = fitBefore(scene.head!, pair.before, scene.headNoise);
  if (fit === null) return null;
  const start_s = (pair.before + pair.after) / 2 / scene.rate_Hz;
  const reach_s = (reach_frames + 1) / scene.rate_Hz;
  const strike = arrivalAt(fit, ball.place, BALL_RADIUS_m, ball.sd_m, start_s, reach_s);
  return strike === null ? null : { strike, method: 'ball-contact', flags: [] };
}

interface Meeting {
  readonly pair: FramePair;
  readonly strike: StrikeTime;
  /** Residual of both fits against the noise: a sample on the wrong side shows here. */
  readonly misfit: number;
}

/** Another pair must fit this much better. */
const SURELY = 0.7;

/** Misfit; a meeting outside its own pair of frames counts double. */
function score(scene: Scene, meeting: Meeting): number {
  const at = meeting.strike.time_s * scene.rate_Hz;
  return distanceTo(meeting.pair, at) > 0.02 ? 2 * meeting.misfit : meeting.misfit;
}

/**
 * The meeting of the fits before and after. Near a frame it is not plain to which side that frame belongs: both are tried, and the better fit
 * that meets inside its own pair holds.
 */
function meetingInside(
  scene: Scene,
  start: FramePair,
  evidence: ImpactEvidence,
  reach_frames: number,
  options: ImpactOptions,
): Impact | null {
  let best = meets(scene, start, options);
  for (let round = 0; round < ROUNDS && best !== null; round++) {
    const frame = Math.round((best.strike.time_s + options.contact_s / 2) * scene.rate_Hz);
    if (distanceTo(start, frame) > reach_frames) return null;
    let better: Meeting = best;
    for (const before of [frame - 1, frame]) {
      if (before === best.pair.before || before < 0 || before + 1 >= scene.frameCount) continue;
      const other = meets(scene, { before, after: before + 1 }, options);
      if (other !== null && score(scene, other) < SURELY * score(scene, better)) better = other;
    }
    if (better === best) break;
    best = better;
  }
  if (best === null) return null;
  const { pair, strike } = best;
  return { frames: { ...pair, evidence }, moment: momentAt(strike.time_s, strike.sd_s, 'velocity-step') };
}

function meets(scene: Scene, pair: FramePair, options: ImpactOptions): Meeting | null {
  const before = fitBefore(scene.head!, pair.before, scene.headNoise);
  const after = fitAfter(scene.head!, pair.after, scene.headNoise);
  if (before === null || after === null) return null;
  const frame_s = 1 / scene.rate_Hz;
  const strike = meetingOf(before, after, pair.before * frame_s, pair.after * frame_s, options.contact_s, LEAST_STEP);
  return strike === null ? null : { pair, strike, misfit: before.chiSquareRatio + after.chiSquareRatio };
}

function passes(scene: Scene, place: ArrayLike<number>, pair: FramePair): Timed | null {
  const fit = fitBefore(scene.head!, pair.before, scene.headNoise);
  if (fit === null) return null;
  const start_s = (pair.before + pair.after) / 2 / scene.rate_Hz;
  const strike = arrivalAt(fit, place, 0, PLACE_UNCERTAINTY_m, start_s, 4 / scene.rate_Hz);
  return strike === null ? null : { strike, method: 'address-place', flags: ['contact-place-assumed'] };
}

/** The time at which the head passes its address place, for a pair found by that passing. */
export function timeOfPassing(scene: Scene, place: ArrayLike<number>, pair: FramePair): Impact | null {
  return settle(scene, pair, 'head-passing', REACH_frames, (p) => passes(scene, place, p));
}
