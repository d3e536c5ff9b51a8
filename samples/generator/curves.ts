/** Curves over time: B-splines of degree 7 that are exactly still at both ends, and smooth steps. */

/** 0 at 0, 1 at 1, flat outside, with five continuous derivatives (degree 11). */
export function smoothStep(x: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const x2 = x * x;
  const x6 = x2 * x2 * x2;
  return x6 * (462 + x * (-1980 + x * (3465 + x * (-3080 + x * (1386 - 252 * x)))));
}

/** Its integral from 0 to x; beyond 1 a straight line of slope 1. */
export function smoothRamp(x: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return x - 0.5;
  const x2 = x * x;
  const x7 = x2 * x2 * x2 * x;
  return x7 * (66 + x * (-247.5 + x * (385 + x * (-308 + x * (126 - 21 * x)))));
}

export type Curve = (t: number) => number;

/** Spacing of the control values, seconds. */
const SPACING_s = 0.022;

/**
 * A curve near `values` at `times`: a uniform B-spline of degree 7 (six continuous derivatives, no overshoot) whose control
 * values lie on a monotone guide through the knots. Constant, and so exactly still, more than 90 ms outside the knots.
 */
export function curveNear(times: readonly number[], values: readonly number[]): Curve {
  const first = times[0]!;
  const last = times[times.length - 1]!;
  const count = Math.ceil((last - first) / SPACING_s) + 1;
  const slopes = guideSlopes(times, values);
  const control: number[] = [];
  for (let i = 0; i < count; i += 1) control.push(guide(times, values, slopes, first + i * SPACING_s));
  const eight = new Float64Array(8);
  const pick = (i: number): number => control[Math.max(0, Math.min(count - 1, i))]!;
  return (t) => {
    // Control value i is centred at first + i · spacing; a piece uses the four on either side.
    const place = (t - first) / SPACING_s;
    const cell = Math.floor(place);
    if (cell < -4) return control[0]!;
    if (cell > count + 3) return control[count - 1]!;
    for (let k = 0; k < 8; k += 1) eight[k] = pick(cell - 3 + k);
    return deBoor(eight, place - cell);
  };
}

/** Uniform B-spline of degree 7 from eight control values; x in [0, 1) inside the middle cell (de Boor 1972). */
function deBoor(d: Float64Array, x: number): number {
  for (let r = 1; r <= 7; r += 1) {
    for (let j = 7; j >= r; j -= 1) {
      const share = (x + 7 - j) / (8 - r);
      d[j] = (1 - share) * d[j - 1]! + share * d[j]!;
    }
  }
  return d[7]!;
}

/** Slopes of a cubic guide that turns only where the values turn (three-point slopes, limited). */
function guideSlopes(times: readonly number[], values: readonly number[]): number[] {
  const n = times.length;
  const out = new Array<number>(n).fill(0);
  for (let i = 1; i < n - 1; i += 1) {
    const before = times[i]! - times[i - 1]!;
    const after = times[i + 1]! - times[i]!;
    const a = (values[i]! - values[i - 1]!) / before;
    const b = (values[i + 1]! - values[i]!) / after;
    if (a * b <= 0) continue;
    const slope = (a * after + b * before) / (before + after);
    const most = 3 * Math.min(Math.abs(a), Math.abs(b));
    out[i] = Math.abs(slope) > most ? (slope > 0 ? most : -most) : slope;
  }
  return out;
}

function guide(times: readonly number[], values: readonly number[], slopes: readonly number[], t: number): number {
  const n = times.length;
  if (t >= times[n - 1]!) return values[n - 1]!;
  let i = 0;
  while (i < n - 2 && t >= times[i + 1]!) i += 1;
  const h = times[i + 1]! - times[i]!;
  const x = Math.max(0, (t - times[i]!) / h);
  const rest = 1 - x;
  return (
    values[i]! * rest * rest * (1 + 2 * x) +
    values[i + 1]! * x * x * (3 - 2 * x) +
    slopes[i]! * h * x * rest * rest -
    slopes[i + 1]! * h * x * x * rest
  );
}
