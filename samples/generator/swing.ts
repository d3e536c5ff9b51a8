/** One swing as functions of time in the player frame G (X toward the ball, Y up, Z to the player's right; target −Z), metres. */
import { type Body, otherSide } from './body.ts';
import type { Club } from './club.ts';
import { type Curve, curveNear, smoothRamp, smoothStep } from './curves.ts';
import {
  type Axes,
  add,
  cross,
  length,
  mid,
  perpendicular,
  RAD,
  scale,
  sub,
  turnOut,
  turnSideBend,
  type Vec,
  vec,
} from './geometry.ts';
import { CHANNELS, type Channel, type Technique } from './technique.ts';

/** Seconds from the first frame. */
export interface Timing {
  readonly start: number;
  readonly back: number;
  readonly down: number;
}

/** What is found by `settle`: slopes and headings that make the delivery what was asked for. */
export interface Setup {
  readonly timing: Timing;
  /** Slope of the arms' and the shaft's plane at impact, and heading of both against the target line, radians. */
  readonly armSlope: number;
  readonly clubSlope: number;
  readonly heading: number;
  /** Additions at address that fade out by P3, radians: arm rise, club swing, club rise. */
  readonly address: Vec;
  /** Moment of contact, seconds; loss of club turning rate there, rad/s; how long it takes, seconds. */
  readonly contact: number;
  readonly slowing: number;
  readonly slowingTime: number;
}

export interface BodyPose {
  readonly pelvis: Axes;
  readonly midAsis: Vec;
  readonly pelvisCentre: Vec;
  readonly hipLead: Vec;
  readonly hipTrail: Vec;
  readonly thorax: Axes;
  readonly ij: Vec;
  readonly shoulderLead: Vec;
  readonly shoulderTrail: Vec;
  readonly head: Axes;
  readonly midEar: Vec;
}

export interface ClubPose {
  readonly axes: Axes;
  readonly butt: Vec;
  readonly wristLead: Vec;
  readonly wristTrail: Vec;
}

/** Places of the wrist centres in the club frame, shares of size: on the upper side of the grip, the trail hand lower down. */
const LEAD_WRIST = vec(0.02, 0.034, 0.012);
const TRAIL_WRIST = vec(0.098, 0.036, -0.004);
/** Where the trail arm stops being drawn out, as a share of its length, and how softly. */
export interface ArmStop {
  readonly share: number;
  readonly soft_m: number;
}
const SHARP_STOP: ArmStop = { share: 0.985, soft_m: 0.008 };
/** The sharp one stops the elbow at up to 80,000°/s², which no arm does. */
export const GENTLE_STOP: ArmStop = { share: 0.96, soft_m: 0.03 };
const TOP = 3;
/** The pelvis turns back before the chest, the chest before the arms, the arms before the club. Seconds against the top. */
const TOP_LEAD_s: Readonly<Partial<Record<Channel, number>>> = {
  pelvisTurn: -0.05,
  pelvisToTarget_mm: -0.06,
  thoraxTurn: -0.02,
  armSwing: -0.005,
  clubSwing: 0.01,
};
/** A slower club catches up again over this long after contact. */
const RECOVERY_s = 0.12;

/** Knot times of a swing: shares of the downswing after the top. */
export function knotTimes(timing: Timing): number[] {
  const top = timing.start + timing.back;
  const after = [0.5, 0.8, 1, 1.19, 1.46, 2, 2.9].map((share) => top + share * timing.down);
  return [timing.start, timing.start + 0.45 * timing.back, timing.start + 0.68 * timing.back, top, ...after];
}

export class Swing {
  readonly body: Body;
  readonly club: Club;
  readonly setup: Setup;
  readonly knots: readonly number[];
  readonly #curves: Readonly<Record<Channel, Curve>>;
  readonly #hipHeight: number;
  readonly #normalArm: Axes;
  readonly #normalClub: Axes;

  constructor(body: Body, club: Club, technique: Technique, setup: Setup) {
    this.body = body;
    this.club = club;
    this.setup = setup;
    this.knots = knotTimes(setup.timing);
    const curves = {} as Record<Channel, Curve>;
    for (const channel of CHANNELS) {
      const factor = channel === 'leadReach' ? 1 : channel.endsWith('_mm') ? 0.001 : RAD;
      const times = this.knots.map((time, i) => time + (i === TOP ? (TOP_LEAD_s[channel] ?? 0) : 0));
      curves[channel] = curveNear(
        times,
        technique[channel].map((value) => value * factor),
      );
    }
    this.#curves = curves;
    this.#hipHeight = 0.86 * body.size;
    this.#normalArm = planeAxes(setup.armSlope, setup.heading);
    this.#normalClub = planeAxes(setup.clubSlope, setup.heading);
  }

  /** A channel's value, radians or metres. */
  value(channel: Channel, t: number): number {
    return this.#curves[channel](t);
  }

