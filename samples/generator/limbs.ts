/**
 * Limbs whose orientation is known: each segment's axes first, landmarks and technical clusters rigid in them, joint centres where the plain
 * swing has them. Angles by formulas of their own. X anterior, Y proximal, Z to the player's right on both sides.
 */
import type { Body } from './body.ts';
import {
  type Axes,
  add,
  cross,
  followedBy,
  jointZXY,
  mid,
  perpendicular,
  relative,
  scale,
  sub,
  turned,
  turnIn,
  turnOut,
  unit,
  type Vec,
  vec,
} from './geometry.ts';
import type { Places, Side } from './markers.ts';
import type { BodyPose } from './swing.ts';

type Limb = 'upper_arm' | 'forearm' | 'hand' | 'thigh' | 'shank' | 'foot';
export type LimbAxes = Readonly<Record<`${Side}_${Limb}`, Axes>>;

/** What moves the limbs beyond the plain swing, radians: twists about long axes and the set of the wrists. All 0 when standing. */
export interface LimbMotion {
  readonly roll: number;
  readonly swing: number;
}
export const STANDING: LimbMotion = { roll: 0, swing: 0 };

const HALF = { elbow: 0.036, wrist: 0.028, knee: 0.05, ankle: 0.036, knuckles: 0.038 };
const SIDES: readonly Side[] = ['lead', 'trail'];

/** Y along `y`, Z near `z`. */
function axesYZ(y: Vec, z: Vec): Axes {
  const up = unit(y);
  const right = perpendicular(z, up);
  return { x: cross(up, right), y: up, z: right };
}

/** Turned about their own Y. */
const twisted = (axes: Axes, angle: number): Axes => followedBy(axes, turned(vec(0, 1, 0), angle));

/** Axes of all limbs; `plain` holds the places of the plain swing at the moment. */
export function limbAxes(plain: ReadonlyMap<string, Vec>, pose: BodyPose, motion: LimbMotion): LimbAxes {
  const out = {} as Record<`${Side}_${Limb}`, Axes>;
  for (const side of SIDES) {
    const at = (name: string): Vec => plain.get(`${side}_${name}`)!;
    const between = (a: string, b: string): Vec => mid(at(a), at(b));
    const s = side === 'trail' ? 1 : -1;
    const right = (lateral: string, medial: string): Vec => scale(sub(at(lateral), at(medial)), s);
    const elbow = between('EL', 'EM');
    const wrist = between('RS', 'US');
    const knee = between('FL', 'FM');
    const ankle = between('LM', 'MM');
    const shoulder = side === 'lead' ? pose.shoulderLead : pose.shoulderTrail;
    const hip = side === 'lead' ? pose.hipLead : pose.hipTrail;
    out[`${side}_upper_arm`] = twisted(axesYZ(sub(shoulder, elbow), right('EL', 'EM')), s * (0.1 + 0.08 * motion.roll));
    // The line elbow – wrist is not the forearm's Y, which ends at the ulnar styloid.
    const line = sub(elbow, wrist);
    const along = unit(line);
    const radial = scale(twisted(axesYZ(along, right('RS', 'US')), s * 0.2 * motion.roll).z, s);
    const toUlna = add(line, scale(radial, HALF.wrist));
    const forearm = axesYZ(toUlna, scale(radial, s));
    out[`${side}_forearm`] = forearm;
    const flexion = turned(vec(0, 0, 1), 0.1 + 0.3 * motion.roll);
    const deviation = turned(vec(1, 0, 0), s * (0.05 + 0.2 * Math.sin(motion.swing)));
    out[`${side}_hand`] = followedBy(forearm, followedBy(flexion, deviation));
    out[`${side}_thigh`] = twisted(axesYZ(sub(hip, knee), right('FL', 'FM')), s * 0.08 * motion.swing);
    out[`${side}_shank`] = twisted(axesYZ(sub(knee, ankle), right('LM', 'MM')), s * 0.05 * motion.swing);
    const forward = unit(sub(between('MT1', 'MT5'), at('HEEL')));
    const across = perpendicular(right('MT5', 'MT1'), forward);
    out[`${side}_foot`] = { x: forward, y: cross(across, forward), z: across };
  }
  return out;
}

