/** Decompositions of 3×3 matrices by Jacobi rotations: small, accurate, no allocation. Matrices are nine numbers, row-major. */

const SWEEPS = 40;

/**
 * Singular value decomposition m = U · diag(s) · Vᵀ by one-sided Jacobi (Hestenes 1958), which keeps small singular values accurate.
 * U and V are orthogonal (determinant ±1), s descends. Where s has zeros the missing columns of U complete the basis.
 */
export function svd3(m: Float64Array, u: Float64Array, s: Float64Array, v: Float64Array): void {
  // Scaled to a largest element of 1, so that squares of squares neither overflow nor vanish.
  let size = 0;
  for (let i = 0; i < 9; i++) size = Math.max(size, Math.abs(m[i]!));
  const factor = size > 0 ? size : 1;
  for (let i = 0; i < 9; i++) {
    u[i] = m[i]! / factor;
    v[i] = i % 4 === 0 ? 1 : 0;
  }
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    let turned = false;
    for (let p = 0; p < 2; p++) {
      for (let q = p + 1; q < 3; q++) {
        const alpha = u[p]! * u[p]! + u[p + 3]! * u[p + 3]! + u[p + 6]! * u[p + 6]!;
        const beta = u[q]! * u[q]! + u[q + 3]! * u[q + 3]! + u[q + 6]! * u[q + 6]!;
        const gamma = u[p]! * u[q]! + u[p + 3]! * u[q + 3]! + u[p + 6]! * u[q + 6]!;
        if (!(Math.abs(gamma) > 1e-16 * Math.sqrt(alpha * beta))) continue;
        turned = true;
        const zeta = (beta - alpha) / (2 * gamma);
        const t = (zeta < 0 ? -1 : 1) / (Math.abs(zeta) + Math.sqrt(1 + zeta * zeta));
        const c = 1 / Math.sqrt(1 + t * t);
        turnColumns(u, p, q, c, c * t);
        turnColumns(v, p, q, c, c * t);
      }
    }
    if (!turned) break;
  }
  // squares of what was scaled to 1 neither overflow nor vanish
  for (let c = 0; c < 3; c++) s[c] = Math.sqrt(u[c]! * u[c]! + u[c + 3]! * u[c + 3]! + u[c + 6]! * u[c + 6]!);
  if (s[0]! < s[1]!) swapColumns(u, s, v, 0, 1);
  if (s[1]! < s[2]!) swapColumns(u, s, v, 1, 2);
  if (s[0]! < s[1]!) swapColumns(u, s, v, 0, 1);
  completeBasis(u, s);
  for (let c = 0; c < 3; c++) s[c] = s[c]! * factor;
}

function turnColumns(m: Float64Array, p: number, q: number, c: number, s: number): void {
  for (let r = 0; r < 9; r += 3) {
    const a = m[r + p]!;
    const b = m[r + q]!;
    m[r + p] = c * a - s * b;
    m[r + q] = s * a + c * b;
  }
}

function swapColumns(u: Float64Array, s: Float64Array, v: Float64Array, p: number, q: number): void {
  const value = s[p]!;
  s[p] = s[q]!;
  s[q] = value;
  for (let r = 0; r < 9; r += 3) {
    const a = u[r + p]!;
    u[r + p] = u[r + q]!;
    u[r + q] = a;
    const b = v[r + p]!;
    v[r + p] = v[r + q]!;
    v[r + q] = b;
  }
}

/** Divides the columns of u by s; columns too small to carry a direction are replaced by ones that complete a basis. */
function completeBasis(u: Float64Array, s: Float64Array): void {
  const floor = 1e-15 * s[0]!;
  if (!(s[0]! > 0)) {
    const broken = Number.isNaN(s[0]);
    for (let i = 0; i < 9; i++) u[i] = broken ? Number.NaN : i % 4 === 0 ? 1 : 0;
    return;
  }
  for (let r = 0; r < 9; r += 3) u[r] = u[r]! / s[0]!;
  if (s[1]! > floor) {
    for (let r = 0; r < 9; r += 3) u[r + 1] = u[r + 1]! / s[1]!;
  } else {
    perpendicularColumn(u);
  }
  // A small third column has lost its right angle to rounding: take the cross product with the sign it had.
  const x = u[3]! * u[7]! - u[6]! * u[4]!;
  const y = u[6]! * u[1]! - u[0]! * u[7]!;
  const z = u[0]! * u[4]! - u[3]! * u[1]!;
  const sign = x * u[2]! + y * u[5]! + z * u[8]! < 0 && s[2]! > floor ? -1 : 1;
  u[2] = sign * x;
  u[5] = sign * y;
  u[8] = sign * z;
}

function perpendicularColumn(u: Float64Array): void {
  const x = Math.abs(u[0]!);
  const y = Math.abs(u[3]!);
  const z = Math.abs(u[6]!);
  const axis = x <= y && x <= z ? 0 : y <= z ? 1 : 2;
  const along = u[3 * axis]!;
  for (let r = 0; r < 3; r++) u[3 * r + 1] = (r === axis ? 1 : 0) - along * u[3 * r]!;
  const length = Math.hypot(u[1]!, u[4]!, u[7]!);
  for (let r = 0; r < 9; r += 3) u[r + 1] = u[r + 1]! / length;
}

const THIRD_TURN = (2 * Math.PI) / 3;

