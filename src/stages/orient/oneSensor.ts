/** One sensor's orientation at its own samples: strapped down from stillness, from its file, or by a filter. */

import type { Vec3 } from '../../model/calibration.ts';
import type { OrientationMethod, SensorPlan } from '../../model/sensors.ts';
import { complementaryFilter, DEFAULT_COMPLEMENTARY } from '../../numeric/orientationFilters/complementary.ts';
import { DEFAULT_GRADIENT, gradientFilter } from '../../numeric/orientationFilters/gradient.ts';
import { DEFAULT_INCLINATION, inclinationFilter } from '../../numeric/orientationFilters/inclination.ts';
import { type InertialSignals, levelling, writeRotation } from '../../numeric/orientationFilters/signals.ts';
import { apply3, isRotationPresent } from '../../numeric/rotation.ts';
import { strapDown } from '../../numeric/strapdown.ts';
import { norm } from '../../numeric/vector.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { stillFigures } from '../shared/stillFigures.ts';
import { STILL, type StillSearch, type Stretch, stillStretches } from '../shared/stillSensors.ts';
import { LONG_RECORDING_s, type Span, type SwingMoment } from './address.ts';
import { clippedAngle, type Gaps, gapDoubt, gapsAround } from './gaps.ts';
import { type GyroBias, gyroBias } from './gyroBias.ts';
import { presentSamples, type Samples, sampleAt } from './samples.ts';

const DEG = Math.PI / 180;
/** 97.5 % of the normal distribution. */
const Z = 1.96;
/** The finish comes within this of impact; drift is bounded to there. */
const FINISH_s = 2;
/** Stillness that gives a bias. */
const LONGEST_s = 10;
/** Specific force corrects no filter from this long before impact to this long after: a swing, its takeaway and the shock. */
const HELD_BEFORE_s = 1.5;
const HELD_AFTER_s = 0.5;
/** A recording that turns no faster holds no swing, and nothing is held. */
const SWING_radPerS = 200 * DEG;
/** Filters on the open recording of a rigid body: 0.7° of inclination, whatever the filter; and a bias that nothing showed. */
const FILTER_INCLINATION_SD_rad = 1 * DEG;
const UNKNOWN_BIAS_SD_radPerS = 0.5 * DEG;

export interface OwnOrientation {
  readonly method: OrientationMethod;
  readonly samples: Samples;
  /** R_world_sensor, frame-major 9 × count; valid in samples [gaps.from, gaps.to). */
  readonly R: Float64Array;
  /** Between samples R follows the angular velocity; otherwise the shortest turn. */
  readonly alongRates: boolean;
  readonly gaps: Gaps;
  readonly bias: GyroBias | null;
  /** Angle that clipped samples may hide up to the finish, and when the first is. */
  readonly clipped: { readonly angle_rad: number; readonly first_s: number | null };
  /** Standard deviation of the drift at impact, rad; 95 % bound of it at the finish. */
  readonly sd_rad: number;
  readonly bound_rad: number;
}

export interface BiasOfPose {
  readonly bias: Vec3 | null;
  readonly sd_radPerS?: number;
}

