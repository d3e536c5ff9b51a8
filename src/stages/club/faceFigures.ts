/** Face and loft at impact from the orientation of the head, carried to P7 by a fit of the samples before it. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { ClubFigureId, Figured } from '../../model/delivery.ts';
import { MEASURED, type Track } from '../../model/track.ts';
import { apply3, mul3 } from '../../numeric/rotation.ts';
import { fitTurn, LEAST_TURN_SAMPLES, rightJacobian, type TurnFit, type TurnPriors } from '../../numeric/turnFit.ts';
import { PATH_WINDOW_s } from '../positions/strikeFit.ts';
import { angleOf, headingOf, riseOf, wrapped } from './geometry.ts';
import { type ClubOptions, type Contact, isFilledBefore, type Strike } from './strike.ts';

export type FaceFigureId = Extract<ClubFigureId, 'face' | 'face-to-path' | 'loft' | 'face-rate' | 'face-to-velocity'>;
export type FaceFigures = Readonly<Record<FaceFigureId, Avail<Figured>>>;

/** About the RMS of two dozen invented swings (own simulations, no published source); docs/decisions/0007 says how they were weighed. */
export const TURN_PRIORS: TurnPriors = {
  unit_s: 0.04,
  turn_rad: [0.5, 0.2, 0.05, 0.02],
  sigmaFloor_rad: 2e-5,
};

/** Steps of the numerical gradients: far above rounding, far below any bend. */
const STEP_s = 1e-4;
const STEP_rad = 1e-4;
const STEP_radPerS = 1e-2;
const STEP_mPerS = 1e-3;

/** Fit of the head's measured orientations over the last 60 ms up to frame `last`; null with fewer than six. */
export function fitHeadTurn(body: Track<9>, last: number): TurnFit | null {
  const { frames, rate_Hz } = body.clock;
  const span = Math.max(LEAST_TURN_SAMPLES, Math.floor(PATH_WINDOW_s * rate_Hz + 1e-9));
  const first = Math.max(0, last - span);
  const most = Math.min(frames - 1, last) - first + 1;
  if (most < LEAST_TURN_SAMPLES) return null;
  const times = new Float64Array(most);
  const rotations = new Float64Array(9 * most);
  let n = 0;
  for (let f = first; f < first + most; f++) {
    if (body.state[f] !== MEASURED) continue;
    times[n] = f / rate_Hz;
    for (let i = 0; i < 9; i++) rotations[9 * n + i] = body.data[9 * f + i]!;
    n += 1;
  }
  return fitTurn(times.subarray(0, n), rotations, n, covarianceOf(body), TURN_PRIORS);
}

/** Where the noise is not known, none: the residual then says how large it is. */
function covarianceOf({ axisCovariance_rad2, noise }: Track<9>): readonly number[] {
  if (axisCovariance_rad2?.every(Number.isFinite)) return axisCovariance_rad2;
  const variance = Number.isFinite(noise) ? noise * noise : 0;
  return [variance, 0, 0, 0, variance, 0, 0, 0, variance];
}

/** A figure at P7: its value, the standard deviation of measuring noise, and its change with time. */
interface Read {
  readonly value: number;
  readonly sd: number;
  readonly rate: number;
}

/** Reads functions of the head's orientation, of its turning and of the velocity. */
class HeadReader {
  readonly #turn: TurnFit;
  readonly #normal: readonly [number, number, number];
  readonly #time: number;
  readonly #phi = new Float64Array(3);
  readonly #dphi = new Float64Array(3);
  readonly #R = new Float64Array(9);
  readonly #J = new Float64Array(9);
  readonly #RJ = new Float64Array(9);
  readonly #out = new Float64Array(3);
  readonly #spin = new Float64Array(3);

  constructor(turn: TurnFit, normal: readonly [number, number, number], time_s: number) {
    this.#turn = turn;
    this.#normal = normal;
    this.#time = time_s;
  }

