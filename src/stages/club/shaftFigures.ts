/** Lie and lean of the shaft at impact. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Figured } from '../../model/delivery.ts';
import { MEASURED, type Track } from '../../model/track.ts';
import { fitShrunk, type ShrunkPriors } from '../../numeric/shrunkFit.ts';
import { PATH_WINDOW_s } from '../positions/strikeFit.ts';
import { leanOf, lieOf, wrapped } from './geometry.ts';
import { type ClubOptions, type Contact, isFilledBefore } from './strike.ts';

/** Of the angle in the plane of the shaft's motion and out of it, rad; as those of the head's turning (docs/decisions/0007). */
export const SHAFT_PRIORS: ShrunkPriors = { unit_s: 0.04, sds: [0.5, 0.2, 0.05, 0.02], sigmaFloor: 2e-6 };

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
    if (track.state[f] !== MEASURED) continue;
    times.push(f / rate_Hz);
    used.push(f);
  }
  const n = used.length;
  const directions = new Float64Array(3 * n);
  for (let i = 0; i < n; i++) for (let c = 0; c < 3; c++) directions[3 * i + c] = track.data[c * frames + used[i]!]!;
  const sphere = n < LEAST_SAMPLES ? null : new Sphere(directions);
  const fit =
    sphere === null
      ? null
      : fitShrunk(Float64Array.from(times), sphere.angles(directions), 2, n, track.noise, SHAFT_PRIORS);
  if (sphere === null || fit === null)
    return both(absent('too-few-samples', 'six samples of the shaft in the last 60 ms'));
  if (!(time_s - fit.to_s <= options.longestReach_s)) {
    return both(absent('too-few-samples', 'the shaft in the last 10 ms before impact'));
  }
  const flags = [...contact.value.flags];
  if (isFilledBefore(track, before)) flags.push('filled');
  if (track.provenance.includes('CLUB_HEAD')) flags.push('shaft-to-head-marker');
  const angles = new Float64Array(2);
  const d = new Float64Array(3);
  const at = (f: (d: Float64Array) => number, t: number): number => {
    fit.valueAt(t, angles);
    return f(sphere.directionOf(angles, d));
  };
  const figured = (f: (d: Float64Array) => number): Avail<Figured> => {
    const rate = wrapped(at(f, time_s + STEP_s) - at(f, time_s - STEP_s)) / (2 * STEP_s);
    const value = at(f, time_s);
    let square = 0;
    for (let c = 0; c < 2; c++) {
      angles[c] = angles[c]! + STEP;
      const slope = wrapped(f(sphere.directionOf(angles, d)) - value) / STEP;
      angles[c] = angles[c]! - STEP;
      square += slope * slope;
    }
    return present({ value, sd: Math.hypot(Math.sqrt(square) * fit.spread(time_s), rate * sd_s), flags });
  };
  return { lie: figured(lieOf), 'shaft-lean': figured(leanOf) };
}

/** Sine of the angle between first and last direction below which they span no plane: then any plane through the last will do. */
const LEAST_SPAN = 0.05;

/** Angles of directions about the last of them: in the plane of the first and the last, and out of it. */
class Sphere {
  readonly #axes: Float64Array;

  /** `directions`: unit vectors, x, y, z one after the other. */
  constructor(directions: Float64Array) {
    const last = directions.subarray(directions.length - 3);
    let normal = cross(directions, last);
    let length = Math.hypot(...normal);
    if (!(length > LEAST_SPAN)) {
      const least = [0, 1, 2].reduce((a, b) => (Math.abs(last[b]!) < Math.abs(last[a]!) ? b : a));
      normal = cross(
        [0, 1, 2].map((c) => (c === least ? 1 : 0)),
        last,
      );
      length = Math.hypot(...normal);
    }
    const n = normal.map((x) => x / length);
    this.#axes = Float64Array.from([...last, ...cross(n, last), ...n]);
  }

  /** All angles in the plane, then all out of it. */
  angles(directions: Float64Array): Float64Array {
    const n = directions.length / 3;
    const out = new Float64Array(2 * n);
    for (let i = 0; i < n; i++) {
      const [x, y, z] = [0, 3, 6].map((k) => {
        let sum = 0;
        for (let c = 0; c < 3; c++) sum += this.#axes[k + c]! * directions[3 * i + c]!;
        return sum;
      }) as [number, number, number];
      out[i] = Math.atan2(y, x);
      out[n + i] = Math.atan2(z, Math.sqrt(x * x + y * y));
    }
    return out;
  }

  directionOf(angles: Float64Array, out: Float64Array): Float64Array {
    const flat = Math.cos(angles[1]!);
    const [x, y, z] = [flat * Math.cos(angles[0]!), flat * Math.sin(angles[0]!), Math.sin(angles[1]!)];
    for (let c = 0; c < 3; c++) out[c] = x * this.#axes[c]! + y * this.#axes[3 + c]! + z * this.#axes[6 + c]!;
    return out;
  }
}

function cross(a: ArrayLike<number>, b: ArrayLike<number>): number[] {
  return [a[1]! * b[2]! - a[2]! * b[1]!, a[2]! * b[0]! - a[0]! * b[2]!, a[0]! * b[1]! - a[1]! * b[0]!];
}
