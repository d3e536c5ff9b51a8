/** Positions of a motion of sensors, which has directions but no points: impact by a shock, stillness by the nominal speed, its own reasons. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import type { Motion, Shock } from '../../model/motion.ts';
import type { Moment, MomentMethod, PositionId } from '../../model/positions.ts';
import type { Track } from '../../model/track.ts';
import { filterGain, filtfiltInto, LEAST_PAD, padLength, zeroLag } from '../../numeric/butterworth.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { positionDiagnostic } from './diagnosticCodes.ts';
import { EVENT_REACH_frames } from './events.ts';
import { hintOf } from './impactHint.ts';
import { aroundFrame, HINT_SD_s, type Impact, type ImpactOptions } from './impactTime.ts';
import { momentAt } from './momentMaker.ts';
import { type SpeedSeries, stillnessThreshold } from './stillness.ts';

/** What serves as lead and trail arm is the forearm: its methods are its own and never compared with the arm's. */
export const FOREARM_METHODS: Readonly<Partial<Record<MomentMethod, MomentMethod>>> = {
  'lead-arm-horizontal': 'lead-forearm-horizontal',
  'trail-arm-horizontal': 'trail-forearm-horizontal',
  'lead-arm-reversal': 'lead-forearm-reversal',
};

export const NEEDS_SHOCK = 'a sensor on the club, a hand or a forearm that feels the strike, or an event at impact';

/** True of a motion of sensors. */
export function isOfSensors(motion: Motion): boolean {
  return motion.head.source === 'sensors';
}

/**
 * P7: an event, a trigger, a sound, then the strongest shock, in the middle of the two samples between which it lies, narrowed by the other
 * sensors' (sd: a uniform distribution between them). An event within 1.5 frames of a shock means that shock. Null where there is none of these.
 */
export function impactOfSensors(motion: Motion, options: ImpactOptions, diagnostics: Diagnostic[]): Impact | null {
  const { rate_Hz, frames } = motion.clock;
  const shock = motion.shocks?.[0] ?? null;
  const shown = { leaves: null, fastest: fastestOf(motion), shock_s: shock === null ? null : middleOf(shock) };
  const hint = hintOf(motion, options, shown, diagnostics);
  if (hint === null && shock === null) {
    diagnostics.push(positionDiagnostic('no-impact-evidence', 'no event and no shock shows the moment of impact'));
    return null;
  }
  if (hint === null) return ofShock(shock!, motion, 'shock');
  const near = (motion.shocks ?? []).find(
    (one) => Math.abs(middleOf(one) - hint.time_s) * rate_Hz <= EVENT_REACH_frames,
  );
  const offset = (impact: Impact): Impact =>
    hint.isEvent
      ? { ...impact, moment: { ...impact.moment, eventOffset_s: hint.time_s - impact.moment.time_s } }
      : impact;
  if (near !== undefined) return offset(ofShock(near, motion, hint.kind));
  const sd_s = hint.kind === 'event' ? 1 / (rate_Hz * Math.sqrt(12)) : HINT_SD_s[hint.kind];
  return offset({
    frames: { ...aroundFrame(hint.time_s * rate_Hz, frames), evidence: hint.kind },
    moment: momentAt(hint.time_s, sd_s, hint.kind, ['event-time']),
  });
}

/** In a strike the club loses a quarter to a third of its turning rate between two samples; the integral takes the middle between them. */
const LOST_SHARE = 0.5;
/** Nominal lengths and directions of the chain leave this share of the speed at stillness open (measured: 3 to 12 %). */
const LENGTHS_SHARE = 0.15;

/** A moment with what sensors add to its spread: their clocks, and for the shaft after impact the turn lost between two samples. */
export function withSensorSpread(position: PositionId, moment: Moment, rate_Hz: number): Moment {
  if (!moment.found) return moment;
  const lost_s = position === 'P8' ? LOST_SHARE / (rate_Hz * Math.sqrt(12)) : 0;
  return momentAt(
    moment.time_s,
    Math.hypot(moment.sd_s, CLOCKS_s, lost_s),
    moment.method,
    moment.flags,
    moment.window_s,
  );
}

