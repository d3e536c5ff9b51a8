/** Slow, obvious versions of the clever numerical routines, for tests only. */
import { Matrix, solve } from 'ml-matrix';

export const DEG = Math.PI / 180;

export function deg(x: ArrayLike<number>): number[] {
  return Array.from(x, (v) => v / DEG);
}

export function worstDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  if (a.length !== b.length) return Number.POSITIVE_INFINITY;
  let worst = 0;
  for (let i = 0; i < a.length; i++) {
    const e = Math.abs(a[i]! - b[i]!);
    if (!(e <= worst)) worst = e;
  }
  return worst;
}

/** Rotation about one axis, as a list of nine. */
export function turn(axis: string, angle: number): number[] {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  if (axis === 'X') return [1, 0, 0, 0, c, -s, 0, s, c];
  if (axis === 'Y') return [c, 0, s, 0, 1, 0, -s, 0, c];
  return [c, -s, 0, s, c, 0, 0, 0, 1];
}

export function product(a: ArrayLike<number>, b: ArrayLike<number>): number[] {
  const out: number[] = [];
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c < 3; c++) {
      out.push(a[3 * r]! * b[c]! + a[3 * r + 1]! * b[3 + c]! + a[3 * r + 2]! * b[6 + c]!);
    }
  }
  return out;
}

/** Elementary rotations multiplied in the order of the letters. */
export function slowRotation(order: string, a: number, b: number, c: number): number[] {
  return product(product(turn(order[0]!, a), turn(order[1]!, b)), turn(order[2]!, c));
}

interface Coefficients {
  readonly b: readonly number[];
  readonly a: readonly number[];
}

/** The difference equation with a given past, values before the start taken as `rest` in and out (a constant passes unchanged). */
function pass(x: readonly number[], { b, a }: Coefficients, rest: number): number[] {
  const y: number[] = [];
  for (let n = 0; n < x.length; n++) {
    let v = 0;
    for (let k = 0; k < 3; k++) v += b[k]! * (x[n - k] ?? rest);
    for (let k = 1; k < 3; k++) v -= a[k]! * (y[n - k] ?? rest);
    y.push(v);
  }
  return y;
}

/** Forward and backward with point-reflected ends, by copying everything. */
export function slowFiltfilt(x: readonly number[], d: Coefficients, pad: number): number[] {
  const n = x.length;
  const left = Array.from({ length: pad }, (_, i) => 2 * x[0]! - x[pad - i]!);
  const right = Array.from({ length: pad }, (_, i) => 2 * x[n - 1]! - x[n - 2 - i]!);
  const long = [...left, ...x, ...right];
  const forward = pass(long, d, long[0]!);
  forward.reverse();
  const back = pass(forward, d, forward[0]!);
  back.reverse();
  return back.slice(pad, pad + n);
}

/** Piecewise cubic through (x, y) by writing down every condition and solving for the 4 (n − 1) coefficients at once. */
export function slowSpline(
  x: readonly number[],
  y: readonly number[],
  end: 'natural' | 'not-a-knot',
): (t: number) => number {
  const pieces = x.length - 1;
  const rows: number[][] = [];
  const right: number[] = [];
  const powers = (u: number, derivative: number): number[] =>
    [
      [1, u, u * u, u * u * u],
      [0, 1, 2 * u, 3 * u * u],
      [0, 0, 2, 6 * u],
      [0, 0, 0, 6],
    ][derivative]!;
  const condition = (parts: [piece: number, u: number, derivative: number, factor: number][], value: number): void => {
    const row = new Array<number>(4 * pieces).fill(0);
    for (const [piece, u, derivative, factor] of parts) {
      powers(u, derivative).forEach((p, i) => {
        row[4 * piece + i] = row[4 * piece + i]! + factor * p;
      });
    }
    rows.push(row);
    right.push(value);
  };
  for (let i = 0; i < pieces; i++) {
    condition([[i, 0, 0, 1]], y[i]!);
    condition([[i, x[i + 1]! - x[i]!, 0, 1]], y[i + 1]!);
  }
  const joint = (i: number, derivative: number): void =>
    condition(
      [
        [i, x[i + 1]! - x[i]!, derivative, 1],
        [i + 1, 0, derivative, -1],
      ],
      0,
    );
  for (let i = 0; i + 1 < pieces; i++) {
    joint(i, 1);
    joint(i, 2);
  }
  if (end === 'natural') {
    condition([[0, 0, 2, 1]], 0);
    condition([[pieces - 1, x[pieces]! - x[pieces - 1]!, 2, 1]], 0);
  } else {
    joint(0, 3);
    joint(pieces - 2, 3);
  }
  const solution = solve(new Matrix(rows), Matrix.columnVector(right)).to1DArray();
  return (t) => {
    let i = 0;
    while (i + 1 < pieces && t >= x[i + 1]!) i += 1;
    return powers(t - x[i]!, 0).reduce((sum, p, k) => sum + p * solution[4 * i + k]!, 0);
  };
}

/** Two neighbouring samples of an even grid, finely divided: an integral by the trapezium rule. */
export function slowIntegral(f: (t: number) => number, a: number, b: number, steps = 100_000): number {
  let sum = 0.5 * (f(a) + f(b));
  for (let i = 1; i < steps; i++) sum += f(a + ((b - a) * i) / steps);
  return (sum * (b - a)) / steps;
}
