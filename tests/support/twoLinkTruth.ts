/** True positions and delivery of a two-link swing, by the rules of the definitions on the noise-free functions of time. */
import { crossing, type Swing, type V3, velocityOf } from './twoLinkSwing.ts';

export const TRUE_POSITIONS = ['P1', 'P2', 'P3', 'P4', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9', 'P10'] as const;
export type TruePosition = (typeof TRUE_POSITIONS)[number];

export interface TwoLinkTruth {
  /** Times of the swing, seconds. */
  readonly time_s: Readonly<Record<TruePosition, number>>;
  /** m/s, rad, rad. */
  readonly swing: Readonly<Record<'head-speed' | 'attack' | 'path', number>>;
}

const STILL_mPerS = 0.1;
const PAUSE_RATE = (20 * Math.PI) / 180;

export function truthOf(swing: Swing): TwoLinkTruth {
  const { shape } = swing;
  const impact = shape.impact_s;
  const rise = (d: (t: number) => V3) => (t: number) => d(t)[1];
  const speed = (t: number) => Math.hypot(...velocityOf(swing.head, t, t < impact ? -1 : 1)) - STILL_mPerS;
  const p4 = topOf(swing);
  const p2 = crossing(rise(swing.shaft), p4, 0)!;
  const p3 = crossing(rise(swing.leadArm), p4, 0)!;
  const p5 = crossing(rise(swing.leadArm), p4, impact)!;
  const p6 = crossing(rise(swing.shaft), impact, p4)!;
  const p8 = crossing(rise(swing.shaft), impact + 1e-6, impact + 1)!;
  const p9 = crossing(rise(swing.trailArm), p8, impact + 1)!;
  const v = velocityOf(swing.head, impact, -1);
  return {
    time_s: {
      P1: crossing(speed, p2, 0) ?? Number.NaN,
      P2: p2,
      P3: p3,
      P4: p4,
      P5: p5,
      'P5.5': half(swing.shaft, p5, p6),
      P6: p6,
      P7: impact,
      P8: p8,
      P9: p9,
      P10: crossing(speed, p9, shape.duration_s) ?? Number.NaN,
    },
    swing: {
      'head-speed': Math.hypot(...v),
      attack: Math.asin(v[1] / Math.hypot(...v)),
      path: Math.atan2(v[0], -v[2]),
    },
  };
}

/** Smallest principal axis of directions, by power iteration on the inverse of their moments. */
function normalOf(directions: readonly V3[]): V3 {
  const m = [0, 1, 2].map((i) => [0, 1, 2].map((j) => directions.reduce((sum, d) => sum + d[i]! * d[j]!, 0)));
  const cross3 = (a: number[], b: number[]): V3 => [
    a[1]! * b[2]! - a[2]! * b[1]!,
    a[2]! * b[0]! - a[0]! * b[2]!,
    a[0]! * b[1]! - a[1]! * b[0]!,
  ];
  // Rows of the adjugate are the columns of the inverse up to a factor.
  const inverse = [cross3(m[1]!, m[2]!), cross3(m[2]!, m[0]!), cross3(m[0]!, m[1]!)];
  let n: V3 = [0.3, 0.8, 0.5];
  for (let k = 0; k < 200; k++) {
    const q = [0, 1, 2].map((i) => inverse[0]![i]! * n[0] + inverse[1]![i]! * n[1] + inverse[2]![i]! * n[2]);
    const length = Math.hypot(...q);
    n = [q[0]! / length, q[1]! / length, q[2]! / length];
  }
  return n;
}

/** Rate of rotation of a direction about n, rad/s. */
function turning(d: (t: number) => V3, n: V3, t: number): number {
  const h = 1e-5;
  return (angleAbout(d(t), d(t + h), n) - angleAbout(d(t), d(t - h), n)) / (2 * h);
}

function angleAbout(from: V3, to: V3, n: V3): number {
  const dot = (a: V3, b: V3) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const flat = (a: V3): V3 => [0, 1, 2].map((i) => a[i]! - dot(a, n) * n[i]!) as V3;
  const a = flat(from);
  const b = flat(to);
  const c: V3 = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  return Math.atan2(dot(c, n), dot(a, b));
}

function topOf(swing: Swing): number {
  const { top_s, pause_s } = swing.shape;
  let top = top_s + pause_s;
  for (let round = 0; round < 12; round++) {
    const directions: V3[] = [];
    for (let i = 0; i <= 450; i++) directions.push(swing.shaft(top - 0.35 + 0.001 * i));
    const n = normalOf(directions);
    const down = turning(swing.shaft, n, top_s + pause_s + 0.1) > 0 ? 1 : -1;
    const level = pause_s > 0 ? PAUSE_RATE : 0;
    top = crossing((t) => down * turning(swing.shaft, n, t) - level, top_s + pause_s + 0.1, top_s - 0.15)!;
  }
  return top;
}

function half(shaft: (t: number) => V3, from: number, to: number): number {
  const directions: V3[] = [];
  for (let i = 0; i <= 400; i++) directions.push(shaft(from + ((to - from) * i) / 400));
  const n = normalOf(directions);
  const whole = angleAbout(shaft(from), shaft(to), n);
  return crossing((t) => angleAbout(shaft(from), shaft(t), n) - whole / 2, from, to)!;
}
