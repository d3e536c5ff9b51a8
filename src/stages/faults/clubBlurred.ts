/** Markers near the club head that lie off their places where the club is fast. */

import { formatFixed } from '../../base/format.ts';
import type { BodyFaultLimits } from '../../model/bodyFaultLimits.ts';
import type { Fault } from '../../model/faults.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { HEAD_MARKERS } from '../shared/clubBody.ts';
import { median, sampleFrames } from '../shared/medians.ts';
import { distanceAt } from '../shared/tracks.ts';
import { BEFORE_IMPACT, type FastPart } from './fastPart.ts';

/** Fourth differences of noise of variance v have variance 70 v. */
const FOURTH_DIFFERENCE = 70;
/** Neighbouring fourth differences go together: about so many of them count as one (Σ of their squared correlations, 1 + 2 (0.64 + 0.16 + 0.013)). */
const TOGETHER = 2.6;
/** Numbers below which nothing is said. */
const FEWEST = 9;
/** Mean squares of noise this many standard deviations high are still noise. */
const NOISE_SDS = 5;

/** What two markers are off, as mean square per marker (three coordinates), and how much of it noise explains. */
interface Blur {
  squares: number;
  noise: number;
  count: number;
  freedom: number;
}

/**
 * `club-blurred`: how far the markers of the head and the lower shaft lie off their places in the last 60 ms before impact, RMS per marker, the
 * white noise of the rest of the trial taken off. Two signs, the larger counts: distances between the markers of the head, which is rigid, against
 * their medians before; and fourth differences of the vector from marker to marker, which turns too smoothly to have any (a vector of
 * 0.1 m at 40 rad/s and 240 Hz: 0.01 mm), so that places scattered along the way of the club are seen too. Tracks with their noise.
 */
export function clubBlurred(trial: MarkerTrial, part: FastPart, { clubBlur_m }: BodyFaultLimits): Fault[] {
  const seen = [...HEAD_MARKERS, 'CLUB_SHAFT' as const].filter((id) => trial.points.has(id));
  if (seen.length < 2) return [];
  const found = [shapeBlur(trial, part), scatterBlur(trial, seen, part)].flatMap((blur) => sizeOf(blur, clubBlur_m));
  if (found.length === 0) return [];
  return [
    {
      code: 'club-blurred',
      markers: [...seen].sort(),
      frames: [[part.from, part.struck - 1]],
      action: 'kept',
      detail: `off their places on the club by ${mm(Math.max(...found))} mm (RMS, noise taken off) ${BEFORE_IMPACT}; ${mm(clubBlur_m)} mm are allowed`,
    },
  ];
}

const mm = (metres: number): string => formatFixed(1000 * metres, 1);

/** The size beyond noise where it is above the limit, metres. */
function sizeOf({ squares, noise, count, freedom }: Blur, limit_m: number): readonly number[] {
  if (count < FEWEST) return [];
  const beyond = (squares - noise) / count;
  const scatter = NOISE_SDS * (noise / count) * Math.sqrt(2 / freedom);
  return beyond > limit_m * limit_m + scatter ? [Math.sqrt(beyond)] : [];
}

/** Of distances: a marker off by a random shift of mean square s changes them by 2 s / 3. */
function shapeBlur(trial: MarkerTrial, { from, struck }: FastPart): Blur {
  const blur: Blur = { squares: 0, noise: 0, count: 0, freedom: 0 };
  const slow = sampleFrames(from);
  HEAD_MARKERS.forEach((a, i) => {
    for (const b of HEAD_MARKERS.slice(i + 1)) {
      const [p, q] = [trial.points.get(a), trial.points.get(b)];
      if (p === undefined || q === undefined) continue;
      const usual_m = median(slow.map((f) => distanceAt(p, q, f)));
      const noise = 1.5 * variance(p, q);
      for (let f = from; f < struck; f++) {
        const off = distanceAt(p, q, f) - usual_m;
        if (Number.isNaN(off)) continue;
        blur.squares += 1.5 * off * off;
        blur.noise += noise;
        blur.count += 1;
        blur.freedom += 0.5; // three distances of three markers share them
      }
    }
  });
  return blur;
}

/** Of fourth differences of the vectors from each marker to the next. */
function scatterBlur(trial: MarkerTrial, seen: readonly LandmarkId[], { from, struck }: FastPart): Blur {
  const blur: Blur = { squares: 0, noise: 0, count: 0, freedom: 0 };
  const { frames } = trial.clock;
  seen.slice(1).forEach((id, i) => {
    const p = trial.points.get(seen[i]!)!;
    const q = trial.points.get(id)!;
    const noise = 1.5 * variance(p, q);
    for (let f = from + 2; f + 2 < struck; f++) {
      let squares = 0;
      for (let at = f; at < 3 * frames; at += frames) {
        const d = fourth(q.data, at) - fourth(p.data, at);
        squares += d * d;
      }
      if (Number.isNaN(squares)) continue;
      blur.squares += squares / FOURTH_DIFFERENCE / 2;
      blur.noise += noise;
      blur.count += 1;
      blur.freedom += 3 / TOGETHER / 1.5; // vectors of one chain share a marker
    }
  });
  return blur;
}

function fourth(x: Float64Array, i: number): number {
  return x[i - 2]! + x[i + 2]! - 4 * (x[i - 1]! + x[i + 1]!) + 6 * x[i]!;
}

/** Sum of the variances of the white noise of both, per axis. */
function variance(p: Track<3>, q: Track<3>): number {
  const sum = p.noise * p.noise + q.noise * q.noise;
  return Number.isNaN(sum) ? 0 : sum;
}
