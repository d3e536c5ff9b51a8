/** Whether shocks that several sensors feel contradict time stamps that are believed. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import type { Shock } from '../../model/motion.ts';
import type { SensorPlace, SensorTrack } from '../../model/sensors.ts';
import type { SensorTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { placeWords } from '../sensors/places.ts';
import { shockOf } from '../sensors/shocks.ts';
import { fastestMoment, stillSearch } from '../shared/stillSensors.ts';
import { orientDiagnostic } from './diagnosticCodes.ts';
import { knockTime, type SharpShock, sharpShocks } from './knock.ts';

/**
 * What one clock may show of one shock, besides a sample of each sensor: a heel strike is at the skull 10 ms after the shank (Light, McLellan and
 * Klenerman 1980, J Biomech 13:477–480; from memory), and two places on trunk, arms and grip are less than that apart; low-pass filters of sensors of
 * one make delay all alike (common practice, no source).
 */
const TRAVEL_s = 0.005;
/** Knocks are sought up to this long before the sensor's fastest moment: in the downswing heels land and arms are jerked, each for itself. */
const BEFORE_FASTEST_s = 1;
/** Weaker ones, and those below this share of the sensor's strongest, contradict nothing (choice of this program; a stamp is felt with 20 m/s² and more). */
const CLEAR_mPerS2 = 8;
const STRONG = 0.5;
/** Segments are fastest within this of one another, the head last: shocks that lie further apart by their sensors' swings are two events. */
const SWING_SPREAD_s = 0.5;
/** Strikes are felt here; a trunk feels its own feet as well. */
const STRUCK: ReadonlySet<SensorPlace> = new Set<Shock['place']>([
  'club',
  'lead_hand',
  'trail_hand',
  'lead_forearm',
  'trail_forearm',
]);
/** Proposed where it serves: the first second of every sensor. */
const FIRST_s = 1;
const MARGIN_s = 0.1;

interface Felt {
  readonly track: SensorTrack;
  readonly fastest_s: number;
  /** The clear ones. */
  readonly knocks: readonly SharpShock[];
  /** With the weak ones. */
  readonly all: readonly SharpShock[];
  readonly strike_s: number | null;
}

/** Two sensors whose clocks a common shock compares: time on the second less time on the first; zero where it fits one clock. */
interface Pair {
  readonly first: Felt;
  readonly second: Felt;
  readonly by: 'knock' | 'strike';
  readonly later_s: number;
}

/**
 * The warning `clocks-disagree`, or null. Knocks (sharp shocks out of stillness, as `knock_s` finds them) are compared between any two sensors, the
 * strike between club, hands and forearms. A pair of which one of both fits one clock is no contradiction; nor are shocks that only one
 * sensor feels, or several from which no common one stands out.
 */
export function clocksDisagree(trial: SensorTrial, ws: Workspace): Diagnostic | null {
  const felt: Felt[] = [];
  for (const [place, track] of trial.sensors) {
    if (track.acc === null || trial.unusable?.has(place)) continue;
    const fastest_s = fastestMoment(stillSearch(track, null, ws))?.time_s;
    if (fastest_s !== undefined) felt.push(feltBy(track, fastest_s));
  }
  const pairs: Pair[] = [];
  felt.forEach((first, i) => {
    for (const second of felt.slice(i + 1)) {
      const pair = compared(first, second);
      if (pair !== null && pair.later_s !== 0) pairs.push(pair);
    }
  });
  if (pairs.length === 0) return null;
  pairs.sort((a, b) => Math.abs(b.later_s) - Math.abs(a.later_s));
  return orientDiagnostic('clocks-disagree', `${differences(pairs)}; ${proposal(felt, pairs)}`);
}

function feltBy(track: SensorTrack, fastest_s: number): Felt {
  const all = sharpShocks(track, track.times_s[0]!, fastest_s - BEFORE_FASTEST_s);
  const strongest = Math.max(...all.map((one) => one.size_mPerS2));
  const knocks = all.filter((one) => one.size_mPerS2 >= Math.max(CLEAR_mPerS2, STRONG * strongest));
  return { track, fastest_s, knocks, all, strike_s: strikeOf(track, fastest_s) };
}

function strikeOf(track: SensorTrack, fastest_s: number): number | null {
  if (!STRUCK.has(track.place)) return null;
  const found = shockOf(track, track.place as Shock['place'], 0, fastest_s);
  return found === null || found.clipped ? null : 0.5 * (found.before_s + found.after_s);
}

