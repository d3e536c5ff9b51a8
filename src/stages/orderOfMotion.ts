/** The order of motion: when, before impact, each link from the pelvis to the club turns fastest, and how fast. */

import type { Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { FilterOptions } from '../model/dayPlan.ts';
import type { FoundPositions } from '../model/delivery.ts';
import type { Motion, SegmentId } from '../model/motion.ts';
import {
  LINKS,
  type Link,
  ORDER_METHODS,
  type OrderMethod,
  type OrderOfMotion,
  type SpeedPeak,
} from '../model/orderOfMotion.ts';
import { FILLED_CUBIC, type Track } from '../model/track.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { filteredCorrelation } from './order/noiseCorrelation.ts';
import { peakAround, type SeriesNoise } from './order/peakFit.ts';
import { planeOfSwing, type SwingPlane } from './order/planeOfSwing.ts';
import { type ShaftPeak, shaftPeaks } from './order/shaftTurning.ts';
import { type Speeds, speedsOf } from './order/speedSeries.ts';
import { whiteNoiseOf } from './positions/localFit.ts';
import { planeOfDirections } from './positions/rotationInPlane.ts';
import { noiseOf } from './positions/strikeFit.ts';

export interface OrderOptions {
  /** The smoothing that the markers have had: it decides how their noise hangs together. */
  readonly filter: FilterOptions;
  /** The search begins this long before the top, since the pelvis turns round before the club does. */
  readonly beforeTop_s: number;
  /** Where the top is missing: this long before impact, flagged 'top-missing'. A downswing takes 0.2 to 0.3 s. */
  readonly withoutTop_s: number;
  /** Half of the longest stretch of a segment that is fitted. */
  readonly widest_s: number;
  /** The club's fit may be carried on past its last sample by this much. */
  readonly longestReach_s: number;
}

export const DEFAULT_ORDER_OPTIONS: Omit<OrderOptions, 'filter'> = {
  beforeTop_s: 0.05,
  withoutTop_s: 0.3,
  widest_s: 0.05,
  longestReach_s: 0.0105,
};

/** Between which times peaks are looked for, seconds. */
interface Search {
  readonly from_s: number;
  readonly to_s: number;
  readonly toSd_s: number;
  readonly flags: readonly string[];
}

/**
 * Peaks of every link by the three methods (model/orderOfMotion.ts). Body: angular velocity from rotations (never from Cardan angles), as
 * smoothed, a quartic around the fastest frame; it runs through impact. About the long axis of sensors as the gyro measures it. Club: the
 * turning of the shaft, from samples before the strike alone; about its own long axis a club only twists, so it has no part in that method.
 * Absent with its reason: without impact, without the link's frame, and where the speed only falls from the beginning of the search on.
 */
export function orderOfMotion(
  motion: Motion,
  found: FoundPositions,
  options: OrderOptions,
  ws: Workspace,
): Outcome<OrderOfMotion> {
  const search = searchOf(found, options);
  const plane = planeOfSwing(motion, found, ws);
  const peaks = Object.fromEntries(
    ORDER_METHODS.map((method) => [method, {} as Record<Link, Avail<SpeedPeak>>]),
  ) as Record<OrderMethod, Record<Link, Avail<SpeedPeak>>>;
  for (const link of LINKS) {
    const of = !search.ok
      ? everywhere(search)
      : link === 'club'
        ? clubPeaks(motion, found, search.value, plane, options)
        : segmentPeaks(motion, link, search.value, plane, options, ws);
    for (const method of ORDER_METHODS) peaks[method][link] = of[method];
  }
  return { value: peaks, diagnostics: [] };
}

type OfMethods = Readonly<Record<OrderMethod, Avail<SpeedPeak>>>;

function everywhere(why: Avail<never>): OfMethods {
  return { magnitude: why, long_axis: why, swing_plane: why };
}

function searchOf({ moments }: FoundPositions, options: OrderOptions): Avail<Search> {
  const p7 = moments.get('P7');
  if (p7?.found !== true)
    return p7 === undefined ? absent('no-impact', 'the moment of impact (P7)') : { ok: false, why: p7.why };
  const top = [moments.get('P4'), moments.get('P4(arm)')].find((moment) => moment?.found === true);
  const hasTop = top?.found === true;
  const flags = p7.flags.filter((flag) => flag === 'contact-place-assumed' || flag === 'event-time');
  return present({
    from_s: hasTop ? top.time_s - options.beforeTop_s : p7.time_s - options.withoutTop_s,
    to_s: p7.time_s,
    toSd_s: p7.sd_s,
    flags: hasTop ? flags : [...flags, 'top-missing'],
  });
}

/**
 * What smoothing and the quartic do to a peak besides noise: they move that of the chest by 4 ms and lower it by 0.6 % (root mean squares
 * over 80 invented swings, 12 Hz, 1 mm of noise).
 */
const SMOOTHED = { time_s: 0.004, share: 0.006 } as const;

const NO_PEAK = absent<never>('no-peak', 'a speed that rises and falls between the top and impact');

function segmentPeaks(
  motion: Motion,
  link: Exclude<Link, 'club'>,
  search: Search,
  plane: Avail<SwingPlane>,
  options: OrderOptions,
  ws: Workspace,
): OfMethods {
  const forearm = motion.poses.get('lead_forearm');
  if (link === 'lead_hand' && forearm?.ok === true) {
    return everywhere(
      absent('forearm-instead', 'a forearm without a frame of its own: the hand only stands in for it'),
    );
  }
  const pose = motion.poses.get(link);
  if (pose === undefined) return everywhere(absent('landmark-missing', `the ${link.replaceAll('_', ' ')}`));
  if (!pose.ok) return everywhere(pose);
  const track = pose.value;
  const { rate_Hz, frames } = motion.clock;
  const widest = Math.max(3, Math.round(options.widest_s * rate_Hz));
  const first = Math.max(0, Math.floor(search.from_s * rate_Hz) - widest);
  const end = Math.min(frames, Math.ceil(search.to_s * rate_Hz) + widest + 1);
  if (end - first < 8) return everywhere(absent('too-few-samples', 'the frames between the top and impact'));
  // Headings that are zeroed segment by segment share no plane.
  const isTied = motion.headingZero !== 'P1' || motion.headingsTied === true;
  const normal = plane.ok && isTied ? plane.value.normal : null;
  const speeds = speedsOf(track.data, motion.clock, first, end, normal, ws);
  const measured = motion.rates?.get(link)?.subarray(first, end);
  const correlation =
    motion.head.source === 'sensors'
      ? null
      : filteredCorrelation(cutoffOf(link, options.filter), rate_Hz, 2 * widest + 6);
  const isSmoothed = correlation !== null;
  const peak = (
    series: Float64Array,
    noiseAt: (top: number) => number,
    flags: readonly string[],
    signed: boolean,
  ): Avail<SpeedPeak> => {
    const low = search.from_s * rate_Hz - first;
    const high = search.to_s * rate_Hz - first;
    const top = fastest(series, low, high);
    if (top < 0) return absent('sample-missing', `the ${link.replaceAll('_', ' ')} between the top and impact`);
    const upward = signed && series[top]! < 0 ? negated(series, ws) : series;
    const sd_rad = noiseAt(top);
    const noise: SeriesNoise = Number.isFinite(sd_rad)
      ? { kind: 'angles', sd_rad, correlation }
      : { kind: 'white', sd: whiteNoiseOf(series, 0, series.length) };
    const fit = peakAround(upward, top, low, high, widest, noise, rate_Hz);
    if (fit === null) return NO_PEAK;
    const own = [...flags, ...search.flags];
    if (fit.rival > 0) own.push('two-peaks');
    const sd_s = fit.rising
      ? 0
      : Math.hypot(fit.atSd / rate_Hz, fit.rival / (2 * rate_Hz), isSmoothed ? SMOOTHED.time_s : 0);
    if (fit.rising) own.push('rising-at-impact');
    if (isFilledAround(track, Math.round(first + fit.at), 3)) own.push('filled');
    return present({
      before_s: fit.rising ? 0 : search.to_s - (first + fit.at) / rate_Hz,
      beforeSd_s: Math.sqrt(sd_s * sd_s + search.toSd_s * search.toSd_s),
      speed_radPerS: fit.value,
      speedSd_radPerS: Math.hypot(fit.valueSd, isSmoothed ? SMOOTHED.share * fit.value : 0),
      flags: own,
    });
  };
  return {
    magnitude: peak(speeds.size, (top) => noiseAlong(track, speeds, top), [], false),
    long_axis:
      measured === undefined
        ? peak(speeds.own, () => track.axisNoise_rad?.[1] ?? track.noise, [], true)
        : peak(measured, () => Number.NaN, [], true),
    swing_plane: !plane.ok
      ? plane
      : speeds.plane === null
        ? absent('headings-not-tied', 'headings of one system: each sensor’s is zero at P1 by itself')
        : peak(speeds.plane, (top) => noiseAbout(track, first + top, plane.value.normal), plane.value.flags, true),
  };
}

/** Frame of the largest size within [low, high], −1 where there is none. */
function fastest(series: Float64Array, low: number, high: number): number {
  let top = -1;
  for (let i = Math.max(0, Math.ceil(low)); i <= Math.min(series.length - 1, Math.floor(high)); i++) {
    if (Number.isNaN(series[i])) continue;
    if (top < 0 || Math.abs(series[i]!) > Math.abs(series[top]!)) top = i;
  }
  return top;
}

function negated(series: Float64Array, ws: Workspace): Float64Array {
  const out = ws.float64(series.length);
  for (let i = 0; i < series.length; i++) out[i] = -series[i]!;
  return out;
}

/** Standard deviation of the segment's turn about the direction in which it turns at a frame of the series, rad. */
function noiseAlong(track: Track<9>, { w, n, size, from }: Speeds, top: number): number {
  const about = [w[top]! / size[top]!, w[n + top]! / size[top]!, w[2 * n + top]! / size[top]!];
  return noiseAbout(track, from + top, about);
}

/** Standard deviation of the segment's turn about a direction of the player frame, rad. */
function noiseAbout({ data, noise, axisNoise_rad }: Track<9>, frame: number, about: ArrayLike<number>): number {
  if (axisNoise_rad === undefined) return noise;
  let variance = 0;
  for (let axis = 0; axis < 3; axis++) {
    let along = 0;
    for (let c = 0; c < 3; c++) along += about[c]! * data[9 * frame + 3 * c + axis]!;
    variance += along * along * axisNoise_rad[axis]! * axisNoise_rad[axis]!;
  }
  return Math.sqrt(variance);
}

function isFilledAround({ state }: Track<3 | 9>, frame: number, reach: number): boolean {
  for (let f = Math.max(0, frame - reach); f <= Math.min(state.length - 1, frame + reach); f++) {
    if (state[f]! >= FILLED_CUBIC) return true;
  }
  return false;
}

/** The cutoff of most of the markers that a segment is made of. */
function cutoffOf(link: SegmentId, filter: FilterOptions): number | null {
  if (link === 'lead_upper_arm') return filter.upperArm_Hz;
  return link === 'lead_forearm' || link === 'lead_hand' ? filter.forearm_Hz : filter.trunk_Hz;
}

function clubPeaks(
  motion: Motion,
  found: FoundPositions,
  search: Search,
  plane: Avail<SwingPlane>,
  options: OrderOptions,
): OfMethods {
  const twist = absent<never>('club-twist-only', 'nothing: about its own long axis a club only twists');
  const shaft = motion.directions.get('shaft');
  if (shaft?.ok !== true) {
    const why = shaft ?? absent<never>('landmark-missing', 'CLUB_GRIP and CLUB_SHAFT');
    return { magnitude: why, long_axis: twist, swing_plane: why };
  }
  const { rate_Hz, frames } = motion.clock;
  const last = Math.min(frames - 1, found.impact.ok ? found.impact.value.before : Math.floor(search.to_s * rate_Hz));
  const low = search.from_s * rate_Hz;
  const high = search.to_s * rate_Hz;
  const top = fastestOfShaft(shaft.value, low, last);
  const normal = new Float64Array(3);
  const missing = absent<never>('too-few-samples', 'the shaft between the top and impact');
  if (top < 0 || !planeOfDirections(shaft.value, top - Math.round(0.06 * rate_Hz), last, normal)) {
    return { magnitude: missing, long_axis: twist, swing_plane: missing };
  }
  if (plane.ok) normal.set(plane.value.normal);
  const peaks = shaftPeaks(shaft.value, normal, top, low, high, last, noiseOf(shaft.value));
  const told = (peak: ShaftPeak | null, flags: readonly string[]): Avail<SpeedPeak> => {
    if (peak === null) return NO_PEAK;
    if (peak.at - lastPresent(shaft.value, last) > options.longestReach_s * rate_Hz) return missing;
    const sd_s = peak.atSd / rate_Hz;
    const own = [...flags, ...search.flags];
    if (peak.rising) own.push('rising-at-impact');
    if (isFilledAround(shaft.value, Math.min(last - 2, Math.round(peak.at)), 2)) own.push('filled');
    return present({
      before_s: peak.rising ? 0 : search.to_s - peak.at / rate_Hz,
      beforeSd_s: Math.sqrt(sd_s * sd_s + search.toSd_s * search.toSd_s),
      speed_radPerS: peak.speed_radPerS,
      speedSd_radPerS: peak.speedSd_radPerS,
      flags: own,
    });
  };
  return {
    magnitude: told(peaks.size, []),
    long_axis: twist,
    swing_plane: plane.ok ? told(peaks.plane, plane.value.flags) : plane,
  };
}

/** The frame around which the shaft turns most over two frames, −1 where there is none. */
function fastestOfShaft({ data, clock }: Track<3>, low: number, last: number): number {
  const { frames } = clock;
  let top = -1;
  let least = 2;
  for (let f = Math.max(1, Math.ceil(low)); f <= last - 1; f++) {
    let cosine = 0;
    for (let c = 0; c < 3; c++) cosine += data[c * frames + f - 1]! * data[c * frames + f + 1]!;
    if (!(cosine < least)) continue;
    least = cosine;
    top = f;
  }
  return top;
}

function lastPresent({ data }: Track<3>, last: number): number {
  let f = last;
  while (f >= 0 && Number.isNaN(data[f])) f -= 1;
  return f;
}
