/** What was stored about the moment of impact: an event, a trigger, a sound. Of several events the one that ball and club agree with. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import type { Motion } from '../../model/motion.ts';
import { positionDiagnostic } from './diagnosticCodes.ts';
import type { FramePair } from './impactEvidence.ts';
import type { ImpactOptions } from './impactTime.ts';

export interface Hint {
  readonly kind: 'event' | 'trigger' | 'sound';
  readonly time_s: number;
  readonly isEvent: boolean;
}

/** What the motion itself shows, in frames. */
export interface Shown {
  /** The ball leaving its place. */
  readonly leaves: FramePair | null;
  /** The fastest step of the head point, −1 without one. */
  readonly fastest: number;
  /** The strongest shock of a sensor, seconds. */
  readonly shock_s?: number | null;
}

/** An event further than this from all other evidence means another moment (choice of this program; no source). */
const FARTHEST_s = 0.1;

interface Evidence {
  readonly time_s: number;
  readonly words: string;
}

/**
 * Of the events mapped to P7 the one nearest to the ball leaving its place, without a ball to the fastest moment of the head point, without
 * both to the trigger or the sound; an event more than 0.1 s from all of these is ignored, which a diagnostic says. Without any such
 * evidence the first event. Then the trigger, then the sound.
 */
export function hintOf(motion: Motion, options: ImpactOptions, shown: Shown, diagnostics: Diagnostic[]): Hint | null {
  const evidence = evidenceOf(motion.clock.rate_Hz, options, shown);
  const away = (time_s: number): number => Math.min(...evidence.map((e) => Math.abs(e.time_s - time_s)));
  let best: number | null = null;
  for (const { position, time_s } of motion.events) {
    if (position !== 'P7') continue;
    const first = evidence[0];
    if (first === undefined) {
      best ??= time_s;
    } else if (away(time_s) > FARTHEST_s) {
      const others = evidence.map((e) => `${e.words} ${formatFixed(e.time_s, 4)} s`).join(', ');
      diagnostics.push(
        positionDiagnostic('impact-event-ignored', `the event of impact is at ${formatFixed(time_s, 4)} s; ${others}`),
      );
    } else if (best === null || Math.abs(time_s - first.time_s) < Math.abs(best - first.time_s)) {
      best = time_s;
    }
  }
  if (best !== null) return { kind: 'event', time_s: best, isEvent: true };
  if (options.trigger_s !== null) return { kind: 'trigger', time_s: options.trigger_s, isEvent: false };
  if (options.sound_s !== null) return { kind: 'sound', time_s: options.sound_s, isEvent: false };
  return null;
}

/** The most telling first. */
function evidenceOf(rate_Hz: number, options: ImpactOptions, { leaves, fastest, shock_s }: Shown): Evidence[] {
  const found: Evidence[] = [];
  if (shock_s !== undefined && shock_s !== null) found.push({ time_s: shock_s, words: 'the shock is at' });
  if (leaves !== null) {
    found.push({ time_s: (leaves.before + leaves.after) / 2 / rate_Hz, words: 'the ball leaves at' });
  }
  if (fastest >= 0) found.push({ time_s: (fastest + 0.5) / rate_Hz, words: 'the head is fastest at' });
  if (options.trigger_s !== null) found.push({ time_s: options.trigger_s, words: 'the trigger is at' });
  if (options.sound_s !== null) found.push({ time_s: options.sound_s, words: 'the sound is at' });
  return found;
}