  /** The face normal in G for a φ; valid until the next call. */
  normalOf(phi: Float64Array): Float64Array {
    this.#turn.orientationOf(phi, this.#R);
    apply3(this.#R, 0, this.#normal, this.#out);
    return this.#out;
  }

  /** The face normal at a time. */
  normalAt(t_s: number): Float64Array {
    this.#turn.turnAt(t_s, this.#phi);
    return this.normalOf(this.#phi);
  }

  /** Change with time of the normal's horizontal direction, rad/s. */
  headingRateOf(phi: Float64Array, dphi: Float64Array): number {
    const n = this.normalOf(phi);
    rightJacobian(phi, this.#J);
    mul3(this.#R, 0, this.#J, 0, this.#RJ, 0);
    apply3(this.#RJ, 0, dphi, this.#spin);
    const [wx, wy, wz] = this.#spin;
    const dx = wy! * n[2]! - wz! * n[1]!;
    const dz = wx! * n[1]! - wy! * n[0]!;
    return (n[0]! * dz - n[2]! * dx) / (n[0]! * n[0]! + n[2]! * n[2]!);
  }

  /** `f` of φ and dφ/dt at P7. */
  read(f: (phi: Float64Array, dphi: Float64Array) => number): Read {
    const at = (t: number): number => {
      this.#turn.turnAt(t, this.#phi);
      this.#turn.turnRateAt(t, this.#dphi);
      return f(this.#phi, this.#dphi);
    };
    const later = at(this.#time + STEP_s);
    const earlier = at(this.#time - STEP_s);
    const value = at(this.#time);
    const slope = (x: Float64Array, c: number, step: number): number => {
      const kept = x[c]!;
      x[c] = kept + step;
      const above = f(this.#phi, this.#dphi);
      x[c] = kept - step;
      const below = f(this.#phi, this.#dphi);
      x[c] = kept;
      return wrapped(above - below) / (2 * step);
    };
    const a = [0, 1, 2].map((c) => slope(this.#phi, c, STEP_rad));
    const b = [0, 1, 2].map((c) => slope(this.#dphi, c, STEP_radPerS));
    return {
      value,
      sd: this.#turn.spread(this.#time, a, b),
      rate: wrapped(later - earlier) / (2 * STEP_s),
    };
  }
}

/** What the face figures need beside the strike. */
export interface FaceInput {
  readonly body: Avail<Track<9>>;
  readonly normal: Avail<readonly [number, number, number]>;
  readonly contact: Avail<Contact>;
  readonly strike: Avail<Strike>;
  readonly targetAssumed: boolean;
}

/**
 * Face (horizontal direction of its normal against the target line, + away from the player), face less path, loft (elevation of the
 * normal), turning rate (− d face / dt, + closing) and the angle between normal and head velocity, at P7. sd: the fits' covariances and the
 * uncertainty of P7 times the figure's own rate. Face against target is absent where the target is assumed; what rests on the velocity carries its flags.
 */
export function faceFigures(input: FaceInput, options: ClubOptions): FaceFigures {
  const { body, normal, contact, strike } = input;
  for (const need of [body, normal, contact]) if (!need.ok) return none(need.why.code, need.why.needed);
  if (!body.ok || !normal.ok || !contact.ok) throw new RangeError('needs are checked before');
  const { time_s, sd_s, before } = contact.value;
  const turn = fitHeadTurn(body.value, before);
  if (turn === null) return none('too-few-samples', 'six samples of the three head markers in the last 60 ms');
  if (!(time_s - turn.to_s <= options.longestReach_s)) {
    return none('too-few-samples', 'the three head markers in the last 10 ms before impact');
  }
  const flags = isFilledBefore(body.value, before) ? [...contact.value.flags, 'filled'] : contact.value.flags;
  const reader = new HeadReader(turn, normal.value, time_s);
  const face = reader.read((phi) => headingOf(reader.normalOf(phi)));
  const loft = reader.read((phi) => riseOf(reader.normalOf(phi)));
  const closing = reader.read((phi, dphi) => -reader.headingRateOf(phi, dphi));
  const figured = (read: Read, more: readonly string[] = []): Avail<Figured> =>
    present({ value: read.value, sd: Math.hypot(read.sd, read.rate * sd_s), flags: [...new Set([...flags, ...more])] });
  const ofStrike = (which: 'toPath' | 'toVelocity'): Avail<Figured> =>
    strike.ok ? figured(withVelocity(reader, face, strike.value)[which], strike.value.flags) : strike;
  return {
    face: input.targetAssumed
      ? absent('target-assumed', 'a target line that is set in the day file or given by an alignment marker')
      : figured(face),
    'face-to-path': ofStrike('toPath'),
    loft: figured(loft),
    'face-rate': figured(closing),
    'face-to-velocity': ofStrike('toVelocity'),
  };
}

function withVelocity(reader: HeadReader, face: Read, { fit, contact }: Strike): { toPath: Read; toVelocity: Read } {
  const { time_s } = contact;
  const v = new Float64Array(3);
  const moved = new Float64Array(3);
  const pathAt = (t: number): number => {
    fit.velocityAt(t, moved);
    return headingOf(moved);
  };
  fit.velocityAt(time_s, v);
  const flat = v[0]! * v[0]! + v[2]! * v[2]!;
  const path = headingOf(v);
  const pathSd = fit.velocitySd(time_s, [-v[2]! / flat, 0, v[0]! / flat]);
  const pathRate = wrapped(pathAt(time_s + STEP_s) - pathAt(time_s - STEP_s)) / (2 * STEP_s);
  // The angle with the velocity held gives the share of the orientation; then the velocity is moved, then both with time.
  const still = reader.read((phi) => angleOf(reader.normalOf(phi), v));
  const n = Float64Array.from(reader.normalAt(time_s));
  const gradient = [0, 1, 2].map((c) => {
    moved.set(v);
    moved[c] = v[c]! + STEP_mPerS;
    const above = angleOf(n, moved);
    moved[c] = v[c]! - STEP_mPerS;
    return (above - angleOf(n, moved)) / (2 * STEP_mPerS);
  });
  const a = new Float64Array(3);
  fit.accelerationAt(time_s, a);
  const rate = still.rate + gradient[0]! * a[0]! + gradient[1]! * a[1]! + gradient[2]! * a[2]!;
  return {
    toPath: {
      value: wrapped(face.value - path),
      sd: Math.hypot(face.sd, pathSd),
      rate: face.rate - pathRate,
    },
    toVelocity: { value: still.value, sd: Math.hypot(still.sd, fit.velocitySd(time_s, gradient)), rate },
  };
}

function none(code: string, needed: string): FaceFigures {
  const why = absent<Figured>(code, needed);
  return { face: why, 'face-to-path': why, loft: why, 'face-rate': why, 'face-to-velocity': why };
}
