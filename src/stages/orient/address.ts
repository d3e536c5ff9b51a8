/** The swing in a recording of sensors, and the still address before it. */

import type { SensorPlace } from '../../model/sensors.ts';
import { shockOf } from '../sensors/shocks.ts';
import {
  fastestMoment,
  QUITE_STILL,
  STILL,
  type StillSearch,
  type Stretch,
  stillStretches,
} from '../shared/stillSensors.ts';

/** Backswing and downswing together last longer than this (common practice, no source): a pause at the top is no address. */
const SWING_s = 0.6;
/** An address is sought this long before impact. A gyro that drifts by 0.1°/s has turned by 1° then. */
const NEAR_s = 10;
/** Recordings longer than this hold more than a swing: their stillness must end as near to impact as an address does (a slow backswing and 1 s). */
export const LONG_RECORDING_s = 20;
const NEAR_IN_LONG_s = 2.5;
/** Of a still stretch its last second counts: long enough for a bias, short enough for a body that settles. */
const USED_s = 1;
/** A stiller stretch that ends so long before the other may be another one. */
const SAME_s = 1;

export interface SwingMoment {
  /** Largest angular velocity of any sensor. */
  readonly fastest_s: number;
  readonly rate_radPerS: number;
  /** The strongest shock of club, hands and forearms around it; without one the fastest moment. */
  readonly impact_s: number;
}

const SHOCKED: readonly SensorPlace[] = ['club', 'lead_hand', 'trail_hand', 'lead_forearm', 'trail_forearm'];

/** Null where no sensor turns at all. */
export function swingMoment(searches: ReadonlyMap<SensorPlace, StillSearch>): SwingMoment | null {
  let fastest_s = Number.NaN;
  let rate = 0;
  for (const search of searches.values()) {
    const found = fastestMoment(search);
    if (found !== null && found.rate_radPerS > rate) {
      rate = found.rate_radPerS;
      fastest_s = found.time_s;
    }
  }
  if (Number.isNaN(fastest_s)) return null;
  let impact_s = fastest_s;
  let strongest = 0;
  for (const place of SHOCKED) {
    const search = searches.get(place);
    if (search === undefined) continue;
    const shock = shockOf(search.track, place as 'club', 0, fastest_s);
    if (shock !== null && shock.strength > strongest) {
      strongest = shock.strength;
      impact_s = shock.after_s;
    }
  }
  return { fastest_s, rate_radPerS: rate, impact_s };
}

/** Seconds on the aligned clocks. */
export type Span = readonly [from_s: number, to_s: number];

export interface Address {
  /** Still in all sensors, or null. */
  readonly common: Span | null;
  /** Each sensor's own latest still stretch before the swing; those without one are not in it. */
  readonly own: ReadonlyMap<SensorPlace, Span>;
}

/**
 * The latest still stretch before the swing, its last second at most. A stretch that is stiller goes first where it ends within a second of the
 * other: the slow begin of a takeaway is then no part of it.
 */
export function findAddress(searches: ReadonlyMap<SensorPlace, StillSearch>, moment: SwingMoment): Address {
  let first = Number.POSITIVE_INFINITY;
  let last = Number.NEGATIVE_INFINITY;
  for (const { track } of searches.values()) {
    first = Math.min(first, track.times_s[0]!);
    last = Math.max(last, track.times_s[track.times_s.length - 1]!);
  }
  const near = last - first > LONG_RECORDING_s ? NEAR_IN_LONG_s : NEAR_s;
  const within: Span = [moment.impact_s - NEAR_s, moment.impact_s - SWING_s];
  const lists = new Map<SensorPlace, { readonly still: Span[]; readonly quite: Span[] }>();
  for (const [place, search] of searches) {
    lists.set(place, {
      still: spans(search, stillStretches(search, STILL), within, near),
      quite: spans(search, stillStretches(search, QUITE_STILL), within, near),
    });
  }
  const all = [...lists.values()];
  const own = new Map<SensorPlace, Span>();
  for (const [place, list] of lists) {
    const span = better(latest(list.still, STILL.least_s), latest(list.quite, QUITE_STILL.least_s));
    if (span !== null) own.set(place, span);
  }
  const common = better(
    latest(stillInAll(all.map(({ still }) => still)), STILL.least_s),
    latest(stillInAll(all.map(({ quite }) => quite)), QUITE_STILL.least_s),
  );
  return { common, own };
}

/** Cut to the span; those that end more than `near_s` before impact are left out. */
function spans({ track }: StillSearch, stretches: readonly Stretch[], [low, high]: Span, near_s: number): Span[] {
  const least = high + SWING_s - near_s;
  return stretches
    .map(({ from, to }): Span => [Math.max(low, track.times_s[from]!), Math.min(high, track.times_s[to - 1]!)])
    .filter(([from, to]) => to > from && to >= least);
}

/** Where all lists are still at once. */
function stillInAll(lists: readonly (readonly Span[])[]): Span[] {
  return lists.reduce<readonly Span[] | null>(
    (so_far, list) =>
      so_far === null
        ? list
        : so_far.flatMap(([a, b]) =>
            list.flatMap(([c, d]): Span[] =>
              Math.min(b, d) > Math.max(a, c) ? [[Math.max(a, c), Math.min(b, d)]] : [],
            ),
          ),
    null,
  ) as Span[];
}

function latest(list: readonly Span[], least_s: number): Span | null {
  const found = list.filter(([from, to]) => to - from >= least_s).at(-1);
  return found === undefined ? null : [Math.max(found[0], found[1] - USED_s), found[1]];
}

function better(still: Span | null, quite: Span | null): Span | null {
  return still !== null && quite !== null && still[1] - quite[1] <= SAME_s ? quite : still;
}
