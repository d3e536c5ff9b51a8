/** Rotation kernels on flat arrays: nine numbers a rotation, row-major, any offset. Rotation vectors in rad along the axis. Quaternions w first. */

/** out = A · B. `out` may not overlap A or B. */
export function mul3(a: Float64Array, ao: number, b: Float64Array, bo: number, out: Float64Array, oo: number): void {
  for (let r = 0; r < 9; r += 3) {
    const x = a[ao + r]!;
    const y = a[ao + r + 1]!;
    const z = a[ao + r + 2]!;
    out[oo + r] = x * b[bo]! + y * b[bo + 3]! + z * b[bo + 6]!;
    out[oo + r + 1] = x * b[bo + 1]! + y * b[bo + 4]! + z * b[bo + 7]!;
    out[oo + r + 2] = x * b[bo + 2]! + y * b[bo + 5]! + z * b[bo + 8]!;
  }
}

/** out = Aᵀ · B: the rotation of B seen from A, R_a_b from R_p_a and R_p_b. `out` may not overlap A or B. */
export function mulT3(a: Float64Array, ao: number, b: Float64Array, bo: number, out: Float64Array, oo: number): void {
  for (let r = 0; r < 3; r++) {
    const x = a[ao + r]!;
    const y = a[ao + r + 3]!;
    const z = a[ao + r + 6]!;
    out[oo + 3 * r] = x * b[bo]! + y * b[bo + 3]! + z * b[bo + 6]!;
    out[oo + 3 * r + 1] = x * b[bo + 1]! + y * b[bo + 4]! + z * b[bo + 7]!;
    out[oo + 3 * r + 2] = x * b[bo + 2]! + y * b[bo + 5]! + z * b[bo + 8]!;
  }
}

/** out = A · Bᵀ: what turns B into A, written in the parent. `out` may not overlap A or B. */
export function mul3T(a: Float64Array, ao: number, b: Float64Array, bo: number, out: Float64Array, oo: number): void {
  for (let r = 0; r < 9; r += 3) {
    const x = a[ao + r]!;
    const y = a[ao + r + 1]!;
    const z = a[ao + r + 2]!;
    out[oo + r] = x * b[bo]! + y * b[bo + 1]! + z * b[bo + 2]!;
    out[oo + r + 1] = x * b[bo + 3]! + y * b[bo + 4]! + z * b[bo + 5]!;
    out[oo + r + 2] = x * b[bo + 6]! + y * b[bo + 7]! + z * b[bo + 8]!;
  }
}

/** out = A · v: a vector from the child's coordinates to the parent's. `out` may be `v`. */
export function apply3(a: Float64Array, ao: number, v: ArrayLike<number>, out: number[] | Float64Array): void {
  const x = v[0]!;
  const y = v[1]!;
  const z = v[2]!;
  for (let r = 0; r < 3; r++) out[r] = a[ao + 3 * r]! * x + a[ao + 3 * r + 1]! * y + a[ao + 3 * r + 2]! * z;
}

/** out = Aᵀ · v: a vector from the parent's coordinates to the child's. `out` may be `v`. */
export function applyT3(a: Float64Array, ao: number, v: ArrayLike<number>, out: number[] | Float64Array): void {
  const x = v[0]!;
  const y = v[1]!;
  const z = v[2]!;
  for (let r = 0; r < 3; r++) out[r] = a[ao + r]! * x + a[ao + r + 3]! * y + a[ao + r + 6]! * z;
}

const q4 = new Float64Array(4);

/**
 * Unit quaternion (w, x, y, z), w ≥ 0, of a rotation matrix. The largest component is found first, so no rotation loses digits
 * (Shepperd 1978, J Guidance Control 1:223-224).
 */
export function quaternionFromRotation(m: Float64Array, off: number, out: Float64Array, oo = 0): void {
  const xx = m[off]!;
  const yy = m[off + 4]!;
  const zz = m[off + 8]!;
  let w: number;
  let x: number;
  let y: number;
  let z: number;
  const trace = xx + yy + zz;
  if (trace >= xx && trace >= yy && trace >= zz) {
    w = 1 + trace;
    x = m[off + 7]! - m[off + 5]!;
    y = m[off + 2]! - m[off + 6]!;
    z = m[off + 3]! - m[off + 1]!;
  } else if (xx >= yy && xx >= zz) {
    w = m[off + 7]! - m[off + 5]!;
    x = 1 + xx - yy - zz;
    y = m[off + 1]! + m[off + 3]!;
    z = m[off + 2]! + m[off + 6]!;
  } else if (yy >= zz) {
    w = m[off + 2]! - m[off + 6]!;
    x = m[off + 1]! + m[off + 3]!;
    y = 1 - xx + yy - zz;
    z = m[off + 5]! + m[off + 7]!;
  } else {
    w = m[off + 3]! - m[off + 1]!;
    x = m[off + 2]! + m[off + 6]!;
    y = m[off + 5]! + m[off + 7]!;
    z = 1 - xx - yy + zz;
  }
  const factor = (w < 0 ? -1 : 1) / Math.sqrt(w * w + x * x + y * y + z * z);
  out[oo] = w * factor;
  out[oo + 1] = x * factor;
  out[oo + 2] = y * factor;
  out[oo + 3] = z * factor;
}

