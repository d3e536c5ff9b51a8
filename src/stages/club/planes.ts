/** Planes of the head point's path, and whether velocity and plane agree. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Figured } from '../../model/delivery.ts';
import { FILLED_CUBIC, MISSING, type Track } from '../../model/track.ts';
import { evaluateSpline, splineSlopes } from '../../numeric/cubicSpline.ts';
import { fitPlane } from '../../numeric/planeFit.ts';
import { headingOf, type PlaneAngles, pathInPlane, planeAngles, riseOf, wrapped } from './geometry.ts';
import type { Strike } from './strike.ts';

/** Stretch before impact of the late plane, seconds. */
export const LATE_s = 0.05;
/** A disagreement beyond this is flagged, rad. */
export const DISAGREES_rad = (1.5 * Math.PI) / 180;
/** Places along the stretch, evenly in time: more change the plane by less than 0.002°. */
const STEPS = 48;
/** Samples taken beyond the ends of a stretch for the spline. */
const MARGIN = 4;
const LEAST_SAMPLES = 6;
/** In-plane spread over length below which the path is a line and has no plane. */
const LEAST_BREADTH = 0.02;

/** The head point's place at a time, metres in G. */
export type PlaceAt = (t_s: number, out: Float64Array) => void;

export interface PathPlane {
  readonly normal: Float64Array;
  readonly angles: PlaneAngles;
  /** Independent changes of the normal of one standard deviation each: noise along two axes, and the ends of the stretch. */
  readonly changes: readonly Float64Array[];
  /** Velocity of the head at impact, which the base line follows. */
  readonly along: Float64Array;
  /** 'filled' where samples of the stretch were filled. */
  readonly flags: readonly string[];
}

/** A moment with its standard deviation, seconds. */
export interface Instant {
  readonly time_s: number;
  readonly sd_s: number;
}

/** Places between samples of `track` by a cubic spline through the samples of [first, last]; null with fewer than six. */
export function splineOf(track: Track<3>, first: number, last: number): PlaceAt | null {
  const { frames, rate_Hz } = track.clock;
  const from = Math.max(0, first);
  const to = Math.min(frames - 1, last);
  const used: number[] = [];
  for (let f = from; f <= to; f++) if (track.state[f] !== MISSING) used.push(f);
  const n = used.length;
  if (n < LEAST_SAMPLES) return null;
  const x = Float64Array.from(used, (f) => f / rate_Hz);
  const scratch = new Float64Array(3 * n);
  const columns = [0, 1, 2].map((c) => {
    const y = Float64Array.from(used, (f) => track.data[c * frames + f]!);
    const slopes = new Float64Array(n);
    splineSlopes(x, y, n, 'not-a-knot', slopes, scratch);
    return { y, slopes };
  });
  return (t, out) => {
    columns.forEach(({ y, slopes }, c) => {
      out[c] = evaluateSpline(x, y, slopes, n, t);
    });
  };
}

/** Frames to take for a spline over [from_s, to_s], `last` not passed. */
export function framesAround(track: Track<3>, from_s: number): number {
  return Math.floor(from_s * track.clock.rate_Hz) - MARGIN;
}

/** Plane of least squares through the path from one moment to another, evenly in time. Null where the path is a line or is not known. */
export function planeOfPath(placeAt: PlaceAt, from: Instant, to: Instant, strike: Strike): PathPlane | null {
  const { fit, contact, track, noise_m } = strike;
  const along = new Float64Array(3);
  const place = new Float64Array(3);
  fit.velocityAt(contact.time_s, along);
  const points = new Float64Array(3 * STEPS);
  const fitted = (start_s: number, end_s: number) => {
    for (let i = 0; i < STEPS; i++) {
      placeAt(start_s + ((end_s - start_s) * (i + 0.5)) / STEPS, place);
      points.set(place, 3 * i);
    }
    return fitPlane(points, STEPS);
  };
  const early = from.sd_s > 0 ? fitted(from.time_s + from.sd_s, to.time_s) : null;
  const late = to.sd_s > 0 ? fitted(from.time_s, to.time_s + to.sd_s) : null;
  const plane = fitted(from.time_s, to.time_s);
  if (plane === null || !(plane.breadth >= LEAST_BREADTH)) return null;
  const { normal } = plane;
  const mean = meanNoise(track, noise_m, from.time_s, to.time_s);
  const changes = noiseOfNormal(points, plane.centre, normal, mean.sd_m);
  for (const other of [early, late]) {
    if (other === null) continue;
    const way =
      other.normal[0]! * normal[0]! + other.normal[1]! * normal[1]! + other.normal[2]! * normal[2]! < 0 ? -1 : 1;
    changes.push(other.normal.map((x, c) => way * x - normal[c]!));
  }
  return { normal, angles: planeAngles(normal, along), changes, along, flags: mean.isFilled ? ['filled'] : [] };
}

