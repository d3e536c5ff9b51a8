/** Small symmetric positive definite systems for the path fit: Cholesky on row-major n × n arrays, only the lower triangle is read. */

/** Factors a = L·Lᵀ in place (lower triangle); false where a is not positive definite. */
export function choleskyInPlace(a: Float64Array, n: number): boolean {
  for (let j = 0; j < n; j++) {
    let diagonal = a[j * n + j]!;
    for (let k = 0; k < j; k++) diagonal -= a[j * n + k]! * a[j * n + k]!;
    if (!(diagonal > 0)) return false;
    const root = Math.sqrt(diagonal);
    a[j * n + j] = root;
    for (let i = j + 1; i < n; i++) {
      let sum = a[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= a[i * n + k]! * a[j * n + k]!;
      a[i * n + j] = sum / root;
    }
  }
  return true;
}

/** Solves L·Lᵀ·x = b in place of b. */
export function choleskySolve(l: Float64Array, n: number, b: Float64Array): void {
  for (let i = 0; i < n; i++) {
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= l[i * n + k]! * b[k]!;
    b[i] = sum / l[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = b[i]!;
    for (let k = i + 1; k < n; k++) sum -= l[k * n + i]! * b[k]!;
    b[i] = sum / l[i * n + i]!;
  }
}

/** (L·Lᵀ)⁻¹, full and symmetric, into out. */
export function choleskyInverse(l: Float64Array, n: number, out: Float64Array): void {
  const column = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    column.fill(0);
    column[c] = 1;
    choleskySolve(l, n, column);
    for (let r = 0; r < n; r++) out[r * n + c] = column[r]!;
  }
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