/** Rotation matrix of a quaternion (w, x, y, z) of any length but zero. */
export function rotationFromQuaternion(q: Float64Array, qo: number, out: Float64Array, oo = 0): void {
  const w = q[qo]!;
  const x = q[qo + 1]!;
  const y = q[qo + 2]!;
  const z = q[qo + 3]!;
  const s = 2 / (w * w + x * x + y * y + z * z);
  out[oo] = 1 - s * (y * y + z * z);
  out[oo + 1] = s * (x * y - w * z);
  out[oo + 2] = s * (x * z + w * y);
  out[oo + 3] = s * (x * y + w * z);
  out[oo + 4] = 1 - s * (x * x + z * z);
  out[oo + 5] = s * (y * z - w * x);
  out[oo + 6] = s * (x * z - w * y);
  out[oo + 7] = s * (y * z + w * x);
  out[oo + 8] = 1 - s * (x * x + y * y);
}

/** out = p ⊗ q (Hamilton), w first: the rotation q followed by p, as R_p · R_q. `out` may be an input. */
export function multiplyQuaternions(
  p: Float64Array,
  po: number,
  q: Float64Array,
  qo: number,
  out: Float64Array,
  oo: number,
): void {
  const a = p[po]!;
  const b = p[po + 1]!;
  const c = p[po + 2]!;
  const d = p[po + 3]!;
  const w = q[qo]!;
  const x = q[qo + 1]!;
  const y = q[qo + 2]!;
  const z = q[qo + 3]!;
  out[oo] = a * w - b * x - c * y - d * z;
  out[oo + 1] = a * x + b * w + c * z - d * y;
  out[oo + 2] = a * y - b * z + c * w + d * x;
  out[oo + 3] = a * z + b * y - c * x + d * w;
}

/** Rotation vector (axis · angle, rad, angle 0..π) of the matrix at `off`; accurate near 0 and near π. At exactly π the axis' sign is arbitrary. */
export function logRotation(m: Float64Array, off: number, out3: number[] | Float64Array): void {
  quaternionFromRotation(m, off, q4);
  const half = Math.sqrt(q4[1]! * q4[1]! + q4[2]! * q4[2]! + q4[3]! * q4[3]!);
  const factor = half > 1e-12 ? (2 * Math.atan2(half, q4[0]!)) / half : 2;
  out3[0] = q4[1]! * factor;
  out3[1] = q4[2]! * factor;
  out3[2] = q4[3]! * factor;
}

/** Rotation matrix of a rotation vector in rad (Rodrigues), written at `off`; exact in the limit of no rotation. */
export function expRotation(v: ArrayLike<number>, out: Float64Array, off: number): void {
  const x = v[0]!;
  const y = v[1]!;
  const z = v[2]!;
  const angle = Math.sqrt(x * x + y * y + z * z);
  const halfSinc = angle > 1e-8 ? Math.sin(angle / 2) / angle : 0.5;
  const s = angle > 1e-8 ? Math.sin(angle) / angle : 1;
  const c = 2 * halfSinc * halfSinc;
  out[off] = 1 - c * (y * y + z * z);
  out[off + 1] = c * x * y - s * z;
  out[off + 2] = c * x * z + s * y;
  out[off + 3] = c * x * y + s * z;
  out[off + 4] = 1 - c * (x * x + z * z);
  out[off + 5] = c * y * z - s * x;
  out[off + 6] = c * x * z - s * y;
  out[off + 7] = c * y * z + s * x;
  out[off + 8] = 1 - c * (x * x + y * y);
}

/** Angle of the rotation at `off`, 0..π rad. */
export function rotationAngle(m: Float64Array, off: number): number {
  quaternionFromRotation(m, off, q4);
  return 2 * Math.atan2(Math.sqrt(q4[1]! * q4[1]! + q4[2]! * q4[2]! + q4[3]! * q4[3]!), q4[0]!);
}
