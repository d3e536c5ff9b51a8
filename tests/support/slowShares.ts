import { angleNear } from '../../src/numeric/eulerAngles.ts';

/** Shares of pelvis and trunk from the definition, matrix by matrix. */

export type Matrix = readonly (readonly number[])[];
export const rows = (m: Float64Array): Matrix => [0, 3, 6].map((r) => [m[r]!, m[r + 1]!, m[r + 2]!]);
const times = (a: Matrix, b: Matrix): Matrix =>
  a.map((row) => [0, 1, 2].map((c) => row.reduce((sum, value, k) => sum + value * b[k]![c]!, 0)));
const turned = (a: Matrix): Matrix => [0, 1, 2].map((r) => a.map((row) => row[r]!));
/** Turn, side bend, forward bend of R = Ry(ψ) Rx(φ) Rz(θ), read off its elements. */
export const angles = (m: Matrix): number[] => [
  Math.atan2(m[0]![2]!, m[2]![2]!),
  -Math.asin(Math.min(1, Math.max(-1, m[1]![2]!))),
  -Math.atan2(m[1]![0]!, m[1]![1]!),
];

/** The formula of definitions 8, word for word. */
export function slowShares(pd: Matrix, td: Matrix, pi: Matrix, ti: Matrix): number[] {
  const jd = times(turned(pd), td);
  const ji = times(turned(pi), ti);
  const base = angles(times(pi, ji));
  const f = (p: Matrix, j: Matrix): number[] => angles(times(p, j)).map((angle, c) => angleNear(angle, base[c]!));
  return [0, 1, 2].flatMap((c) => {
    const [dd, di, id, ii] = [f(pd, jd)[c]!, f(pd, ji)[c]!, f(pi, jd)[c]!, f(pi, ji)[c]!];
    return [0.5 * (di - ii + dd - id), 0.5 * (id - ii + dd - di)];
  });
}
