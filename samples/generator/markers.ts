/** Where every marker is: landmarks rigid in their segments, joints of limbs by two links. Names with lead and trail; no hand yet. */
import { type Body, FOOT, otherSide, STATIC_KNEE_SHARE, STATIC_PELVIS_BEND_deg } from './body.ts';
import {
  type Axes,
  add,
  cross,
  middleJoint,
  perpendicular,
  RAD,
  scale,
  sub,
  turnOut,
  turnSideBend,
  unit,
  type Vec,
  vec,
} from './geometry.ts';
import { type BodyPose, type ClubPose, GENTLE_STOP, type Swing } from './swing.ts';

export type Side = 'lead' | 'trail';
/** Marker name (`lead_ASIS`, `IJ`, `CLUB_GRIP`) → place in G, metres. */
export type Places = Map<string, Vec>;

/** Which way elbows bend: down and toward the body, across the plane of the arms. */
export const ELBOW_POLE = unit(vec(-0.88, -0.45, 0.12));
const HALF_ELBOW = 0.036;
const HALF_WRIST = 0.028;
const HALF_KNEE = 0.05;

export interface Feet {
  readonly halfStance: number;
  readonly leadFlare: number;
  readonly trailFlare: number;
}

export const feetOf = (swing: Swing): Feet => ({
  halfStance: (swing.club.spec.kind === 'driver' ? 0.24 : 0.21) * swing.body.size,
  leadFlare: 22 * RAD,
  trailFlare: 8 * RAD,
});

/** All body and club markers of a swing at time t. `armsStruck`: the trail wrist feels the blow on the club and the arm's end. */
export function swingPlaces(swing: Swing, t: number, armsStruck = true): Places {
  const { body } = swing;
  const pose = swing.bodyPose(t);
  const club = swing.clubPose(t, pose);
  const out: Places = new Map();
  trunkAndHead(out, body, pose);
  arm(out, body, 'lead', pose.shoulderLead, club.wristLead, ELBOW_POLE);
  arm(
    out,
    body,
    'trail',
    pose.shoulderTrail,
    (armsStruck ? club : swing.clubPose(t, pose, false, GENTLE_STOP)).wristTrail,
    ELBOW_POLE,
  );
  hands(out, swing, club);
  const feet = feetOf(swing);
  leg(out, body, 'lead', pose.hipLead, feet.halfStance, feet.leadFlare, 0);
  leg(out, body, 'trail', pose.hipTrail, feet.halfStance, feet.trailFlare, swing.value('trailHeel', t));
  out.set('CLUB_GRIP', swing.clubPoint(club, swing.club.grip));
  out.set('CLUB_SHAFT', swing.clubPoint(club, swing.club.shaft));
  swing.club.head.forEach((point, i) => {
    out.set(`CLUB_HEAD_${i + 1}`, swing.clubPoint(club, point));
  });
  return out;
}

/** The static pose: upright, facing +X, legs straight and vertical, arms a little away from the body, head level and square. */
export function staticPlaces(body: Body): Places {
  const out: Places = new Map();
  const pose = staticPose(body);
  const { hip } = body.pelvis;
  trunkAndHead(out, body, pose);
  for (const side of ['lead', 'trail'] as const) {
    const shoulder = side === 'lead' ? pose.shoulderLead : pose.shoulderTrail;
    const down = unit(vec(0.12, -1, side === 'lead' ? -0.35 : 0.35));
    const reach = 0.985 * (body.upperArm + body.forearm);
    const wrist = add(shoulder, scale(down, reach));
    arm(out, body, side, shoulder, wrist, vec(-1, 0, 0));
    const palm = add(wrist, scale(down, 0.085 * body.size));
    out.set(`${side}_MC2`, add(palm, vec(0.03, 0, 0)));
    out.set(`${side}_MC5`, sub(palm, vec(0.035, 0.012, 0)));
    leg(out, body, side, side === 'lead' ? pose.hipLead : pose.hipTrail, hip[2], 0, 0);
  }
  return out;
}

