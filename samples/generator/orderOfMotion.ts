/** The true order of motion of an invented swing: when each link turns fastest, from differences of its exact axes. */
import { type Axes, add, cross, dot, length, planeNormal, scale, sub, type Vec } from './geometry.ts';
import type { Swing } from './swing.ts';

type TrueMethod = 'magnitude' | 'long_axis' | 'swing_plane';

/** Seconds of the swing's own time, rad/s. */
export interface TruePeak {
  readonly time_s: number;
  readonly speed_radPerS: number;
  /** The link still gains speed at contact. */
  readonly rising: boolean;
  /** Speed at another time, rad/s. */
  readonly sizeAt: (t: number) => number;
}

/** Axes of a segment as a function of time, Y its long axis. */
export type AxesAt = (t: number) => Axes;

/** Pelvis and thorax of a swing; the arm's links are the caller's, as frames of their own. */
export function trunkAxes(swing: Swing): Readonly<Record<'pelvis' | 'thorax', AxesAt>> {
  return { pelvis: (t) => swing.bodyPose(t).pelvis, thorax: (t) => swing.bodyPose(t).thorax };
}

const STEP_s = 1e-6;

/** Angular velocity of axes: half the sum of e × de/dt over the three axes. */
function turning(axes: AxesAt, t: number): Vec {
  const before = axes(t - STEP_s);
  const after = axes(t + STEP_s);
  const now = axes(t);
  let w: Vec = [0, 0, 0];
  for (const axis of ['x', 'y', 'z'] as const) {
    w = add(w, scale(cross(now[axis], sub(after[axis], before[axis])), 0.25 / STEP_s));
  }
  return w;
}

/** Unit normal of the plane of least squares through the face centre's path from `from` to contact; the club turns about it in a positive sense. */
export function swingPlaneNormal(swing: Swing, from: number): Vec {
  const { contact } = swing.setup;
  const points: Vec[] = [];
  let centre: Vec = [0, 0, 0];
  for (let i = 0; i <= 200; i += 1) {
    const p = swing.face(from + ((contact - from) * i) / 200, false);
    points.push(p);
    centre = add(centre, scale(p, 1 / 201));
  }
  const normal = planeNormal(points.map((p) => sub(p, centre)));
  const shaft = shaftOf(swing);
  return dot(cross(shaft(from), shaft(contact)), normal) < 0 ? scale(normal, -1) : normal;
}

function shaftOf(swing: Swing): (t: number) => Vec {
  return (t) => swing.clubPose(t, swing.bodyPose(t), false).axes.x;
}

/** The largest size of a speed in [from, to]: looked for every millisecond, then by thirds of the interval around it. */
function largest(speed: (t: number) => number, from: number, to: number): TruePeak {
  const size = (t: number): number => Math.abs(speed(t));
  let best = to;
  for (let t = to; t >= from; t -= 0.001) if (size(t) > size(best)) best = t;
  const rising = best === to && size(to) > size(to - 1e-4);
  let low = Math.max(from, best - 0.001);
  let high = Math.min(to, best + 0.001);
  for (let i = 0; i < 60 && !rising; i += 1) {
    const third = (high - low) / 3;
    if (size(low + third) < size(high - third)) low += third;
    else high -= third;
  }
  const time_s = rising ? to : (low + high) / 2;
  return { time_s, speed_radPerS: size(time_s), rising, sizeAt: size };
}

/** Peaks of a segment by each method in [from, contact], about `normal` for the swing plane. */
export function segmentPeaks(
  axes: AxesAt,
  normal: Vec,
  from: number,
  to: number,
): Readonly<Record<TrueMethod, TruePeak>> {
  return {
    magnitude: largest((t) => length(turning(axes, t)), from, to),
    long_axis: largest((t) => dot(turning(axes, t), axes(t).y), from, to),
    swing_plane: largest((t) => dot(turning(axes, t), normal), from, to),
  };
}

/** Peaks of the shaft's turning: d × dd/dt. Without the loss of speed at contact, so that the last instants are those before it. */
export function shaftPeaks(
  swing: Swing,
  normal: Vec,
  from: number,
): Readonly<Record<'magnitude' | 'swing_plane', TruePeak>> {
  const shaft = shaftOf(swing);
  const turn = (t: number): Vec => cross(shaft(t), scale(sub(shaft(t + STEP_s), shaft(t - STEP_s)), 0.5 / STEP_s));
  const { contact } = swing.setup;
  return {
    magnitude: largest((t) => length(turn(t)), from, contact),
    swing_plane: largest((t) => dot(turn(t), normal), from, contact),
  };
}
