/** Stored events under mapped names: they decide which moment is meant (definitions 6). */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import type { Motion } from '../../model/motion.ts';
import { type Moment, POSITIONS, type PositionId } from '../../model/positions.ts';
import { positionDiagnostic } from './diagnosticCodes.ts';
import { momentAt } from './momentMaker.ts';
import { MEAN_WINDOW_s } from './stillness.ts';

/** An event rounded to a frame still means the moment that is found this near (definitions 6). */
export const EVENT_REACH_frames = 1.5;

/** Time of the event mapped to a position, or null. */
export function eventTime(motion: Motion, position: PositionId): number | null {
  return motion.events.find((event) => event.position === position)?.time_s ?? null;
}

/**
 * Within 1.5 frames of a mapped event the found time stays and the difference is noted; otherwise the event's own time takes its place,
 * flagged 'event-time'. P7 has had its turn already; P5.5 comes after its neighbours (`only`).
 */
export function applyEvents(
  motion: Motion,
  moments: Map<PositionId, Moment>,
  diagnostics: Diagnostic[],
  only: PositionId | null = null,
): void {
  const { rate_Hz, frames } = motion.clock;
  const frame_s = 1 / rate_Hz;
  for (const position of POSITIONS) {
    if (position === 'P7' || (only === null ? position === 'P5.5' : position !== only)) continue;
    const event_s = eventTime(motion, position);
    if (event_s === null) continue;
    const moment = moments.get(position);
    if (moment?.found && Math.abs(event_s - moment.time_s) <= EVENT_REACH_frames * frame_s) {
      moments.set(position, { ...moment, eventOffset_s: event_s - moment.time_s });
      continue;
    }
    if (moment?.found) {
      diagnostics.push(
        positionDiagnostic(
          'event-offset',
          `${position}: the event is at ${formatFixed(event_s, 4)} s, found at ${formatFixed(moment.time_s, 4)} s`,
        ),
      );
    }
    const last_s = (frames - 1) * frame_s;
    const window: readonly [number, number] | null =
      position === 'P1'
        ? [Math.max(0, event_s - MEAN_WINDOW_s), event_s]
        : position === 'P10'
          ? [event_s, Math.min(last_s, event_s + MEAN_WINDOW_s)]
          : null;
    moments.set(position, {
      ...momentAt(event_s, frame_s / Math.sqrt(12), 'event', ['event-time'], window),
      eventOffset_s: 0,
    });
  }
}
