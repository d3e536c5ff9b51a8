/** When the club turns fastest: its shaft, from samples before the strike alone. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { FoundPositions } from '../../model/delivery.ts';
import type { Motion } from '../../model/motion.ts';
import type { SpeedPeak } from '../../model/orderOfMotion.ts';
import type { Track } from '../../model/track.ts';
import { planeOfDirections } from '../positions/rotationInPlane.ts';
import { whiteNoise } from '../shared/markerNoise.ts';
import { fillFlags } from '../shared/sources.ts';
import type { OfMethods } from './peaks.ts';
import type { SwingPlane } from './planeOfSwing.ts';
import type { Search } from './search.ts';
import { type ShaftPeak, shaftPeaks } from './shaftTurning.ts';

/** The plane of the shaft about which its turning is counted is that of this long before its fastest sample to impact. */
const PLANE_s = 0.06;

/** Orientations of sensors and their common clock are made with samples after the strike: this many frames before it hold some of it. */
const STRUCK_FRAMES = 2;

/** `longestReach_s`: the fit may be carried on past the last sample by this much. */
export function clubPeaks(
  motion: Motion,
  found: FoundPositions,
  search: Search,
  plane: Avail<SwingPlane>,
  longestReach_s: number,
): OfMethods {
  const twist = absent<never>('club-twist-only', 'nothing: about its own long axis a club only twists');
  const shaft = motion.directions.get('shaft');
  if (shaft?.ok !== true) {
    const why = shaft ?? absent<never>('landmark-missing', 'CLUB_GRIP and CLUB_SHAFT');
    return { magnitude: why, long_axis: twist, swing_plane: why };
  }
  const { rate_Hz, frames } = motion.clock;
  const before = found.impact.ok ? found.impact.value.before : Math.floor(search.to_s * rate_Hz);
  const last = Math.min(frames - 1, before - (motion.head.source === 'sensors' ? STRUCK_FRAMES : 0));
  const low = search.from_s * rate_Hz;
  const high = search.to_s * rate_Hz;
  const top = fastestOfShaft(shaft.value, low, last);
  const normal = new Float64Array(3);
  const missing = absent<never>('too-few-samples', 'the shaft from the top to 15 ms before impact or less');
  if (top < 0 || !planeOfDirections(shaft.value, top - Math.round(PLANE_s * rate_Hz), last, normal)) {
    return { magnitude: missing, long_axis: twist, swing_plane: missing };
  }
  if (plane.ok) normal.set(plane.value.normal);
  const peaks = shaftPeaks(shaft.value, normal, top, low, high, last, noiseOfShaft(motion, shaft.value));
  const told = (peak: ShaftPeak | null, flags: readonly string[]): Avail<SpeedPeak> => {
    if (peak === null) return absent('no-peak', 'a speed of the shaft that stands out of its noise');
    if (peak.at - lastPresent(shaft.value, last) > longestReach_s * rate_Hz) return missing;
    const own = [...flags, ...search.flags];
    if (peak.rising) own.push('rising-at-impact');
    const nearest = Math.min(last - 2, Math.round(peak.at));
    own.push(...fillFlags([shaft], nearest - 2, nearest + 2));
    return present({
      before_s: peak.rising ? 0 : search.to_s - peak.at / rate_Hz,
      beforeSd_s: Math.hypot(peak.atSd / rate_Hz, search.toSd_s),
      speed_radPerS: peak.speed_radPerS,
      // A speed that still rises is that of the moment of impact.
      speedSd_radPerS: Math.hypot(peak.speedSd_radPerS, peak.rise * rate_Hz * search.toSd_s),
      flags: own,
    });
  };
  return {
    magnitude: told(peaks.size, []),
    long_axis: twist,
    swing_plane: plane.ok ? told(peaks.plane, plane.value.flags) : plane,
  };
}

/** Of one component, rad: as stored, of sensors (whose stored one is drift) and where none is stored that of the directions themselves. */
function noiseOfShaft(motion: Motion, { data, noise, clock }: Track<3>): number {
  if (motion.head.source !== 'sensors' && Number.isFinite(noise)) return noise;
  const measured = whiteNoise(data, clock.frames, new Float64Array(Math.ceil(clock.frames / 16) + 1));
  return Number.isFinite(measured) ? measured : 0;
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