/**
 * Eigenvalues of a symmetric 3×3 matrix, descending, by the angle whose cosine solves the cubic (Smith 1961, Comm ACM 4:168). Only the upper triangle is
 * read. To 1e-15 of the largest, two that are nearly equal to 2e-8 of it.
 */
export function symmetricValues3(m: Float64Array, out: Float64Array): void {
  const mean = (m[0]! + m[4]! + m[8]!) / 3;
  const a = m[0]! - mean;
  const b = m[4]! - mean;
  const c = m[8]! - mean;
  const d = m[1]!;
  const e = m[2]!;
  const f = m[5]!;
  const size = Math.sqrt((a * a + b * b + c * c + 2 * (d * d + e * e + f * f)) / 6);
  if (size === 0) {
    out.fill(mean, 0, 3);
    return;
  }
  const det = a * (b * c - f * f) - d * (d * c - f * e) + e * (d * f - b * e);
  const third = Math.acos(Math.min(1, Math.max(-1, det / (2 * size * size * size)))) / 3;
  out[0] = mean + 2 * size * Math.cos(third);
  out[2] = mean + 2 * size * Math.cos(third + THIRD_TURN);
  out[1] = 3 * mean - out[0]! - out[2]!;
}

/** Determinant. */
export function det3(m: Float64Array, o = 0): number {
  return (
    m[o]! * (m[o + 4]! * m[o + 8]! - m[o + 5]! * m[o + 7]!) -
    m[o + 1]! * (m[o + 3]! * m[o + 8]! - m[o + 5]! * m[o + 6]!) +
    m[o + 2]! * (m[o + 3]! * m[o + 7]! - m[o + 4]! * m[o + 6]!)
  );
}

const projU = new Float64Array(9);
const projS = new Float64Array(3);
const projV = new Float64Array(9);

/**
 * The rotation nearest to m in the sum of squares: U · diag(1, 1, det(U·Vᵀ)) · Vᵀ, never a reflection (Söderkvist & Wedin 1993).
 * Returns the product's three singular values in `s` where given. Not defined where the second singular value is 0.
 */
export function nearestRotation(m: Float64Array, out: Float64Array, oo = 0, s?: Float64Array): void {
  svd3(m, projU, projS, projV);
  const sign = det3(projU) * det3(projV) < 0 ? -1 : 1;
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c < 3; c++) {
      out[oo + 3 * r + c] =
        projU[3 * r]! * projV[3 * c]! +
        projU[3 * r + 1]! * projV[3 * c + 1]! +
        sign * projU[3 * r + 2]! * projV[3 * c + 2]!;
    }
  }
  s?.set(projS);
}

/**
 * Eigenvalues (ascending) and eigenvectors (columns of `vectors`) of a symmetric 3×3 matrix by cyclic Jacobi rotations.
 * Only the upper triangle is read. `vectors` has determinant +1.
 */
export function symmetricEigen3(m: Float64Array, values: Float64Array, vectors: Float64Array): void {
  let a = m[0]!;
  let b = m[4]!;
  let c = m[8]!;
  let d = m[1]!;
  let e = m[2]!;
  let f = m[5]!;
  for (let i = 0; i < 9; i++) vectors[i] = i % 4 === 0 ? 1 : 0;
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    const off = Math.abs(d) + Math.abs(e) + Math.abs(f);
    if (!(off > 1e-300)) break;
    if (d !== 0) {
      const t = jacobiTangent(a, b, d);
      const cs = 1 / Math.sqrt(1 + t * t);
      const sn = cs * t;
      a -= t * d;
      b += t * d;
      d = 0;
      const e0 = e;
      e = cs * e0 - sn * f;
      f = sn * e0 + cs * f;
      turnColumns(vectors, 0, 1, cs, sn);
    }
    if (e !== 0) {
      const t = jacobiTangent(a, c, e);
      const cs = 1 / Math.sqrt(1 + t * t);
      const sn = cs * t;
      a -= t * e;
      c += t * e;
      e = 0;
      const d0 = d;
      d = cs * d0 - sn * f;
      f = sn * d0 + cs * f;
      turnColumns(vectors, 0, 2, cs, sn);
    }
    if (f !== 0) {
      const t = jacobiTangent(b, c, f);
      const cs = 1 / Math.sqrt(1 + t * t);
      const sn = cs * t;
      b -= t * f;
      c += t * f;
      f = 0;
      const d0 = d;
      d = cs * d0 - sn * e;
      e = sn * d0 + cs * e;
      turnColumns(vectors, 1, 2, cs, sn);
    }
  }
  values[0] = a;
  values[1] = b;
  values[2] = c;
  if (values[0]! > values[1]!) swapPair(values, vectors, 0, 1);
  if (values[1]! > values[2]!) swapPair(values, vectors, 1, 2);
  if (values[0]! > values[1]!) swapPair(values, vectors, 0, 1);
  if (det3(vectors) < 0) for (let r = 0; r < 9; r += 3) vectors[r] = -vectors[r]!;
}

function jacobiTangent(app: number, aqq: number, apq: number): number {
  const theta = (aqq - app) / (2 * apq);
  return (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.sqrt(1 + theta * theta));
}

function swapPair(values: Float64Array, vectors: Float64Array, p: number, q: number): void {
  const value = values[p]!;
  values[p] = values[q]!;
  values[q] = value;
  for (let r = 0; r < 9; r += 3) {
    const a = vectors[r + p]!;
    vectors[r + p] = vectors[r + q]!;
    vectors[r + q] = a;
  }
}
