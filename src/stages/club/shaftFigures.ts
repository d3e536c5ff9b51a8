/** Lie and lean of the shaft at impact. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Figured } from '../../model/delivery.ts';
import { MISSING, type Track } from '../../model/track.ts';
import { fitShrunk, type ShrunkPriors } from '../../numeric/shrunkFit.ts';
import { PATH_WINDOW_s } from '../positions/strikeFit.ts';
import { leanOf, lieOf, wrapped } from './geometry.ts';
import { type ClubOptions, type Contact, isFilledBefore } from './strike.ts';

/** About 1.5 times the RMS of the components of two dozen invented swings (own simulations, no published source). */
export const SHAFT_PRIORS: ShrunkPriors = { unit_s: 0.04, sds: [0.7, 0.35, 0.2, 0.15], sigmaFloor: 2e-6 };

const LEAST_SAMPLES = 6;
const STEP = 1e-5;
const STEP_s = 1e-4;

/**
 * Lie (angle to the ground seen along the target line) and lean (seen from the front, + hands toward the target) of the measured shaft, which
 * points from grip to head. Flag 'shaft-to-head-marker' where no lower shaft marker is seen: the line to a marker on the head leans by itself.
 */
export function shaftFigures(
  shaft: Avail<Track<3>>,
  contact: Avail<Contact>,
  options: ClubOptions,
): Readonly<Record<'lie' | 'shaft-lean', Avail<Figured>>> {
  const both = (why: Avail<Figured>) => ({ lie: why, 'shaft-lean': why });
  if (!shaft.ok) return both(shaft);
  if (!contact.ok) return both(contact);
  const track = shaft.value;
  const { frames, rate_Hz } = track.clock;
  const { before, time_s, sd_s } = contact.value;
  const span = Math.max(LEAST_SAMPLES, Math.floor(PATH_WINDOW_s * rate_Hz + 1e-9));
  const times: number[] = [];
  const used: number[] = [];
  for (let f = Math.max(0, before - span); f <= before; f++) {
    if (track.state[f] === MISSING) continue;
    times.push(f / rate_Hz);
    used.push(f);
  }
  const n = used.length;
  const values = new Float64Array(3 * n);
  for (let c = 0; c < 3; c++) for (let i = 0; i < n; i++) values[c * n + i] = track.data[c * frames + used[i]!]!;
  const fit = fitShrunk(Float64Array.from(times), values, 3, n, track.noise, SHAFT_PRIORS);
  if (fit === null) return both(absent('too-few-samples', 'six samples of the shaft in the last 60 ms'));
  if (!(time_s - fit.to_s <= options.longestReach_s)) {
    return both(absent('too-few-samples', 'the shaft in the last 10 ms before impact'));
  }
  const flags = [...contact.value.flags];
  if (isFilledBefore(track, before)) flags.push('filled');
  if (track.provenance.includes('CLUB_HEAD')) flags.push('shaft-to-head-marker');
  const d = new Float64Array(3);
  const at = (f: (d: Float64Array) => number, t: number): number => {
    fit.valueAt(t, d);
    return f(d);
  };
  const figured = (f: (d: Float64Array) => number): Avail<Figured> => {
    const rate = wrapped(at(f, time_s + STEP_s) - at(f, time_s - STEP_s)) / (2 * STEP_s);
    const value = at(f, time_s);
    let square = 0;
    for (let c = 0; c < 3; c++) {
      d[c] = d[c]! + STEP;
      const slope = (f(d) - value) / STEP;
      d[c] = d[c]! - STEP;
      square += slope * slope;
    }
    return present({ value, sd: Math.hypot(Math.sqrt(square) * fit.spread(time_s), rate * sd_s), flags });
  };
  return { lie: figured(lieOf), 'shaft-lean': figured(leanOf) };
}