/** From the still stretch `span`, 20 s forward and backward; specific force corrects nothing on the way. */
export function strappedDown(
  search: StillSearch,
  span: Span,
  pose: BiasOfPose,
  moment: SwingMoment,
  ws: Workspace,
): OwnOrientation {
  const { track } = search;
  const figures = stillFigures(track, samplesOf(search, span));
  const whole = stillFigures(track, wholeStretch(search, span));
  const bias = gyroBias(whole, pose.bias, pose.sd_radPerS)!;
  const samples = presentSamples(track, search.rates!, bias.bias, () => true, ws);
  const { count, times_s, w } = samples;
  const first = sampleAt(times_s, count, span[0] - 1e-9);
  const end = sampleAt(times_s, count, span[1] + 1e-9);
  const anchor = Math.min(count - 1, (first + end) >> 1);
  const gaps = gapsAround(search, samples, anchor, LONG_RECORDING_s);
  const R = ws.float64(9 * count);
  R.fill(Number.NaN);
  const q = Float64Array.of(1, 0, 0, 0);
  writeRotation(q, R, 9 * anchor);
  strapDown(times_s, w, count, anchor, R, Math.max(gaps.from, first), Math.min(gaps.to, end));
  // Mean specific force in the axes that the sensor has at the anchor, where the start is no rotation at all: sway is taken out.
  const up = forceInWorld(search, samples, R, Math.max(gaps.from, first), Math.min(gaps.to, end));
  rotateBack(R, 9 * anchor, up);
  const length = norm(up);
  if (length > 0) levelling(up[0]! / length, up[1]! / length, up[2]! / length, q);
  writeRotation(q, R, 9 * anchor);
  strapDown(times_s, w, count, anchor, R, gaps.from, gaps.to);
  const finish = Math.min(times_s[gaps.to - 1]!, moment.impact_s + FINISH_s);
  const clipped = clippedAngle(track, samples, anchor, sampleAt(times_s, count, finish));
  const walk = (whole.rateNoise_radPerS * whole.rateNoise_radPerS) / track.rate_Hz;
  const sdAt = (time_s: number): number => {
    const T = Math.max(0, time_s - times_s[anchor]!);
    return Math.sqrt(
      figures.directionSd_rad * figures.directionSd_rad + bias.sd * T * (bias.sd * T) + Math.max(0, walk * T),
    );
  };
  const lost = clipped.angle_rad + gapDoubt(search, samples, anchor, sampleAt(times_s, count, finish));
  return {
    method: 'strap-down',
    samples,
    R,
    alongRates: true,
    gaps,
    bias,
    clipped,
    sd_rad: sdAt(moment.impact_s),
    bound_rad: Z * sdAt(finish) + lost,
  };
}

/** Samples of the track within a span. */
function samplesOf({ track }: StillSearch, [from_s, to_s]: Span): Stretch {
  const n = track.times_s.length;
  return { from: sampleAt(track.times_s, n, from_s - 1e-9), to: sampleAt(track.times_s, n, to_s + 1e-9) };
}

/** The whole stillness before the end of a span, 10 s at most: the longer, the less a sway counts as bias. */
function wholeStretch(search: StillSearch, span: Span): Stretch {
  const { from, to } = samplesOf(search, span);
  const { times_s } = search.track;
  const around = stillStretches(search, STILL).find((one) => one.from <= from && one.to >= to);
  return { from: around === undefined ? from : Math.max(around.from, sampleAt(times_s, to, span[1] - LONGEST_s)), to };
}

/** Mean of R · specific force over samples [from, to), m/s²; zero where there is no accelerometer. */
export function forceInWorld(
  { track }: StillSearch,
  { source }: Samples,
  R: Float64Array,
  from: number,
  to: number,
): Float64Array {
  const { acc } = track;
  const n = track.times_s.length;
  const sum = new Float64Array(3);
  const f = new Float64Array(3);
  let used = 0;
  for (let k = from; acc !== null && k < to; k++) {
    for (let c = 0; c < 3; c++) f[c] = acc[c * n + source[k]!]!;
    if (Number.isNaN(f[0]! + f[1]! + f[2]!) || !isRotationPresent(R, 9 * k)) continue;
    apply3(R, 9 * k, f, f);
    for (let c = 0; c < 3; c++) sum[c] = sum[c]! + f[c]!;
    used += 1;
  }
  for (let c = 0; c < 3; c++) sum[c] = used > 0 ? sum[c]! / used : 0;
  return sum;
}

/** v ← Rᵀ v. */
function rotateBack(R: Float64Array, o: number, v: Float64Array): void {
  const x = v[0]!;
  const y = v[1]!;
  const z = v[2]!;
  for (let c = 0; c < 3; c++) v[c] = R[o + c]! * x + R[o + 3 + c]! * y + R[o + 6 + c]! * z;
}

/** The orientations of the file, as they are. A gyro's bias, where there is one, is that of `span`. */
export function ofFile(search: StillSearch, span: Span | null, pose: BiasOfPose, ws: Workspace): OwnOrientation {
  const { track } = search;
  const file = track.orientation.ok ? track.orientation.value : new Float64Array(0);
  let bias: GyroBias | null = null;
  if (track.gyro !== null && span !== null) {
    bias = gyroBias(stillFigures(track, wholeStretch(search, span)), pose.bias, pose.sd_radPerS);
  }
  const off: Vec3 = bias?.bias ?? (track.gyro === null ? [0, 0, 0] : search.bias);
  const samples = presentSamples(track, search.rates!, off, (k) => isRotationPresent(file, 9 * k), ws);
  const R = ws.float64(9 * samples.count);
  for (let k = 0; k < samples.count; k++) {
    for (let i = 0; i < 9; i++) R[9 * k + i] = file[9 * samples.source[k]! + i]!;
  }
  return {
    method: 'file',
    samples,
    R,
    alongRates: false,
    gaps: uncut(samples),
    bias,
    clipped: { angle_rad: 0, first_s: null },
    sd_rad: Number.NaN,
    bound_rad: Number.NaN,
  };
}