/** Standard deviation per axis of the mean of a stretch. Samples filled in one gap err together: they lessen nothing. */
function meanNoise(
  { state, widening, clock: { frames, rate_Hz } }: Track<3>,
  noise_m: number,
  from_s: number,
  to_s: number,
): { readonly sd_m: number; readonly isFilled: boolean } {
  const samples = Math.max(1, (to_s - from_s) * rate_Hz);
  const last = Math.min(frames - 1, Math.floor(to_s * rate_Hz));
  let square = 0;
  let gap = 0;
  let filled = 0;
  for (let f = Math.max(0, Math.ceil(from_s * rate_Hz)); f <= last + 1; f++) {
    if (f <= last && state[f]! >= FILLED_CUBIC) {
      gap += widening?.[f] ?? 1;
      filled += 1;
    } else {
      square += gap * gap;
      gap = 0;
    }
  }
  const measured = Math.max(0, samples - filled);
  return { sd_m: (noise_m * Math.sqrt(measured + square)) / samples, isFilled: filled > 0 };
}

/** cov = σ² / (N · second moments) of the tilt of a plane of least squares, as two independent changes of the normal along its principal axes. */
function noiseOfNormal(
  points: Float64Array,
  centre: Float64Array,
  normal: Float64Array,
  mean_m: number,
): Float64Array[] {
  const least = Math.abs(normal[0]!) < Math.abs(normal[1]!) ? (Math.abs(normal[0]!) < Math.abs(normal[2]!) ? 0 : 2) : 1;
  const e = new Float64Array(3);
  e[least] = 1;
  const share = normal[least]!;
  const length = Math.sqrt(1 - share * share);
  for (let c = 0; c < 3; c++) e[c] = (e[c]! - share * normal[c]!) / length;
  const g = Float64Array.of(
    normal[1]! * e[2]! - normal[2]! * e[1]!,
    normal[2]! * e[0]! - normal[0]! * e[2]!,
    normal[0]! * e[1]! - normal[1]! * e[0]!,
  );
  let uu = 0;
  let uv = 0;
  let vv = 0;
  for (let i = 0; i < STEPS; i++) {
    let u = 0;
    let v = 0;
    for (let c = 0; c < 3; c++) {
      const d = points[3 * i + c]! - centre[c]!;
      u += d * e[c]!;
      v += d * g[c]!;
    }
    uu += (u * u) / STEPS;
    uv += (u * v) / STEPS;
    vv += (v * v) / STEPS;
  }
  const turn = 0.5 * Math.atan2(2 * uv, uu - vv);
  const half = (uu + vv) / 2;
  const apart = Math.sqrt((uu - vv) * (uu - vv) + 4 * uv * uv) / 2;
  const along = (moment: number, a: number): Float64Array => {
    const sd = mean_m / Math.sqrt(moment);
    return e.map((x, c) => sd * (Math.cos(a) * x + Math.sin(a) * g[c]!));
  };
  return [along(half + apart, turn), along(half - apart, turn + Math.PI / 2)];
}

/** Standard deviation of a function of the plane's angles. */
export function spreadOf(plane: PathPlane, f: (angles: PlaneAngles) => number): number {
  const value = f(plane.angles);
  let square = 0;
  for (const change of plane.changes) {
    const moved = plane.normal.map((x, c) => x + change[c]!);
    const length = Math.hypot(moved[0]!, moved[1]!, moved[2]!);
    const d = wrapped(
      f(
        planeAngles(
          moved.map((x) => x / length),
          plane.along,
        ),
      ) - value,
    );
    square += d * d;
  }
  return Math.sqrt(square);
}

const TARGET = 'a target line that is set in the day file or given by an alignment marker';

/** Slope and direction as figures; the direction is absent where the target is assumed. */
export function planeFigures(
  plane: PathPlane,
  flags: readonly string[],
  targetAssumed: boolean,
): { readonly slope: Avail<Figured>; readonly direction: Avail<Figured> } {
  const figured = (f: (angles: PlaneAngles) => number): Avail<Figured> =>
    present({ value: f(plane.angles), sd: spreadOf(plane, f), flags: [...new Set([...flags, ...plane.flags])] });
  return {
    slope: figured(({ slope }) => slope),
    direction: targetAssumed ? absent('target-assumed', TARGET) : figured(({ direction }) => direction),
  };
}

/**
 * Path less the path that the attack angle and the plane give together, flagged 'plane-disagrees' above 1.5°. It does not depend on the target line,
 * from which both are counted.
 */
export function disagreement({ fit, contact, flags }: Strike, plane: PathPlane): Avail<Figured> {
  const v = new Float64Array(3);
  const a = new Float64Array(3);
  fit.velocityAt(contact.time_s, v);
  fit.accelerationAt(contact.time_s, a);
  const of = (velocity: ArrayLike<number>, angles: PlaneAngles): number =>
    wrapped(headingOf(velocity) - pathInPlane(riseOf(velocity), angles));
  const value = of(v, plane.angles);
  if (!Number.isFinite(value)) return absent('attack-steeper-than-plane', 'an attack angle less steep than the plane');
  const step = 1e-3;
  let rate = 0;
  const gradient = [0, 1, 2].map((c) => {
    const moved = Float64Array.from(v);
    moved[c] = v[c]! + step;
    const slope = (of(moved, plane.angles) - value) / step;
    rate += slope * a[c]!;
    return slope;
  });
  const sd = Math.hypot(
    fit.velocitySd(contact.time_s, gradient),
    rate * contact.sd_s,
    spreadOf(plane, (angles) => of(v, angles)),
  );
  const disagrees = Math.abs(value) > DISAGREES_rad;
  const own = [...new Set([...flags, ...plane.flags])];
  return present({ value, sd, flags: disagrees ? [...own, 'plane-disagrees'] : own });
}