/** A knock aligns two sensors' clocks to about this, seconds (standard deviation; measured on invented recordings at 250 Hz). */
const CLOCKS_s = 0.0003;

/**
 * The pair of samples that all shocks share which overlap the first: sensors are sampled at different moments, and the strike is felt by all
 * within 0.1 ms (a bending wave goes down a shaft at some hundred m/s; from memory). Those that overlap by less than the clocks are known
 * to are left out: neighbouring pairs of samples taken at the same moments meet at a point.
 */
function shared(first: Shock, shocks: readonly Shock[]): Shock {
  let { before_s, after_s } = first;
  for (const { before_s: before, after_s: after } of shocks) {
    if (Math.min(after, after_s) - Math.max(before, before_s) <= CLOCKS_s) continue;
    before_s = Math.max(before, before_s);
    after_s = Math.min(after, after_s);
  }
  return { ...first, before_s, after_s };
}

function middleOf({ before_s, after_s }: Shock): number {
  return (before_s + after_s) / 2;
}

function ofShock(found: Shock, { clock, shocks }: Motion, evidence: Impact['frames']['evidence']): Impact {
  const { rate_Hz, frames } = clock;
  const shock = shared(found, shocks ?? []);
  // A frame at the very time of a sample belongs to its side.
  const before = Math.max(0, Math.floor(shock.before_s * rate_Hz + 1e-6));
  const after = Math.min(frames - 1, Math.ceil(shock.after_s * rate_Hz - 1e-6));
  const sd_s = Math.hypot((shock.after_s - shock.before_s) / Math.sqrt(12), CLOCKS_s);
  return { frames: { before, after, evidence }, moment: momentAt(middleOf(shock), sd_s, 'shock') };
}

/** Frame of the largest nominal speed, −1 without one. */
export function fastestOf(motion: Motion): number {
  const speed = motion.nominalSpeed;
  if (speed?.ok !== true) return -1;
  const { data } = speed.value;
  let best = -1;
  for (let f = 0; f < data.length; f++) {
    if (!Number.isNaN(data[f]) && (best < 0 || data[f]! > data[best]!)) best = f;
  }
  return best;
}

/** The nominal speed in [from, to), m/s, each run of samples low-passed by itself (null: as it is); NaN elsewhere. `noise` covers the lengths too. */
export function speedOfSensors(
  track: Track<1>,
  from: number,
  to: number,
  cutoff_Hz: number | null,
  ws: Workspace,
): SpeedSeries {
  const { frames, rate_Hz } = track.clock;
  const speed = ws.float64(frames);
  speed.fill(Number.NaN);
  const filter = cutoff_Hz !== null && cutoff_Hz < rate_Hz / 2 ? zeroLag(cutoff_Hz, rate_Hz) : null;
  const scratch = ws.float64(Math.max(filter === null ? 0 : padLength(filter, frames), frames));
  for (let f = from; f < to; f++) {
    if (Number.isNaN(track.data[f])) continue;
    const start = f;
    while (f < to && !Number.isNaN(track.data[f])) f += 1;
    if (filter === null) speed.set(track.data.subarray(start, f), start);
    else if (f - start > LEAST_PAD) {
      filtfiltInto(speed, track.data, start, f, filter, padLength(filter, f - start), scratch);
    }
  }
  let power = 1;
  if (filter !== null) {
    const steps = 128;
    power = 0;
    for (let i = 0; i < steps; i++) {
      const gain = filterGain(filter, ((i + 0.5) * rate_Hz) / (2 * steps), rate_Hz);
      power += (gain * gain * gain * gain) / steps;
    }
  }
  const noise = Number.isFinite(track.noise) ? track.noise * Math.sqrt(power) : 0;
  const threshold = stillnessThreshold(noise);
  return { speed, threshold, noise: Math.hypot(noise, LENGTHS_SHARE * threshold), rate_Hz };
}
