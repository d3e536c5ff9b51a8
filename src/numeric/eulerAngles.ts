/** Angles about moving axes, in all twelve orders, with the distance to the order's singular position. */

/** Intrinsic orders: 'ZXY' turns about the body's Z, then about its new X, then about its newest Y. The first six Cardan, the last six Euler. */
export type AngleOrder = 'XYZ' | 'XZY' | 'YXZ' | 'YZX' | 'ZXY' | 'ZYX' | 'XYX' | 'XZX' | 'YXY' | 'YZY' | 'ZXZ' | 'ZYZ';

export const ANGLE_ORDERS: readonly AngleOrder[] = [
  'XYZ',
  'XZY',
  'YXZ',
  'YZX',
  'ZXY',
  'ZYX',
  'XYX',
  'XZX',
  'YXY',
  'YZY',
  'ZXZ',
  'ZYZ',
];

interface Axes {
  /** First, second and remaining axis, 0 = X. */
  readonly i: number;
  readonly j: number;
  readonly k: number;
  /** +1 where i → j → k is cyclic. */
  readonly sign: number;
  /** First and third axis are the same. */
  readonly repeats: boolean;
}

function axesOf(order: AngleOrder): Axes {
  const i = 'XYZ'.indexOf(order[0]!);
  const j = 'XYZ'.indexOf(order[1]!);
  return { i, j, k: 3 - i - j, sign: (i + 1) % 3 === j ? 1 : -1, repeats: order[0] === order[2] };
}

const AXES = Object.fromEntries(ANGLE_ORDERS.map((order) => [order, axesOf(order)])) as Record<AngleOrder, Axes>;

/** Below this the first and third angle cannot be told apart: the first is set to 0. */
const LOCKED = 1e-12;

/**
 * Angles in rad of the rotation at `off` (row-major): R = R_first(a) · R_second(b) · R_third(c), written to `out3`.
 * a and c lie in (−π, π]; b in [−π/2, π/2] (Cardan) or [0, π] (Euler). Returns the distance of b from the order's singular position
 * (±π/2, or 0 and π) in rad: the caller flags what is within 10 degrees. In the singular position a is 0 and c carries the whole turn;
 * the angles always give the matrix back.
 */
export function anglesFromRotation(
  m: Float64Array,
  off: number,
  order: AngleOrder,
  out3: number[] | Float64Array,
): number {
  return anglesAbout(AXES[order], m, off, out3);
}

/** What `anglesFromRotation` gives, for `count` rotations in a row, NaN where they are: one column an angle, and the distances from the singular position. */
export function anglesOfRotations(
  ms: Float64Array,
  count: number,
  order: AngleOrder,
  columns: readonly [Float64Array, Float64Array, Float64Array],
  distances: Float64Array,
): void {
  const axes = AXES[order];
  const [a, b, c] = columns;
  for (let f = 0; f < count; f++) {
    if (Number.isNaN(ms[9 * f])) {
      a[f] = Number.NaN;
      b[f] = Number.NaN;
      c[f] = Number.NaN;
      distances[f] = Number.NaN;
      continue;
    }
    distances[f] = anglesAbout(axes, ms, 9 * f, three);
    a[f] = three[0]!;
    b[f] = three[1]!;
    c[f] = three[2]!;
  }
}

const three = new Float64Array(3);

function anglesAbout(axes: Axes, m: Float64Array, off: number, out3: number[] | Float64Array): number {
  const { i, j, k, sign, repeats } = axes;
  const ri = off + 3 * i;
  const rj = off + 3 * j;
  const rk = off + 3 * k;
  if (repeats) {
    const sinB = Math.sqrt(m[ri + j]! * m[ri + j]! + m[ri + k]! * m[ri + k]!);
    const isLocked = sinB < LOCKED;
    const up = m[rj + i]!;
    const along = -sign * m[rk + i]!;
    const length = Math.sqrt(up * up + along * along);
    const ca = isLocked ? 1 : along / length;
    const sa = isLocked ? 0 : (sign * up) / length;
    out3[0] = isLocked ? 0 : Math.atan2(up, along);
    out3[1] = Math.atan2(sinB, m[ri + i]!);
    out3[2] = Math.atan2(-sign * (ca * m[rj + k]! + sa * m[rk + k]!), ca * m[rj + j]! + sa * m[rk + j]!);
    return Math.atan2(sinB, Math.abs(m[ri + i]!));
  }
  const cosB = Math.sqrt(m[ri + i]! * m[ri + i]! + m[ri + j]! * m[ri + j]!);
  const isLocked = cosB < LOCKED;
  const up = -sign * m[rj + k]!;
  const along = m[rk + k]!;
  const length = Math.sqrt(up * up + along * along);
  const ca = isLocked ? 1 : along / length;
  const sa = isLocked ? 0 : (sign * up) / length;
  out3[0] = isLocked ? 0 : Math.atan2(up, along);
  out3[1] = Math.atan2(sign * m[ri + k]!, cosB);
  out3[2] = Math.atan2(sign * (ca * m[rj + i]! + sa * m[rk + i]!), ca * m[rj + j]! + sa * m[rk + j]!);
  return Math.atan2(cosB, Math.abs(m[ri + k]!));
}

