/** The strike as an accelerometer feels it: a sudden rise against the smooth swing, between two samples. */

import type { Avail } from '../../model/availability.ts';
import type { Shock } from '../../model/motion.ts';
import { CLIPPED_ACC, type OrientedSensors, type SensorTrack } from '../../model/sensors.ts';
import type { Track } from '../../model/track.ts';

/** Strikes are sought from this long before to this long after the fastest moment; a forearm is fastest up to 0.1 s before impact. */
const BEFORE_s = 0.1;
const AFTER_s = 0.2;
/** What stands for the smooth swing: this long before the strongest sample, up to a little before it. */
const QUIET_FROM_s = 0.09;
const QUIET_TO_s = 0.03;
/** A struck ball is felt with hundreds of m/s² at the grip; the sensor's own noise is below 1 m/s². */
const LEAST_mPerS2 = 20;
const LEAST_RATIO = 4;
/** The first sample of it: above all of the smooth swing, and above noise. */
const ONSET_RATIO = 2;
const ONSET_mPerS2 = 5;
/** The strongest jump follows the first within this: ringing nearly at half the sampling rate jumps up to eight times as far as the first blow. */
const RISE_s = 0.025;

const PLACES: readonly Shock['place'][] = ['club', 'lead_hand', 'trail_hand', 'lead_forearm', 'trail_forearm'];

/** Shocks of club, hands and forearms around the fastest moment of the nominal speed, strongest first, those of
 * an accelerometer at its limit last, whose first sample may be late; seconds of the motion's clock. */
export function shocksOf(oriented: OrientedSensors, speed: Avail<Track<1>>): Shock[] {
  if (!speed.ok) return [];
  const { data, clock } = speed.value;
  let fastest = -1;
  for (let f = 0; f < clock.frames; f++) {
    if (!Number.isNaN(data[f]) && (fastest < 0 || data[f]! > data[fastest]!)) fastest = f;
  }
  if (fastest < 0) return [];
  return PLACES.flatMap((place) => {
    const sensor = oriented.sensors.get(place);
    if (sensor?.ok !== true) return [];
    const found = shockOf(sensor.value.track, place, oriented.start_s, fastest / clock.rate_Hz);
    return found === null ? [] : [found];
  })
    .sort((a, b) => Number(a.clipped) - Number(b.clipped) || b.strength - a.strength)
    .map(({ place, before_s, after_s }) => ({ place, before_s, after_s }));
}

export interface FoundShock extends Shock {
  /** Largest jump against the course before it, m/s². */
  readonly strength: number;
  /** The sample before it or its own is at the limit of range. */
  readonly clipped: boolean;
}

/**
 * The shock of one sensor around `fastest_s`, seconds of the motion's clock (`start_s` of the sensor's): specific force against the
 * quadratic through the three samples before. Null where nothing stands out.
 */
export function shockOf(
  track: SensorTrack,
  place: Shock['place'],
  start_s: number,
  fastest_s: number,
): FoundShock | null {
  if (track.acc === null) return null;
  const { times_s, rate_Hz } = track;
  const n = times_s.length;
  const first = Math.max(3, indexAt(times_s, start_s + fastest_s - BEFORE_s));
  const last = Math.min(n - 1, indexAt(times_s, start_s + fastest_s + AFTER_s));
  let strongest = -1;
  let strength = 0;
  for (let k = first; k <= last; k++) {
    const jump = jumpAt(track.acc, times_s, rate_Hz, k);
    if (jump > strength) {
      strength = jump;
      strongest = k;
    }
  }
  if (strongest < 0) return null;
  // Smooth is what came before the first sample that stands out: ringing would else count as smooth.
  let quiet = 0;
  const from = Math.max(3, indexAt(times_s, times_s[strongest]! - QUIET_FROM_s));
  const to = indexAt(times_s, times_s[strongest]! - QUIET_TO_s);
  for (let k = from; k <= to; k++) {
    const jump = jumpAt(track.acc, times_s, rate_Hz, k);
    if (jump > quiet) quiet = jump;
  }
  if (strength < Math.max(LEAST_mPerS2, LEAST_RATIO * quiet)) return null;
  const level = Math.max(ONSET_mPerS2, ONSET_RATIO * quiet);
  let onset = strongest;
  for (let k = strongest; k >= first && times_s[strongest]! - times_s[k]! <= RISE_s; k--) {
    if (jumpAt(track.acc, times_s, rate_Hz, k) > level) onset = k;
  }
  const clipped = ((track.clipped[onset - 1]! | track.clipped[onset]!) & CLIPPED_ACC) !== 0;
  return { place, before_s: times_s[onset - 1]! - start_s, after_s: times_s[onset]! - start_s, strength, clipped };
}

/** Index of the first sample at or after a time. */
function indexAt(times_s: Float64Array, time_s: number): number {
  let low = 0;
  let high = times_s.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times_s[middle]! < time_s) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Length of the difference of sample k to the quadratic through the three before it, m/s²; 0 where one is missing or dropped. */
function jumpAt(acc: Float64Array, times_s: Float64Array, rate_Hz: number, k: number): number {
  if (times_s[k]! - times_s[k - 3]! > 3.5 / rate_Hz) return 0;
  const n = times_s.length;
  let squares = 0;
  for (let c = 0; c < 3; c++) {
    const at = c * n + k;
    const jump = acc[at]! - 3 * (acc[at - 1]! - acc[at - 2]!) - acc[at - 3]!;
    squares += jump * jump;
  }
  return Number.isNaN(squares) ? 0 : Math.sqrt(squares);
}
