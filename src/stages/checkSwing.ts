/** Whether the club is seen where it is fast, and whether the time base fits a swing. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { BodyFaultLimits } from '../model/bodyFaultLimits.ts';
import type { FoundPositions } from '../model/delivery.ts';
import type { Fault } from '../model/faults.ts';
import type { HeadPlace } from '../model/headPlace.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import type { Motion } from '../model/motion.ts';
import type { PositionId } from '../model/positions.ts';
import { MISSING, type Track } from '../model/track.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { clubBlurred } from './faults/clubBlurred.ts';
import { clubClipped } from './faults/clubClipped.ts';
import { fastPartOf } from './faults/fastPart.ts';
import { faultDiagnostics } from './faults/faultDiagnostics.ts';
import { headPlace } from './faults/headPlace.ts';
import { rateContradicts } from './faults/rateContradicts.ts';
import { HEAD_MARKERS } from './shared/clubBody.ts';
import { downswingOf } from './shared/downswing.ts';
import { whiteNoise } from './shared/markerNoise.ts';

export interface SwingChecked {
  readonly faults: readonly Fault[];
  readonly headPlace: HeadPlace | null;
}

export interface SwingCheck {
  readonly limits: BodyFaultLimits;
  /** What was said when the positions were found. */
  readonly said: readonly Diagnostic[];
}

/** A time that no swing takes has been said with these: the fault stands in the table, and not a second time among the diagnostics. */
const TIME_CODES: readonly string[] = ['implausible-backswing', 'implausible-downswing'];

/**
 * `club-clipped`, `club-blurred` and `rate-contradicts-swing`, and where the head point sits on the club. `trial` is the recording as it came, null
 * for sensors. Where impact was not found, the fast part is that before the fastest moment. Samples that `motion.faults` names are not
 * taken for blur.
 */
export function checkSwing(
  motion: Motion,
  found: FoundPositions,
  trial: MarkerTrial | null,
  { limits, said }: SwingCheck,
  ws: Workspace,
): Outcome<SwingChecked> {
  const { rate_Hz, frames } = motion.clock;
  const head = motion.points.get('head_point');
  const rate = rateContradicts(found.moments, head?.ok ? head.value : null, rate_Hz, limits);
  const told = said.some(({ code }) => TIME_CODES.includes(code)) ? [] : rate;
  if (trial === null) return { value: { faults: rate, headPlace: null }, diagnostics: faultDiagnostics(told) };
  const impact_s = timeOf(found, 'P7') ?? fastestOf(trial);
  const club: Fault[] = [];
  if (impact_s !== null) {
    const part = fastPartOf(trial, impact_s);
    club.push(...clubClipped(trial, part, limits));
    club.push(...clubBlurred(clubMarkers(trial, motion.faults ?? [], ws), part, limits));
  }
  const until_s = timeOf(found, 'P2') ?? timeOf(found, 'P4');
  const until = until_s === null ? frames : Math.min(frames, Math.floor(until_s * rate_Hz));
  return {
    value: { faults: [...club, ...rate], headPlace: headPlace(motion, trial, until) },
    diagnostics: faultDiagnostics([...club, ...told]),
  };
}

function timeOf({ moments }: FoundPositions, position: PositionId): number | null {
  const moment = moments.get(position);
  return moment?.found ? moment.time_s : null;
}

function fastestOf(trial: MarkerTrial): number | null {
  const down = downswingOf(trial);
  return down === null ? null : (down.to - 1) / trial.clock.rate_Hz;
}

/** The markers near the club head with their noise, without the samples that a fault names. */
function clubMarkers(trial: MarkerTrial, known: readonly Fault[], ws: Workspace): MarkerTrial {
  const { frames } = trial.clock;
  const points = new Map<LandmarkId, Track<3>>();
  const scratch = ws.float64(Math.ceil(frames / 16) + 1);
  for (const id of [...HEAD_MARKERS, 'CLUB_SHAFT' as const]) {
    const track = trial.points.get(id);
    if (track === undefined) continue;
    const told = known.filter(({ markers }) => markers.includes(id)).flatMap((fault) => fault.frames);
    points.set(id, { ...withoutFrames(track, told, ws), noise: whiteNoise(track.data, frames, scratch) });
  }
  return { ...trial, points };
}

function withoutFrames(track: Track<3>, told: readonly (readonly [number, number])[], ws: Workspace): Track<3> {
  if (told.length === 0) return track;
  const { frames } = track.clock;
  const data = ws.float64(3 * frames);
  const state = ws.uint8(frames);
  data.set(track.data);
  state.set(track.state);
  for (const [first, last] of told) {
    state.fill(MISSING, first, last + 1);
    for (let c = 0; c < 3; c++) data.fill(Number.NaN, c * frames + first, c * frames + last + 1);
  }
  return { ...track, data, state };
}