function uncut({ count }: Samples): Gaps {
  return { from: 0, to: count, before_s: 0, after_s: 0, bridged: 0, longest_s: 0 };
}

/** The filter of the plan over the whole recording; specific force is left out around the swing. */
export function filtered(
  search: StillSearch,
  pose: BiasOfPose,
  moment: SwingMoment,
  plan: SensorPlan,
  ws: Workspace,
): OwnOrientation {
  const { track } = search;
  const known = pose.bias !== null && Number.isFinite(pose.bias[0] + pose.bias[1] + pose.bias[2]);
  const start = known ? pose.bias! : search.bias;
  const startSd = known ? (pose.sd_radPerS ?? 0.1 * DEG) : UNKNOWN_BIAS_SD_radPerS;
  const raw = presentSamples(track, search.rates!, [0, 0, 0], () => true, ws);
  const signals = signalsOf(search, raw, moment, ws);
  const R = ws.float64(9 * raw.count);
  let bias: Vec3 = start;
  let sd = startSd;
  if (plan.filter === 'inclination') {
    const options = {
      ...DEFAULT_INCLINATION,
      bias: start,
      biasSd_radPerS: startSd,
      useMagnetometer: plan.magnetometer && signals.mag !== null,
    };
    const result = inclinationFilter(signals, options, R);
    bias = result.bias_radPerS;
    sd = result.biasSd_radPerS;
  } else if (plan.filter === 'mahony') {
    bias = complementaryFilter(signals, { ...DEFAULT_COMPLEMENTARY, bias: start }, R);
  } else {
    gradientFilter(signals, { ...DEFAULT_GRADIENT, bias: start }, R);
  }
  const { count, times_s, w } = raw;
  for (let c = 0; c < 3; c++) for (let k = 0; k < count; k++) w[c * count + k] = w[c * count + k]! - bias[c]!;
  const anchor = Math.max(0, sampleAt(times_s, count, moment.impact_s) - 1);
  const T = times_s[count - 1]! - times_s[0]!;
  return {
    method: plan.filter,
    samples: raw,
    R,
    alongRates: false,
    gaps: gapsAround(search, raw, anchor, Number.POSITIVE_INFINITY),
    bias: { bias, sd, from: known ? 'still pose' : 'address', differs: false },
    clipped: clippedAngle(track, raw, 0, count),
    sd_rad: FILTER_INCLINATION_SD_rad,
    bound_rad: Z * Math.sqrt(FILTER_INCLINATION_SD_rad * FILTER_INCLINATION_SD_rad + sd * T * (sd * T)),
  };
}

function signalsOf(
  { track }: StillSearch,
  { count, times_s, source, w }: Samples,
  moment: SwingMoment,
  ws: Workspace,
): InertialSignals {
  const n = track.times_s.length;
  const acc = ws.float64(3 * count);
  const held = ws.uint8(count);
  const isSwing = moment.rate_radPerS > SWING_radPerS;
  const mag = track.mag === null ? null : ws.float64(3 * count);
  for (let k = 0; k < count; k++) {
    const from = source[k]!;
    const t = times_s[k]! - moment.impact_s;
    held[k] = isSwing && t > -HELD_BEFORE_s && t < HELD_AFTER_s ? 1 : 0;
    for (let c = 0; c < 3; c++) {
      const value = track.acc === null ? Number.NaN : track.acc[c * n + from]!;
      if (Number.isNaN(value)) held[k] = 1;
      acc[c * count + k] = Number.isNaN(value) ? 0 : value;
      if (mag !== null) mag[c * count + k] = track.mag![c * n + from]!;
    }
  }
  return { count, times_s, gyro: w, acc, mag, held };
}
