/** Eigenvalues and eigenvectors of symmetric matrices of any size. */

/** Sweeps over all pairs: ten leave nothing to rounding for some dozens of rows. */
const MOST_SWEEPS = 30;

/**
 * Cyclic Jacobi (Golub & Van Loan, Matrix Computations, section 8.5) of the symmetric n × n row-major matrix `a`, which is spoiled. `values`
 * come in descending order; column k of the row-major `vectors` belongs to values[k].
 */
export function symmetricEigen(a: Float64Array, n: number, values: Float64Array, vectors: Float64Array): void {
  vectors.fill(0, 0, n * n);
  for (let i = 0; i < n; i++) vectors[i * n + i] = 1;
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    let off = 0;
    let diagonal = 0;
    for (let i = 0; i < n; i++) {
      diagonal += a[i * n + i]! * a[i * n + i]!;
      for (let j = 0; j < i; j++) off += a[i * n + j]! * a[i * n + j]!;
    }
    if (off <= 1e-30 * diagonal) break;
    for (let p = 0; p < n - 1; p++) for (let q = p + 1; q < n; q++) rotate(a, vectors, n, p, q);
  }
  for (let i = 0; i < n; i++) values[i] = a[i * n + i]!;
  for (let i = 0; i < n - 1; i++) {
    let most = i;
    for (let j = i + 1; j < n; j++) if (values[j]! > values[most]!) most = j;
    if (most === i) continue;
    const value = values[i]!;
    values[i] = values[most]!;
    values[most] = value;
    for (let r = 0; r < n; r++) {
      const v = vectors[r * n + i]!;
      vectors[r * n + i] = vectors[r * n + most]!;
      vectors[r * n + most] = v;
    }
  }
}

function rotate(a: Float64Array, v: Float64Array, n: number, p: number, q: number): void {
  const apq = a[p * n + q]!;
  if (apq === 0) return;
  const theta = (a[q * n + q]! - a[p * n + p]!) / (2 * apq);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  for (let k = 0; k < n; k++) {
    const x = a[k * n + p]!;
    const y = a[k * n + q]!;
    a[k * n + p] = c * x - s * y;
    a[k * n + q] = s * x + c * y;
  }
  for (let k = 0; k < n; k++) {
    const x = a[p * n + k]!;
    const y = a[q * n + k]!;
    a[p * n + k] = c * x - s * y;
    a[q * n + k] = s * x + c * y;
    const e = v[k * n + p]!;
    const f = v[k * n + q]!;
    v[k * n + p] = c * e - s * f;
    v[k * n + q] = s * e + c * f;
  }
}
