/** P7: which pair of frames holds the strike, and when inside it (definitions 6). */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import type { Motion, PointId } from '../../model/motion.ts';
import type { Track } from '../../model/track.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { addressPlace } from './addressPlace.ts';
import { positionDiagnostic } from './diagnosticCodes.ts';
import { EVENT_REACH_frames } from './events.ts';
import { type FramePair, fastestStep, passingOf, stepSpeeds, stillBall, velocityStep } from './impactEvidence.ts';
import { type Hint, hintOf } from './impactHint.ts';
import {
  aroundFrame,
  distanceTo,
  HINT_SD_s,
  type Impact,
  type ImpactOptions,
  type Scene,
  timeInside,
  timeOfPassing,
} from './impactTime.ts';
import { momentAt } from './momentMaker.ts';
import { noiseOf } from './strikeFit.ts';
import { impactOfSensors, isOfSensors } from './withoutPoints.ts';

/** Impact is sought this long around the fastest moment. */
const AROUND_s = 0.12;

export function trackOf(motion: Motion, id: PointId): Track<3> | null {
  const point = motion.points.get(id);
  return point?.ok ? point.value : null;
}

/** Null where nothing shows the strike; the reason is then a diagnostic. */
export function findImpact(
  motion: Motion,
  options: ImpactOptions,
  ws: Workspace,
  diagnostics: Diagnostic[],
): Impact | null {
  if (isOfSensors(motion)) return impactOfSensors(motion, options, diagnostics);
  const { rate_Hz, frames } = motion.clock;
  const head = trackOf(motion, 'head_point');
  const ballTrack = trackOf(motion, 'ball');
  const speeds = head === null ? null : stepSpeeds(head, ws);
  const fastest = speeds === null ? -1 : fastestStep(speeds, 0, frames);
  const until = fastest > 0 ? fastest : frames - 1;
  const scene: Scene = {
    head,
    headNoise: head === null ? 0 : noiseOf(head),
    isFace: motion.headPoint.ok && motion.headPoint.value.kind === 'face-centre',
    speeds,
    ball: ballTrack === null ? null : stillBall(ballTrack, until, noiseOf(ballTrack), ws),
    rate_Hz,
    frameCount: frames,
  };
  const leaves = scene.ball?.leaves ?? null;
  const hint = hintOf(motion, options, { leaves, fastest }, diagnostics);
  const around = AROUND_s * rate_Hz;
  const middle = hint !== null ? hint.time_s * rate_Hz : leaves !== null ? leaves.before : fastest;
  const reach = hint !== null || leaves !== null ? 3 : around;
  const step =
    speeds === null || middle < 0 ? null : velocityStep(speeds, Math.floor(middle - reach), Math.ceil(middle + reach));
  const found =
    hint !== null
      ? fromHint(scene, hint, leaves, step, options, diagnostics)
      : fromMotion(scene, leaves, step, fastest, options);
  if (found === null) {
    diagnostics.push(
      positionDiagnostic('no-impact-evidence', 'no event, ball or club head shows the moment of impact'),
    );
    return null;
  }
  if (found.moment.flags.includes('contact-place-assumed')) {
    diagnostics.push(
      positionDiagnostic(
        'contact-place-assumed',
        `impact at ${formatFixed(found.moment.time_s, 4)} s is where the head passes its address place, ± ${formatFixed(1960 * found.moment.sd_s, 2)} ms`,
      ),
    );
  }
  return found;
}

function fromHint(
  scene: Scene,
  hint: Hint,
  leaves: FramePair | null,
  step: FramePair | null,
  options: ImpactOptions,
  diagnostics: Diagnostic[],
): Impact {
  const { rate_Hz } = scene;
  const at = hint.time_s * rate_Hz;
  const offset = (impact: Impact): Impact =>
    hint.isEvent
      ? { ...impact, moment: { ...impact.moment, eventOffset_s: hint.time_s - impact.moment.time_s } }
      : impact;
  const near = (pair: FramePair | null): boolean => pair !== null && distanceTo(pair, at) <= EVENT_REACH_frames;
  const candidates = [near(leaves) ? leaves : null, near(step) ? step : null, aroundFrame(at, scene.frameCount)];
  for (const pair of candidates) {
    if (pair === null) continue;
    const found = timeInside(scene, pair, step, hint.kind, options);
    if (found !== null && Math.abs(found.moment.time_s - hint.time_s) * rate_Hz <= EVENT_REACH_frames)
      return offset(found);
  }
  const other = leaves ?? step;
  if (other !== null && !near(other)) {
    diagnostics.push(
      positionDiagnostic(
        'impact-event-contradicted',
        `the ${hint.kind} of impact is at ${formatFixed(hint.time_s, 4)} s, ${leaves !== null ? 'the ball leaves' : 'the head is slowed'} between ${formatFixed(other.before / rate_Hz, 4)} s and ${formatFixed(other.after / rate_Hz, 4)} s`,
      ),
    );
  }
  const frame_s = 1 / rate_Hz;
  const sd_s = hint.kind === 'event' ? frame_s / Math.sqrt(12) : HINT_SD_s[hint.kind];
  const pair = aroundFrame(at, scene.frameCount);
  return offset({
    frames: { ...pair, evidence: hint.kind },
    moment: momentAt(hint.time_s, sd_s, hint.kind, ['event-time']),
  });
}

function fromMotion(
  scene: Scene,
  leaves: FramePair | null,
  step: FramePair | null,
  fastest: number,
  options: ImpactOptions,
): Impact | null {
  if (leaves !== null) {
    const found = timeInside(scene, leaves, step, 'ball-leaving', options);
    if (found !== null) return found;
    const { before, after } = leaves;
    const time_s = (before + after) / 2 / scene.rate_Hz;
    const sd_s = (after - before) / scene.rate_Hz / Math.sqrt(12);
    const moment = momentAt(time_s, sd_s, 'ball-contact', ['between-frames']);
    return { frames: { before, after, evidence: 'ball-leaving' }, moment };
  }
  if (step !== null) {
    const found = timeInside(scene, step, step, 'velocity-step', options);
    if (found !== null) return found;
  }
  if (scene.head === null || fastest < 0) return null;
  const place = addressPlace(scene.head, fastest, scene.headNoise);
  if (place === null) return null;
  const around = AROUND_s * scene.rate_Hz;
  const pair = passingOf(scene.head, place, Math.floor(fastest - around), Math.ceil(fastest + around));
  if (pair === null) return null;
  return timeOfPassing(scene, place, pair);
}