/** What one clock allows: a sample of each and the travel. */
function allowed(first: Felt, second: Felt): number {
  return 1 / first.track.rate_Hz + 1 / second.track.rate_Hz + TRAVEL_s;
}

function compared(first: Felt, second: Felt): Pair | null {
  const most = allowed(first, second);
  const strike = first.strike_s === null || second.strike_s === null ? null : second.strike_s - first.strike_s;
  const knock = knockLag(first, second, most);
  for (const [by, lag] of [
    ['knock', knock],
    ['strike', strike],
  ] as const) {
    if (lag !== null && Math.abs(lag) <= most) return { first, second, by, later_s: 0 };
  }
  if (knock !== null) return { first, second, by: 'knock', later_s: knock };
  return strike === null ? null : { first, second, by: 'strike', later_s: strike };
}

/** The lag under which the most clear knocks of both are one; null where none stands out. Zero where one clock explains as many, weak ones counted too. */
function knockLag(first: Felt, second: Felt, most: number): number | null {
  const shared = (lag: number, ones: readonly SharpShock[], others: readonly SharpShock[]): number =>
    ones.filter((a) => others.some((b) => Math.abs(b.time_s - a.time_s - lag) <= most)).length;
  let best = 0;
  let count = Math.max(shared(0, first.knocks, second.all), shared(0, first.all, second.knocks));
  for (const a of first.knocks) {
    for (const b of second.knocks) {
      const lag = b.time_s - a.time_s;
      if (Math.abs(lag - (second.fastest_s - first.fastest_s)) > SWING_SPREAD_s) continue;
      const now = shared(lag, first.knocks, second.knocks);
      if (now <= count) continue;
      count = now;
      best = lag;
    }
  }
  if (count === 0) return null;
  const longer = Math.max(first.knocks.length, second.knocks.length);
  return longer === 1 || best === 0 || (count >= 2 && 2 * count >= longer) ? best : null;
}

const milliseconds = (time_s: number): string => `${formatFixed(1000 * time_s, 1)} ms`;

/** Widest first, as many as name every sensor. */
function differences(pairs: readonly Pair[]): string {
  const named = new Set<Felt>();
  const texts = { knock: [] as string[], strike: [] as string[] };
  for (const { first, second, by, later_s } of pairs) {
    if (named.has(first) && named.has(second)) continue;
    named.add(first).add(second);
    const [early, late] = later_s > 0 ? [first, second] : [second, first];
    const [a, b] = [placeWords(early.track.place), placeWords(late.track.place)];
    texts[by].push(`${b} ${milliseconds(Math.abs(later_s))} after ${a}`);
  }
  const least = Math.min(...pairs.map(({ first, second }) => allowed(first, second)));
  const told = (['knock', 'strike'] as const)
    .filter((by) => texts[by].length > 0)
    .map((by) => `the same ${by} is stamped by ${texts[by].join(', by ')}`);
  return `${told.join('; ')}; on one clock within ${milliseconds(least)}`;
}

/** What to set: times between which every sensor that could feel it does feel one and the same knock. */
function proposal(felt: readonly Felt[], pairs: readonly Pair[]): string {
  const knocked = felt.filter(({ knocks }) => knocks.length > 0);
  const own = knocked.map(({ track, knocks }) => knocks[0]!.time_s - track.times_s[0]!);
  const latest = Math.max(...own);
  const window =
    latest < FIRST_s - MARGIN_s
      ? ([0, FIRST_s] as const)
      : ([Math.max(0, Math.min(...own) - MARGIN_s), latest + MARGIN_s] as const);
  const [from, to] = [Math.floor(10 * window[0]) / 10, Math.ceil(10 * window[1]) / 10];
  const serves =
    pairs.every(({ first, second }) => knocked.includes(first) && knocked.includes(second)) &&
    knocked.every(({ track, knocks }) => {
      const at = knockTime(track, from, to);
      return at !== null && Math.abs(at - knocks[0]!.time_s) < TRAVEL_s;
    });
  if (!serves) {
    return 'no clear knock before the swing is felt by all of these: knock once at the start of each recording and set align: {knock_s: [0, 1]}, or record a trigger';
  }
  const who =
    knocked.length === felt.length ? 'every sensor feels' : `${knocked.length} of ${felt.length} sensors feel`;
  const where = from === 0 && to === FIRST_s ? 'in its first second' : 'in that time from its first sample';
  return `${who} a clear knock ${where}: set align: {knock_s: [${decimal(from)}, ${decimal(to)}]}`;
}

const decimal = (value: number): string => formatFixed(value, value === Math.round(value) ? 0 : 1);