  bodyPose(t: number): BodyPose {
    const c = this.#curves;
    const { body } = this;
    const pelvis = turnSideBend(c.pelvisTurn(t), c.pelvisSide(t), -c.pelvisForward(t));
    const thorax = turnSideBend(c.thoraxTurn(t), c.thoraxSide(t), -c.thoraxForward(t));
    const head = turnSideBend(c.headTurn(t), c.headSide(t), -c.headForward(t));
    const hip = body.pelvis.hip;
    const pelvisCentre = vec(
      -0.09 * body.size + c.pelvisToBall_mm(t),
      this.#hipHeight + c.pelvisRise_mm(t),
      -c.pelvisToTarget_mm(t),
    );
    const midAsis = sub(pelvisCentre, turnOut(pelvis, [hip[0], hip[1], 0]));
    const lumbar = add(midAsis, turnOut(pelvis, body.pelvis.lumbar));
    const ij = add(lumbar, turnOut(thorax, body.thorax.fromLumbar));
    const place = (p: Vec): Vec => add(ij, turnOut(thorax, p));
    return {
      pelvis,
      midAsis,
      pelvisCentre,
      hipLead: add(midAsis, turnOut(pelvis, otherSide(hip))),
      hipTrail: add(midAsis, turnOut(pelvis, hip)),
      thorax,
      ij,
      shoulderLead: place(otherSide(body.thorax.shoulder)),
      shoulderTrail: place(body.thorax.shoulder),
      head,
      midEar: add(place(body.thorax.neck), turnOut(head, body.head.fromNeck)),
    };
  }

  /** Wrists and club. `struck`: with the loss of speed at contact; without it the motion goes on as it came. */
  clubPose(t: number, pose: BodyPose, struck = true, stop: ArmStop = SHARP_STOP): ClubPose {
    const c = this.#curves;
    const { setup, body, knots } = this;
    const left = 1 - smoothStep((t - knots[0]!) / (knots[2]! - knots[0]!));
    const armRise = c.armRise(t) + setup.address[0] * left;
    let clubSwing = c.clubSwing(t) + setup.address[1] * left;
    const clubRise = c.clubRise(t) + setup.address[2] * left;
    if (struck) clubSwing -= setup.slowing * this.#lag(t - setup.contact);
    const arm = inPlane(this.#normalArm, c.armSwing(t), armRise);
    const reach = c.leadReach(t) * (body.upperArm + body.forearm);
    const wristLead = add(pose.shoulderLead, scale(arm, reach));
    const along = inPlane(this.#normalClub, clubSwing, clubRise);
    const axes = clubAxes(along, this.#normalClub.z, c.clubRoll(t));
    const butt = sub(wristLead, turnOut(axes, scale(LEAD_WRIST, body.size)));
    const grip = add(butt, turnOut(axes, scale(TRAIL_WRIST, body.size)));
    const wristTrail = within(pose.shoulderTrail, grip, stop.share * (body.upperArm + body.forearm), stop.soft_m);
    return { axes, butt, wristLead, wristTrail };
  }

  /** Seconds by which the club's turning is behind what it would have been: rises with slope 1 at contact, then levels off. */
  #lag(since: number): number {
    if (since <= 0) return 0;
    const w = this.setup.slowingTime;
    const rise = w > 0 ? w * smoothRamp(since / w) : since;
    return rise - RECOVERY_s * smoothRamp((since - w) / RECOVERY_s);
  }

  /** Face centre; a point of the club by its own coordinates. */
  clubPoint(pose: ClubPose, point: Vec): Vec {
    return add(pose.butt, turnOut(pose.axes, point));
  }

  face(t: number, struck = true): Vec {
    return this.clubPoint(this.clubPose(t, this.bodyPose(t), struck), this.club.face);
  }

  /** Velocity of the face centre: five-point central difference (error below 1e-9 m/s at 10 µs). */
  faceVelocity(t: number, struck = true): Vec {
    const h = 1e-5;
    const near = sub(this.face(t + h, struck), this.face(t - h, struck));
    const far = sub(this.face(t + 2 * h, struck), this.face(t - 2 * h, struck));
    return scale(sub(scale(near, 8), far), 1 / (12 * h));
  }

  headSpeed(t: number, struck = true): number {
    return length(this.faceVelocity(t, struck));
  }
}

/** Axes of a plane through the base line: x down the slope, y along the base line toward the target, z its upper normal. */
function planeAxes(slope: number, heading: number): Axes {
  // Heading + turns the base line away from the player: toward +X for a base line along −Z.
  const y = vec(Math.sin(heading), 0, -Math.cos(heading));
  const outward = vec(Math.cos(heading), 0, Math.sin(heading));
  const x = add(scale(outward, Math.cos(slope)), vec(0, -Math.sin(slope), 0));
  return { x, y, z: cross(x, y) };
}

function inPlane(plane: Axes, swing: number, rise: number): Vec {
  const flat = add(scale(plane.x, Math.cos(swing)), scale(plane.y, Math.sin(swing)));
  return add(scale(flat, Math.cos(rise)), scale(plane.z, Math.sin(rise)));
}

/** Shaft direction, toe direction, back of the face; roll + closes the face. */
function clubAxes(along: Vec, normal: Vec, roll: number): Axes {
  const toe = perpendicular(normal, along);
  const back = cross(along, toe);
  const c = Math.cos(roll);
  const s = Math.sin(roll);
  return { x: along, y: sub(scale(toe, c), scale(back, s)), z: add(scale(back, c), scale(toe, s)) };
}

/** The point, drawn in smoothly where it lies further from `from` than an arm can reach. */
function within(from: Vec, point: Vec, reach: number, soft: number): Vec {
  const line = sub(point, from);
  const d = length(line);
  const over = (reach - d) / soft;
  // Soft minimum of d and reach.
  const room = over > 40 ? reach - d : soft * Math.log(1 + Math.exp(over));
  return add(from, scale(line, (reach - room) / d));
}

export const midpointOfTrunk = (pose: BodyPose, body: Body): Vec => {
  const { ij, c7, px, t8 } = body.thorax;
  return add(pose.ij, turnOut(pose.thorax, mid(mid(ij, c7), mid(px, t8))));
};
