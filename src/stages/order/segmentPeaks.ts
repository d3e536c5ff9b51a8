/** When a segment of the body turns fastest: by size, about its long axis, about the normal of the swing plane. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Cutoffs, FilterGroup } from '../../model/dayPlan.ts';
import type { Motion, SegmentId } from '../../model/motion.ts';
import type { Link, SpeedPeak } from '../../model/orderOfMotion.ts';
import type { Track } from '../../model/track.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { whiteNoiseOf } from '../positions/localFit.ts';
import { fillFlags } from '../shared/sources.ts';
import { filteredCorrelation } from './noiseCorrelation.ts';
import { peakAround } from './peakFit.ts';
import { everywhere, NO_PEAK, type OfMethods } from './peaks.ts';
import type { SwingPlane } from './planeOfSwing.ts';
import type { SeriesNoise } from './quarticFit.ts';
import type { Search } from './search.ts';
import { ratesAsSpeeds, type Speeds, speedsOf } from './speedSeries.ts';

/**
 * What smoothing and the quartic do to a peak besides noise: they bring that of the chest forward by 4 to 5 ms and lower it by 0.6 % (over 80
 * invented swings, 12 Hz, 1 mm of noise).
 */
const SMOOTHED = { time_s: 0.005, share: 0.006 } as const;

type About = ArrayLike<number> | 'long axis';

interface SegmentOptions {
  readonly filter: Cutoffs;
  readonly widest_s: number;
}

/** The speeds of a segment between two frames of its clock, with the noise of its turning at one of them. */
interface Turning {
  readonly speeds: Speeds;
  /** Its own filled samples flag the peak. */
  readonly track: Track<3 | 9>;
  /** Standard deviation of the turn about a direction of the player frame or its own long axis, rad; NaN: white noise of the speed itself. */
  readonly noise: (frame: number, about: About) => number;
  readonly correlation: Float64Array | null;
}

export function segmentPeaks(
  motion: Motion,
  link: Exclude<Link, 'club'>,
  search: Search,
  plane: Avail<SwingPlane>,
  options: SegmentOptions,
  ws: Workspace,
): OfMethods {
  if (link === 'lead_hand' && trackOf(motion, 'lead_forearm').ok) {
    return everywhere(
      absent('forearm-instead', 'a forearm without a frame of its own: the hand only stands in for it'),
    );
  }
  const track = trackOf(motion, link);
  if (!track.ok) return everywhere(track);
  const { rate_Hz, frames } = motion.clock;
  const widest = Math.max(3, Math.round(options.widest_s * rate_Hz));
  const first = Math.max(0, Math.floor(search.from_s * rate_Hz) - widest);
  const end = Math.min(frames, Math.ceil(search.to_s * rate_Hz) + widest + 1);
  if (end - first < 8) return everywhere(absent('too-few-samples', 'the frames between the top and impact'));
  // Headings that are zeroed segment by segment share no plane.
  const isTied = motion.headingZero !== 'P1' || motion.headingsTied === true;
  const normal = plane.ok && isTied ? plane.value.normal : null;
  const turning = turningOf(motion, link, track.value, first, end, normal, options, widest, ws);
  const { speeds } = turning;
  const low = search.from_s * rate_Hz - first;
  const high = search.to_s * rate_Hz - first;
  const peak = (series: Float64Array, about: (top: number) => About, flags: readonly string[]): Avail<SpeedPeak> => {
    const top = fastest(series, low, high);
    if (top < 0) return absent('sample-missing', `the ${link.replaceAll('_', ' ')} between the top and impact`);
    const upward = series[top]! < 0 ? negated(series, ws) : series;
    const sd_rad = turning.noise(first + top, about(top));
    const noise: SeriesNoise = Number.isFinite(sd_rad)
      ? { kind: 'angles', sd_rad, correlation: turning.correlation }
      : { kind: 'white', sd: whiteNoiseOf(series, 0, series.length) };
    const fit = peakAround(upward, top, low, high, widest, noise, rate_Hz);
    if (fit === null) return NO_PEAK;
    const own = [...flags, ...search.flags];
    if (fit.rival > 0) own.push('two-peaks');
    if (fit.rising) own.push('rising-at-impact');
    const at = first + fit.at;
    own.push(...fillFlags([present(turning.track)], Math.round(at) - 3, Math.round(at) + 3));
    const isSmoothed = turning.correlation !== null;
    const sd_s = fit.rising
      ? 0
      : Math.hypot(fit.atSd / rate_Hz, fit.rival / (2 * rate_Hz), isSmoothed ? SMOOTHED.time_s : 0);
    return present({
      before_s: fit.rising ? 0 : search.to_s - at / rate_Hz,
      beforeSd_s: Math.hypot(sd_s, search.toSd_s),
      speed_radPerS: fit.value,
      speedSd_radPerS: Math.hypot(
        fit.valueSd,
        isSmoothed ? SMOOTHED.share * fit.value : 0,
        fit.rise * rate_Hz * search.toSd_s,
      ),
      flags: own,
    });
  };
  return {
    magnitude: peak(speeds.size, (top) => directionOf(speeds, top), []),
    long_axis: peak(speeds.own, () => 'long axis', []),
    swing_plane: !plane.ok
      ? plane
      : speeds.plane === null
        ? absent('headings-not-tied', 'headings of one system: each sensor’s is zero at P1 by itself')
        : peak(speeds.plane, () => plane.value.normal, plane.value.flags),
  };
}