/** The plain swing's places with the limbs' landmarks and clusters rigid in their segments. */
export function withLimbs(plain: ReadonlyMap<string, Vec>, body: Body, pose: BodyPose, motion: LimbMotion): Places {
  const out: Places = new Map(plain);
  const limbs = limbAxes(plain, pose, motion);
  const k = body.size;
  for (const side of SIDES) {
    const at = (name: string): Vec => plain.get(`${side}_${name}`)!;
    const s = side === 'trail' ? 1 : -1;
    /** Places for the right side: + z is lateral. */
    const put = (limb: Limb, origin: Vec, places: Readonly<Record<string, Vec>>): void => {
      for (const [name, [x, y, z]] of Object.entries(places)) {
        out.set(`${side}_${name}`, add(origin, turnOut(limbs[`${side}_${limb}`], [x * k, y * k, s * z * k])));
      }
    };
    const wrist = mid(at('RS'), at('US'));
    const ankle = mid(at('LM'), at('MM'));
    put('upper_arm', mid(at('EL'), at('EM')), {
      EL: vec(0, 0.004, HALF.elbow),
      EM: vec(0, -0.004, -HALF.elbow),
      UPPER_ARM_1: vec(0.03, 0.19, 0.05),
      UPPER_ARM_2: vec(-0.05, 0.14, 0.04),
      UPPER_ARM_3: vec(0.02, 0.06, 0.055),
    });
    const forearm = limbs[`${side}_forearm`];
    // The radial direction is perpendicular to the line elbow – wrist, which lies in the Y-Z plane.
    const line = unit(sub(mid(at('EL'), at('EM')), wrist));
    const radial = perpendicular(scale(forearm.z, s), line);
    out.set(`${side}_RS`, add(wrist, scale(radial, HALF.wrist)));
    out.set(`${side}_US`, sub(wrist, scale(radial, HALF.wrist)));
    put('forearm', wrist, {
      FOREARM_1: vec(0.035, 0.16, 0.02),
      FOREARM_2: vec(-0.03, 0.12, 0.03),
      FOREARM_3: vec(0.03, 0.06, 0.025),
    });
    put('hand', wrist, {
      MC2: vec(0, -0.075, HALF.knuckles),
      MC5: vec(0, -0.085, -HALF.knuckles),
    });
    put('thigh', mid(at('FL'), at('FM')), {
      FL: vec(0, 0.003, HALF.knee),
      FM: vec(0, -0.003, -HALF.knee),
      GT: vec(0.01, 0.42, 0.07),
      THIGH_1: vec(0.07, 0.25, 0.04),
      THIGH_2: vec(0, 0.18, 0.08),
      THIGH_3: vec(0.07, 0.1, 0.05),
    });
    put('shank', ankle, {
      LM: vec(0, 0.003, HALF.ankle),
      MM: vec(0, -0.003, -HALF.ankle),
      SHANK_1: vec(0.05, 0.3, 0.02),
      SHANK_2: vec(0.03, 0.15, 0.05),
      SHANK_3: vec(-0.04, 0.2, 0.05),
    });
    put('foot', ankle, { HEEL: vec(-0.06, -0.045, 0), MT1: vec(0.125, -0.045, -0.035), MT5: vec(0.1, -0.045, 0.035) });
  }
  return out;
}

/** True joint angles by quantity, radians: the right side's signs, a left limb as its mirror image. */
export function limbAngles(limbs: LimbAxes, pose: BodyPose, elbowLead: Vec): Record<string, number> {
  const out: Record<string, number> = {};
  for (const side of SIDES) {
    const s = side === 'trail' ? 1 : -1;
    const joint = (A: Axes, B: Axes) => jointZXY(relative(A, B));
    const hip = joint(pose.pelvis, limbs[`${side}_thigh`]);
    out[`${side}_hip.flexion`] = hip.aboutZ;
    out[`${side}_hip.adduction`] = s * hip.aboutX;
    out[`${side}_hip.rotation`] = s * hip.aboutY;
    const knee = joint(limbs[`${side}_thigh`], limbs[`${side}_shank`]);
    out[`${side}_knee.flexion`] = -knee.aboutZ;
    out[`${side}_knee.rotation`] = s * knee.aboutY;
    const ankle = joint(limbs[`${side}_shank`], limbs[`${side}_foot`]);
    out[`${side}_ankle.dorsiflexion`] = ankle.aboutZ;
    out[`${side}_ankle.inversion`] = s * ankle.aboutX;
    const elbow = joint(limbs[`${side}_upper_arm`], limbs[`${side}_forearm`]);
    out[`${side}_elbow.flexion`] = elbow.aboutZ;
    out[`${side}_elbow.pronation`] = s * elbow.aboutY;
    const wrist = joint(limbs[`${side}_forearm`], limbs[`${side}_hand`]);
    out[`${side}_wrist.flexion`] = wrist.aboutZ;
    out[`${side}_wrist.ulnar_deviation`] = s * wrist.aboutX;
    // Down the humerus in the thorax, its side outward: elevation from straight down, plane from straight out to the side toward the front.
    const arm = relative(pose.thorax, limbs[`${side}_upper_arm`]);
    const down = scale(arm.y, -1);
    out[`${side}_shoulder.elevation`] = Math.atan2(Math.sqrt(down[0] * down[0] + down[2] * down[2]), -down[1]);
    out[`${side}_shoulder.plane`] = Math.atan2(down[0], s * down[2]);
    out[`${side}_shoulder.rotation`] = Math.atan2(-arm.x[1], s * arm.z[1]);
  }
  const d = turnIn(pose.thorax, unit(sub(elbowLead, pose.shoulderLead)));
  out['lead_arm.elevation'] = Math.atan2(d[1], Math.sqrt(d[0] * d[0] + d[2] * d[2]));
  out['lead_arm.heading'] = Math.atan2(d[2], d[0]);
  return out;
}
