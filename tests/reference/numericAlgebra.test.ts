import { CholeskyDecomposition, EigenvalueDecomposition, inverse, Matrix, SingularValueDecomposition } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { rotationFromAngles } from '../../src/numeric/eulerAngles.ts';
import { choleskyInPlace, invertSymmetric, solveSymmetric, symmetricEigen3 } from '../../src/numeric/leastSquares.ts';
import { fitPose } from '../../src/numeric/poseFit.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { det3, svd3, symmetricValues3 } from '../../src/numeric/svd3.ts';
import { product, worstDifference } from '../support/numericOracles.ts';

const random = createRandom(77);

function matrix3(): Float64Array {
  return Float64Array.from({ length: 9 }, () => random.normal());
}

function transpose(m: ArrayLike<number>): number[] {
  return [m[0]!, m[3]!, m[6]!, m[1]!, m[4]!, m[7]!, m[2]!, m[5]!, m[8]!];
}

function rows(m: ArrayLike<number>): number[][] {
  return [0, 3, 6].map((r) => [m[r]!, m[r + 1]!, m[r + 2]!]);
}

const IDENTITY = [1, 0, 0, 0, 1, 0, 0, 0, 1];

describe('singular values of 3×3 matrices', () => {
  const u = new Float64Array(9);
  const s = new Float64Array(3);
  const v = new Float64Array(9);
  const check = (m: Float64Array): void => {
    svd3(m, u, s, v);
    const size = Math.max(1e-300, s[0]!);
    const put = product(product(u, [s[0]!, 0, 0, 0, s[1]!, 0, 0, 0, s[2]!]), transpose(v));
    // A few roundings of the largest singular value.
    expect(worstDifference(put, m) / size).toBeLessThan(1e-14);
    expect(worstDifference(product(transpose(u), u), IDENTITY)).toBeLessThan(1e-14);
    expect(worstDifference(product(transpose(v), v), IDENTITY)).toBeLessThan(1e-14);
    expect(s[0]! >= s[1]! && s[1]! >= s[2]! && s[2]! >= 0).toBe(true);
  };

  it('are those of ml-matrix for 300 random matrices, and put the matrix together again', () => {
    for (let i = 0; i < 300; i++) {
      const m = matrix3();
      check(m);
      const theirs = new SingularValueDecomposition(new Matrix(rows(m))).diagonal;
      expect(worstDifference(s, theirs)).toBeLessThan(1e-13);
    }
  });

  it('hold for rank two, rank one, zero, tiny and huge matrices', () => {
    for (let i = 0; i < 50; i++) {
      const a = [random.normal(), random.normal(), random.normal()];
      const b = [random.normal(), random.normal(), random.normal()];
      check(Float64Array.of(...a, ...b, a[0]! - 2 * b[0]!, a[1]! - 2 * b[1]!, a[2]! - 2 * b[2]!));
      check(Float64Array.of(...a, ...a.map((x) => 3 * x), 0, 0, 0));
      check(matrix3().map((x) => x * 1e-120));
      check(matrix3().map((x) => x * 1e120));
    }
    check(new Float64Array(9));
    check(Float64Array.from(IDENTITY));
    check(Float64Array.of(0, 0, 0, 0, 0, 0, 0, 0, 5));
  });
});

describe('pose fit', () => {
  it('is the optimum by the decomposition of ml-matrix for 200 noisy clusters of 3 to 8 markers', () => {
    for (let i = 0; i < 200; i++) {
      const n = 3 + random.int(6);
      const a = Float64Array.from({ length: 3 * n }, () => 0.1 * random.normal());
      const R = new Float64Array(9);
      rotationFromAngles(3 * random.normal(), random.normal(), 3 * random.normal(), 'ZXY', R);
      const b = new Float64Array(3 * n);
      for (let k = 0; k < n; k++) {
        for (let r = 0; r < 3; r++) {
          let v = 2 + r + 0.005 * random.normal();
          for (let c = 0; c < 3; c++) v += R[3 * r + c]! * a[3 * k + c]!;
          b[3 * k + r] = v;
        }
      }
      const fit = fitPose(a, b, n, 1e-3);
      const A = Matrix.from1DArray(n, 3, a);
      const B = Matrix.from1DArray(n, 3, b);
      const ma = A.mean('column');
      const mb = B.mean('column');
      A.subRowVector(ma);
      B.subRowVector(mb);
      const svd = new SingularValueDecomposition(B.transpose().mmul(A));
      const U = svd.leftSingularVectors;
      const V = svd.rightSingularVectors;
      const sign = det3(Float64Array.from(U.mmul(V.transpose()).to1DArray())) < 0 ? -1 : 1;
      const best = U.mmul(Matrix.diag([1, 1, sign])).mmul(V.transpose());
      expect(fit.status).toBe('ok');
      // Clusters may be flat: the optimum is then known to rounding over the smaller singular values.
      expect(worstDifference(fit.R, best.to1DArray())).toBeLessThan(1e-10);
      const L = mb.map((v, r) => v - best.getRow(r).reduce((sum, x, c) => sum + x * ma[c]!, 0));
      expect(worstDifference(fit.L, L)).toBeLessThan(1e-10);
      expect(worstDifference(fit.modelSingularValues, new SingularValueDecomposition(A).diagonal)).toBeLessThan(1e-8);
      expect(det3(fit.R)).toBeCloseTo(1, 12);
    }
  });
});

