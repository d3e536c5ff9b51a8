/** Plane path with heading and speed as quintics of time: place, velocity and their derivatives by the parameters. */

/** Coefficients of a quintic. */
export const TERMS = 6;
/** Parameters in the plane: place at the origin (2), heading (6), speed (6). */
export const PLANE_PARAMETERS = 2 + 2 * TERMS;
const HEADING = 2;
const SPEED = HEADING + TERMS;

/** Gauss–Legendre with four points on [−1, 1] (Abramowitz & Stegun 1964, table 25.4). */
const NODES = [-0.8611363115940526, -0.3399810435848563, 0.3399810435848563, 0.8611363115940526];
const WEIGHTS = [0.3478548451374538, 0.6521451548625461, 0.6521451548625461, 0.3478548451374538];
/** Longest panel in units of the scaled time: a quarter of 40 ms keeps the rule's error below 1e-9 m at 1.7°/ms. */
const LONGEST_PANEL = 0.25;

/** Quintic of s with coefficients at `offset`. */
export function quintic(p: Float64Array, offset: number, s: number): number {
  return (
    p[offset]! +
    s * (p[offset + 1]! + s * (p[offset + 2]! + s * (p[offset + 3]! + s * (p[offset + 4]! + s * p[offset + 5]!))))
  );
}

/** Its derivative by s. */
export function quinticSlope(p: Float64Array, offset: number, s: number): number {
  return (
    p[offset + 1]! +
    s * (2 * p[offset + 2]! + s * (3 * p[offset + 3]! + s * (4 * p[offset + 4]! + s * 5 * p[offset + 5]!)))
  );
}

/**
 * Adds ∫ of the velocity from `s0` to `s1` (times unit_s: metres) to place[0..1], and its derivatives by the parameters to the two rows of
 * `jacobian` (row 0 along the plane's first axis, row 1 along the second; PLANE_PARAMETERS each). Either direction of time.
 */
export function integratePath(
  p: Float64Array,
  unit_s: number,
  s0: number,
  s1: number,
  place: Float64Array,
  jacobian: Float64Array | null,
): void {
  const panels = Math.max(1, Math.ceil(Math.abs(s1 - s0) / LONGEST_PANEL - 1e-9));
  const half = (s1 - s0) / (2 * panels);
  for (let panel = 0; panel < panels; panel++) {
    const middle = s0 + (2 * panel + 1) * half;
    for (let k = 0; k < 4; k++) {
      const s = middle + half * NODES[k]!;
      const w = WEIGHTS[k]! * half * unit_s;
      const heading = quintic(p, HEADING, s);
      const speed = quintic(p, SPEED, s);
      const c = w * Math.cos(heading);
      const d = w * Math.sin(heading);
      place[0] = place[0]! + speed * c;
      place[1] = place[1]! + speed * d;
      if (jacobian === null) continue;
      let power = 1;
      for (let j = 0; j < TERMS; j++) {
        jacobian[HEADING + j] = jacobian[HEADING + j]! - speed * d * power;
        jacobian[PLANE_PARAMETERS + HEADING + j] = jacobian[PLANE_PARAMETERS + HEADING + j]! + speed * c * power;
        jacobian[SPEED + j] = jacobian[SPEED + j]! + c * power;
        jacobian[PLANE_PARAMETERS + SPEED + j] = jacobian[PLANE_PARAMETERS + SPEED + j]! + d * power;
        power *= s;
      }
    }
  }
}

/** Velocity in the plane at s, m/s; with `jacobian` its derivatives by the parameters (two rows). */
export function planeVelocity(p: Float64Array, s: number, out: Float64Array, jacobian: Float64Array | null): void {
  const heading = quintic(p, HEADING, s);
  const speed = quintic(p, SPEED, s);
  const c = Math.cos(heading);
  const d = Math.sin(heading);
  out[0] = speed * c;
  out[1] = speed * d;
  if (jacobian === null) return;
  jacobian.fill(0, 0, 2 * PLANE_PARAMETERS);
  let power = 1;
  for (let j = 0; j < TERMS; j++) {
    jacobian[HEADING + j] = -speed * d * power;
    jacobian[PLANE_PARAMETERS + HEADING + j] = speed * c * power;
    jacobian[SPEED + j] = c * power;
    jacobian[PLANE_PARAMETERS + SPEED + j] = d * power;
    power *= s;
  }
}

/** Acceleration in the plane at s, per second: dv/dt. */
export function planeAcceleration(p: Float64Array, unit_s: number, s: number, out: Float64Array): void {
  const heading = quintic(p, HEADING, s);
  const speed = quintic(p, SPEED, s);
  const turning = (speed * quinticSlope(p, HEADING, s)) / unit_s;
  const gain = quinticSlope(p, SPEED, s) / unit_s;
  const c = Math.cos(heading);
  const d = Math.sin(heading);
  out[0] = gain * c - turning * d;
  out[1] = gain * d + turning * c;
}

/** gᵀ·C·h of a full n × n matrix. */
export function quadraticForm(c: Float64Array, n: number, g: ArrayLike<number>, h: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < n; i++) {
    let row = 0;
    for (let j = 0; j < n; j++) row += c[i * n + j]! * h[j]!;
    sum += g[i]! * row;
  }
  return sum;
}