/** What the turning is read from: of sensors their rates, which limbs have without a heading; of markers the pose. */
function trackOf(motion: Motion, link: SegmentId): Avail<Track<3 | 9>> {
  const rates = motion.turning?.get(link);
  if (rates !== undefined) return rates;
  return motion.poses.get(link) ?? absent('landmark-missing', `the ${link.replaceAll('_', ' ')}`);
}

function turningOf(
  motion: Motion,
  link: SegmentId,
  track: Track<3 | 9>,
  first: number,
  end: number,
  normal: ArrayLike<number> | null,
  { filter }: SegmentOptions,
  widest: number,
  ws: Workspace,
): Turning {
  const pose = motion.poses.get(link);
  const R = pose?.ok === true ? pose.value : null;
  if (track.dimension === 3) {
    const speeds = ratesAsSpeeds(track.data, R?.data ?? null, motion.clock, first, end, normal, ws);
    return { speeds, track, noise: () => Number.NaN, correlation: null };
  }
  const rotations = track as Track<9>;
  const speeds = speedsOf(rotations.data, motion.clock, first, end, normal, ws);
  if (motion.head.source === 'sensors') return { speeds, track, noise: () => Number.NaN, correlation: null };
  const group = filterGroupOf(link);
  const isSpline = filter.chosen?.[group] === 'cross-validation';
  return {
    speeds,
    track,
    noise: (frame, about) => noiseAbout(rotations, frame, about),
    correlation: filteredCorrelation(filter[group], motion.clock.rate_Hz, 2 * widest + 6, isSpline),
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

function directionOf({ w, n, size }: Speeds, top: number): readonly number[] {
  return [w[top]! / size[top]!, w[n + top]! / size[top]!, w[2 * n + top]! / size[top]!];
}

function noiseAbout({ data, noise, axisNoise_rad }: Track<9>, frame: number, about: About): number {
  if (axisNoise_rad === undefined) return noise;
  if (about === 'long axis') return axisNoise_rad[1];
  let variance = 0;
  for (let axis = 0; axis < 3; axis++) {
    let along = 0;
    for (let c = 0; c < 3; c++) along += about[c]! * data[9 * frame + 3 * c + axis]!;
    variance += along * along * axisNoise_rad[axis]! * axisNoise_rad[axis]!;
  }
  return Math.sqrt(variance);
}

/** Whose cutoff most of the markers have that a segment is made of. */
function filterGroupOf(link: SegmentId): FilterGroup {
  if (link === 'lead_upper_arm') return 'upperArm_Hz';
  return link === 'lead_forearm' || link === 'lead_hand' ? 'forearm_Hz' : 'trunk_Hz';
}