describe('symmetric matrices', () => {
  it('have the eigenvalues and eigenvectors of ml-matrix', () => {
    const values = new Float64Array(3);
    const vectors = new Float64Array(9);
    for (let i = 0; i < 200; i++) {
      const m = matrix3();
      const sym = Float64Array.from(m, (v, k) => v + transpose(m)[k]!);
      symmetricEigen3(sym, values, vectors);
      const theirs = new EigenvalueDecomposition(new Matrix(rows(sym)), { assumeSymmetric: true });
      expect(
        worstDifference(
          values,
          [...theirs.realEigenvalues].sort((x, y) => x - y),
        ),
      ).toBeLessThan(1e-13);
      const put = product(product(vectors, [values[0]!, 0, 0, 0, values[1]!, 0, 0, 0, values[2]!]), transpose(vectors));
      expect(worstDifference(put, sym)).toBeLessThan(1e-13);
      expect(det3(vectors)).toBeCloseTo(1, 12);
    }
  });

  it('are factored, solved and inverted as by ml-matrix, for 1 to 12 unknowns', () => {
    for (let n = 1; n <= 12; n++) {
      const J = Matrix.from1DArray(
        n + 5,
        n,
        Array.from({ length: (n + 5) * n }, () => random.normal()),
      );
      const A = J.transpose().mmul(J);
      const flat = Float64Array.from(A.to1DArray());
      const b = Float64Array.from({ length: n }, () => random.normal());
      const x = solveSymmetric(flat, b, n)!;
      const theirs = new CholeskyDecomposition(A).solve(Matrix.columnVector([...b])).to1DArray();
      const size = Math.max(1, ...theirs.map(Math.abs));
      // Condition numbers of these reach some 1e4.
      expect(worstDifference(x, theirs) / size).toBeLessThan(1e-11);
      expect(worstDifference(invertSymmetric(flat, n)!, inverse(A).to1DArray()) / size).toBeLessThan(1e-10);
    }
  });

  it('are refused where singular or not positive', () => {
    expect(solveSymmetric(Float64Array.of(1, 1, 1, 1), Float64Array.of(1, 1), 2)).toBeNull();
    expect(invertSymmetric(Float64Array.of(1, 2, 2, 1), 2)).toBeNull();
    expect(choleskyInPlace(Float64Array.of(0), 1)).toBe(false);
    expect(choleskyInPlace(Float64Array.of(Number.NaN), 1)).toBe(false);
  });
});

describe('eigenvalues by the cubic', () => {
  it('are those of ml-matrix, equal ones too', () => {
    const own = createRandom(78);
    const values = new Float64Array(3);
    const check = (m: readonly number[]): void => {
      symmetricValues3(Float64Array.from(m), values);
      const theirs = new EigenvalueDecomposition(new Matrix(rows(m)), { assumeSymmetric: true });
      const expected = [...theirs.realEigenvalues].sort((x, y) => y - x);
      // two that are equal are a double root of the cubic: half of the 52 bits, 1.5e-8, are left
      expect(worstDifference(values, expected)).toBeLessThanOrEqual(2e-8 * Math.max(...expected.map(Math.abs)));
    };
    for (let i = 0; i < 200; i++) {
      const m = Array.from({ length: 9 }, () => own.normal());
      check(m.map((v, k) => v + transpose(m)[k]!));
    }
    check([2, 0, 0, 0, 2, 0, 0, 0, 2]);
    check([5, 0, 0, 0, 0, 0, 0, 0, 0]);
    check([3, 1, 1, 1, 3, 1, 1, 1, 3]);
    check([0, 0, 0, 0, 0, 0, 0, 0, 0]);
  });
});
