/** Where a sensor is carried and what it feels there: axes and place of segments as functions of time, angular velocity and specific force. */
import { type Body, STATIC_PELVIS_BEND_deg } from './body.ts';
import {
  type Axes,
  add,
  cross,
  dot,
  followedBy,
  middleJoint,
  perpendicular,
  RAD,
  scale,
  sub,
  turned,
  turnIn,
  turnOut,
  turnSideBend,
  unit,
  type Vec,
  vec,
} from './geometry.ts';
import { ELBOW_POLE } from './markers.ts';
import type { Swing } from './swing.ts';

export const PLACES = [
  'pelvis',
  'thorax',
  'head',
  'lead_upper_arm',
  'trail_upper_arm',
  'lead_forearm',
  'trail_forearm',
  'club',
] as const;
export type Place = (typeof PLACES)[number];

/** A segment's axes and a place in it, in a world whose second axis points up, metres. */
export interface Frame {
  readonly axes: Axes;
  readonly at: Vec;
}
export type Carried = (t: number) => Frame;

/** m/s², where the invented day took place. */
export const GRAVITY_mPerS2 = 9.81;
export const STATIC_THORAX_BEND_deg = 4;

/**
 * Segment axes: pelvis, thorax and head as in Swing; arms with y up the bone and x toward the thumb side when it hangs; the club's x
 * down the shaft. Origin: middle of the ASIS, IJ, middle of the ears, elbow, wrist, butt.
 */
export function swingFrame(swing: Swing, place: Place, t: number, struck = true): Frame {
  const pose = swing.bodyPose(t);
  if (place === 'pelvis') return { axes: pose.pelvis, at: pose.midAsis };
  if (place === 'thorax') return { axes: pose.thorax, at: pose.ij };
  if (place === 'head') return { axes: pose.head, at: pose.midEar };
  const club = swing.clubPose(t, pose, struck);
  if (place === 'club') return { axes: club.axes, at: club.butt };
  const lead = place.startsWith('lead');
  const shoulder = lead ? pose.shoulderLead : pose.shoulderTrail;
  const wrist = lead ? club.wristLead : club.wristTrail;
  const { upperArm, forearm } = swing.body;
  const elbow = middleJoint(shoulder, wrist, upperArm, forearm, ELBOW_POLE);
  const isForearm = place.endsWith('forearm');
  const y = isForearm ? unit(sub(elbow, wrist)) : unit(sub(shoulder, elbow));
  const x = perpendicular(scale(ELBOW_POLE, -1), y);
  return { axes: { x, y, z: cross(x, y) }, at: isForearm ? wrist : elbow };
}

/** Height of the elbow → wrist line: + when the wrist is higher. */
export function forearmRise(swing: Swing, side: 'lead' | 'trail', t: number): number {
  return -swingFrame(swing, `${side}_forearm`, t).axes.y[1];
}

/** Upright standing with arms that hang straight down: pelvis, thorax and head as in the static trial of the markers. */
export function standingFrame(body: Body, place: Place): Frame {
  const k = body.size;
  const plumb = turnSideBend(0, 0, 0);
  if (place === 'pelvis')
    return { axes: turnSideBend(0, 0, -STATIC_PELVIS_BEND_deg * RAD), at: vec(0.08 * k, 0.98 * k, 0) };
  if (place === 'thorax')
    return { axes: turnSideBend(0, 0, -STATIC_THORAX_BEND_deg * RAD), at: vec(0.06 * k, 1.42 * k, 0) };
  if (place === 'head') return { axes: plumb, at: vec(0.04 * k, 1.62 * k, 0) };
  if (place === 'club') throw new RangeError('the club stands in its bag');
  const side = place.startsWith('lead') ? -1 : 1;
  return { axes: plumb, at: vec(0, (place.endsWith('forearm') ? 0.85 : 1.11) * k, side * 0.2 * k) };
}

/** The club hung from two fingers: shaft straight down. */
export const hangingFrame = (): Frame => ({ axes: { x: [0, -1, 0], y: [1, 0, 0], z: [0, 0, 1] }, at: [0, 1.2, 0] });

/** A frame turned about an axis of the world through a point. */
export function turnedAbout(frame: Frame, axis: Vec, angle: number, through: Vec): Frame {
  const R = turned(axis, angle);
  return { axes: followedBy(R, frame.axes), at: add(through, turnOut(R, sub(frame.at, through))) };
}

/** The place of a sensor in its segment, with the segment's axes. */
export const site =
  (segment: Carried, place: Vec): Carried =>
  (t) => {
    const { axes, at } = segment(t);
    return { axes, at: add(at, turnOut(axes, place)) };
  };

/** The world in a mirror across its third axis: a right-hander becomes a left-hander. Axes stay right-handed, their z still to the right. */
export const inMirror =
  (motion: Carried): Carried =>
  (t) => {
    const { axes, at } = motion(t);
    const flip = (v: Vec): Vec => [v[0], v[1], -v[2]];
    return { axes: { x: flip(axes.x), y: flip(axes.y), z: scale(flip(axes.z), -1) }, at: flip(at) };
  };

export interface Felt {
  readonly axes: Axes;
  /** Angular velocity in the axes themselves, rad/s. */
  readonly rate: Vec;
  /** Acceleration less gravity, in the world, m/s². */
  readonly force: Vec;
}

/** Five-point central differences; at 0.1 ms their error is below 1e-6 rad/s and 1e-5 m/s² for the motions here. */
const STEP_s = 1e-4;

export function felt(motion: Carried, t: number, h = STEP_s): Felt {
  const [a, b, c, d, e] = [-2, -1, 0, 1, 2].map((steps) => motion(t + steps * h)) as [
    Frame,
    Frame,
    Frame,
    Frame,
    Frame,
  ];
  const slope = (axis: keyof Axes): Vec =>
    scale(add(sub(scale(d.axes[axis], 8), scale(b.axes[axis], 8)), sub(a.axes[axis], e.axes[axis])), 1 / (12 * h));
  const { axes } = c;
  // Columns of dR/dt = R · [rate]×.
  const rate: Vec = [dot(slope('y'), axes.z), dot(slope('z'), axes.x), dot(slope('x'), axes.y)];
  const near = add(b.at, d.at);
  const far = add(a.at, e.at);
  const acceleration = scale(sub(sub(scale(near, 16), far), scale(c.at, 30)), 1 / (12 * h * h));
  return { axes, rate, force: add(acceleration, [0, GRAVITY_mPerS2, 0]) };
}

/**
 * What is felt in a swing, in which the club loses speed at contact: differences never reach across it. The loss itself, a few
 * hundred microseconds of thousands of m/s², is no part of the force; what follows it is the shock of a recording (sensorSignals).
 */
export function feltInSwing(before: Carried, later: Carried, contact: number, slowing: number, t: number): Felt {
  if (t < contact) return felt(before, t);
  const clear = contact + slowing + 3 * STEP_s;
  if (t >= clear) return felt(later, t);
  const { axes, rate } = felt(later, Math.max(t, contact + 3e-6), 1e-6);
  return { axes, rate, force: felt(later, clear).force };
}

/** A world vector in the axes of a sensor that is mounted on a segment. */
export const inSensor = (segment: Axes, mount: Axes, v: Vec): Vec => turnIn(mount, turnIn(segment, v));