/** The other angle triple of the same rotation: (a + π, π − b, c + π) for Cardan orders, (a + π, −b, c + π) for Euler orders, wrapped to (−π, π]. */
export function otherAnglesInPlace(angles: number[] | Float64Array, order: AngleOrder): void {
  angles[0] = wrapAngle(angles[0]! + Math.PI);
  angles[1] = wrapAngle(AXES[order].repeats ? -angles[1]! : Math.PI - angles[1]!);
  angles[2] = wrapAngle(angles[2]! + Math.PI);
}

function turnAbout(out: Float64Array, off: number, axis: number, angle: number): void {
  const p = off + ((axis + 1) % 3);
  const q = off + ((axis + 2) % 3);
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  for (let r = 0; r < 9; r += 3) {
    const u = out[p + r]!;
    const v = out[q + r]!;
    out[p + r] = c * u + s * v;
    out[q + r] = c * v - s * u;
  }
}

/** Writes R = R_first(a) · R_second(b) · R_third(c), angles in rad about moving axes, row-major at `off`. */
export function rotationFromAngles(
  a: number,
  b: number,
  c: number,
  order: AngleOrder,
  out: Float64Array,
  off = 0,
): void {
  const { i, j, k, repeats } = AXES[order];
  for (let n = 0; n < 9; n++) out[off + n] = n % 4 === 0 ? 1 : 0;
  turnAbout(out, off, i, a);
  turnAbout(out, off, j, b);
  turnAbout(out, off, repeats ? i : k, c);
}

/**
 * How the angles change when the child turns by a small rotation vector θ about its own axes (R becomes R · exp θ): rows of `out9` are the
 * gradients of a, b and c by θ, from θ = ȧ (R_second R_third)ᵀ e_first + ḃ R_thirdᵀ e_second + ċ e_third solved for the rates. Not finite in
 * the singular position.
 */
export function angleGradients(angles: ArrayLike<number>, order: AngleOrder, out9: Float64Array): void {
  const { i, j, k, sign, repeats } = AXES[order];
  const cosB = Math.cos(angles[1]!);
  const sinB = sign * Math.sin(angles[1]!);
  const cosC = Math.cos(angles[2]!);
  const sinC = sign * Math.sin(angles[2]!);
  out9.fill(0);
  if (repeats) {
    out9[j] = sinC / sinB;
    out9[k] = cosC / sinB;
    out9[3 + j] = cosC;
    out9[3 + k] = -sinC;
    out9[6 + i] = 1;
    out9[6 + j] = -cosB * out9[j]!;
    out9[6 + k] = -cosB * out9[k]!;
    return;
  }
  out9[i] = cosC / cosB;
  out9[j] = -sinC / cosB;
  out9[3 + i] = sinC;
  out9[3 + j] = cosC;
  out9[6 + i] = -sinB * out9[i]!;
  out9[6 + j] = -sinB * out9[j]!;
  out9[6 + k] = 1;
}

/** The same angle in (−π, π]. */
export function wrapAngle(angle_rad: number): number {
  const turns = Math.round(angle_rad / (2 * Math.PI));
  const wrapped = angle_rad - turns * 2 * Math.PI;
  return wrapped <= -Math.PI ? wrapped + 2 * Math.PI : wrapped;
}

/** Adds whole turns to `angle_rad` so that it comes within half a turn of `reference_rad`. */
export function angleNear(angle_rad: number, reference_rad: number): number {
  return angle_rad - 2 * Math.PI * Math.round((angle_rad - reference_rad) / (2 * Math.PI));
}

/** Nearer than this no whole turn lies between two angles, rad. */
const NEAR = 3;

/**
 * Removes jumps of whole turns from a series of angles in rad, outward from `startIndex`, whose value is kept.
 * NaN samples are stepped over; where the start itself is NaN the next present sample after it, else before it, is kept.
 */
export function unwrapInPlace(series: Float64Array, startIndex = 0): void {
  let anchor = startIndex;
  while (anchor < series.length && Number.isNaN(series[anchor])) anchor += 1;
  if (anchor >= series.length) {
    anchor = Math.min(startIndex, series.length - 1);
    while (anchor >= 0 && Number.isNaN(series[anchor])) anchor -= 1;
  }
  if (anchor < 0) return;
  for (const way of [1, -1]) {
    let last = series[anchor]!;
    for (let f = anchor + way; f >= 0 && f < series.length; f += way) {
      const value = series[f]!;
      if (Number.isNaN(value)) continue;
      if (Math.abs(value - last) < NEAR) {
        last = value;
        continue;
      }
      last = angleNear(value, last);
      series[f] = last;
    }
  }
}