export function staticPose(body: Body): BodyPose {
  const pelvis = turnSideBend(0, 0, -STATIC_PELVIS_BEND_deg * RAD);
  const thorax = turnSideBend(0, 0, -4 * RAD);
  const head = turnSideBend(0, 0, 0);
  const hip = body.pelvis.hip;
  const height = body.ankleHeight + STATIC_KNEE_SHARE * (body.thigh + body.shank);
  const pelvisCentre = vec(0, height, 0);
  const midAsis = sub(pelvisCentre, turnOut(pelvis, [hip[0], hip[1], 0]));
  const ij = add(add(midAsis, turnOut(pelvis, body.pelvis.lumbar)), turnOut(thorax, body.thorax.fromLumbar));
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

function trunkAndHead(out: Places, body: Body, pose: BodyPose): void {
  const inPelvis = (p: Vec): Vec => add(pose.midAsis, turnOut(pose.pelvis, p));
  const inThorax = (p: Vec): Vec => add(pose.ij, turnOut(pose.thorax, p));
  const inHead = (p: Vec): Vec => add(pose.midEar, turnOut(pose.head, p));
  const asis = vec(0, 0, body.pelvis.asis);
  const ear = vec(0, 0, body.head.ear);
  both(out, 'ASIS', inPelvis, asis);
  both(out, 'PSIS', inPelvis, body.pelvis.psis);
  out.set('IJ', inThorax(body.thorax.ij));
  out.set('PX', inThorax(body.thorax.px));
  out.set('C7', inThorax(body.thorax.c7));
  out.set('T8', inThorax(body.thorax.t8));
  both(out, 'AC', inThorax, body.thorax.acromion);
  both(out, 'EAR', inHead, ear);
  both(out, 'ORBIT', inHead, body.head.orbit);
}

/** A point given for the trail (right) side, and its mirror image in the segment. */
function both(out: Places, name: string, place: (p: Vec) => Vec, trail: Vec): void {
  out.set(`lead_${name}`, place(otherSide(trail)));
  out.set(`trail_${name}`, place(trail));
}

function arm(out: Places, body: Body, side: Side, shoulder: Vec, wrist: Vec, pole: Vec): void {
  const elbow = middleJoint(shoulder, wrist, body.upperArm, body.forearm, pole);
  const line = unit(sub(wrist, shoulder));
  // Flexion is + about the ISB Z axis, which points to the player's right on both sides.
  const right = unit(cross(perpendicular(pole, line), line));
  const outward = scale(right, side === 'trail' ? HALF_ELBOW : -HALF_ELBOW);
  out.set(`${side}_EL`, add(elbow, outward));
  out.set(`${side}_EM`, sub(elbow, outward));
  const forearm = unit(sub(wrist, elbow));
  const thumb = scale(perpendicular(scale(pole, -1), forearm), HALF_WRIST);
  out.set(`${side}_RS`, add(wrist, thumb));
  out.set(`${side}_US`, sub(wrist, thumb));
}

/** Knuckles lie on the grip and move with the club; those of the trail hand stay with its wrist. */
function hands(out: Places, swing: Swing, club: ClubPose): void {
  const k = swing.body.size;
  const onClub = (p: Vec): Vec => swing.clubPoint(club, scale(p, k));
  out.set('lead_MC2', onClub(vec(0.095, 0.03, -0.03)));
  out.set('lead_MC5', onClub(vec(0.035, 0.005, -0.04)));
  const fromWrist = (p: Vec): Vec => add(club.wristTrail, turnOut(club.axes, scale(p, k)));
  out.set('trail_MC2', fromWrist(vec(0.075, -0.006, 0.034)));
  out.set('trail_MC5', fromWrist(vec(0.015, -0.03, 0.044)));
}

/** Foot flat at half the stance, or turned about the tip of the toe by `heel`; knee toward the toes. */
function leg(out: Places, body: Body, side: Side, hip: Vec, halfStance: number, flare: number, heel: number): void {
  const k = body.size;
  const sign = side === 'trail' ? 1 : -1;
  const point = (p: Vec): Vec => [p[0] * k, p[1] * k, sign * p[2] * k];
  const flat: Axes = turnSideBend(-sign * flare, 0, 0);
  const foot: Axes = turnSideBend(-sign * flare, 0, -heel);
  const flatAnkle = vec(0, body.ankleHeight, sign * halfStance);
  const toe = add(flatAnkle, turnOut(flat, point(FOOT.toe)));
  const ankle = sub(toe, turnOut(foot, point(FOOT.toe)));
  const place = (p: Vec): Vec => add(ankle, turnOut(foot, point(p)));
  out.set(`${side}_LM`, place(FOOT.lateralMalleolus));
  out.set(`${side}_MM`, place(FOOT.medialMalleolus));
  out.set(`${side}_HEEL`, place(FOOT.heel));
  out.set(`${side}_MT1`, place(FOOT.mt1));
  out.set(`${side}_MT5`, place(FOOT.mt5));
  out.set(`${side}_TOE`, toe);
  const knee = middleJoint(hip, ankle, body.thigh, body.shank, flat.x);
  const line = unit(sub(ankle, hip));
  const right = unit(cross(line, perpendicular(flat.x, line)));
  const outward = scale(right, sign * HALF_KNEE * k);
  out.set(`${side}_FL`, add(knee, outward));
  out.set(`${side}_FM`, sub(knee, outward));
}
