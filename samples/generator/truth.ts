/** The true positions and values of a swing, from its noise-free functions of time by the rules of the definitions. */
import { add, cross, dot, jointZXY, length, planeNormal, relative, scale, sub, type Vec } from './geometry.ts';
import { type BodyPose, GENTLE_STOP, midpointOfTrunk, type Swing } from './swing.ts';

export const TRUE_POSITIONS = ['P1', 'P2', 'P3', 'P4', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9', 'P10'] as const;
export type TruePosition = (typeof TRUE_POSITIONS)[number];

/** Radians, metres, seconds, m/s. Times are of the file (0 = first frame). */
export interface Truth {
  readonly time_s: Readonly<Record<TruePosition, number>>;
  /** Values by quantity, at each position. */
  readonly values: Readonly<Record<TruePosition, Readonly<Record<string, number>>>>;
  /** One value per swing. */
  readonly swing: Readonly<Record<string, number>>;
}

const STILL_mPerS = 0.1;
const MEAN_s = 0.1;

/** `shift`: time of the swing at the first frame; `armsStruck`: as in swingPlaces. */
export function truthOf(swing: Swing, shift: number, armsStruck = true): Truth {
  const contact = swing.setup.contact;
  const end = swing.knots[swing.knots.length - 1]! + 0.2;
  const shaft = (t: number): Vec => swing.clubPose(t, swing.bodyPose(t)).axes.x;
  const shaftRise = (t: number): number => shaft(t)[1];
  const leadArm = (t: number): number => {
    const pose = swing.bodyPose(t);
    return swing.clubPose(t, pose).wristLead[1] - pose.shoulderLead[1];
  };
  const trailArm = (t: number): number => {
    const pose = swing.bodyPose(t);
    const club = armsStruck ? swing.clubPose(t, pose) : swing.clubPose(t, pose, false, GENTLE_STOP);
    return club.wristTrail[1] - pose.shoulderTrail[1];
  };
  const p4 = topOf(shaft, swing.knots[3]!);
  const p2 = lastCrossing(shaftRise, 0, p4, 1);
  const p3 = lastCrossing(leadArm, 0, p4, 1);
  const p5 = firstCrossing(leadArm, p4, contact, -1);
  const p6 = lastCrossing(shaftRise, p4, contact, -1);
  const p8 = firstCrossing(shaftRise, contact, end, 1);
  const p9 = firstCrossing(trailArm, p8, end, 1);
  const speedLess = (t: number): number => swing.headSpeed(t) - STILL_mPerS;
  const p1 = lastCrossing(speedLess, 0, p2, 1, 5 * SCAN_s);
  const p10 = lastCrossing(speedLess, p9, end, -1, 5 * SCAN_s);
  const own = { P1: p1, P2: p2, P3: p3, P4: p4, P5: p5, 'P5.5': share(shaft, p5, p6, 0.5), P6: p6 };
  const times = { ...own, P7: contact, P8: p8, P9: p9, P10: p10 };

  const address = meanPlaces(swing, p1 - MEAN_s, p1);
  const values = {} as Record<TruePosition, Readonly<Record<string, number>>>;
  for (const position of TRUE_POSITIONS) {
    const t = times[position];
    if (position === 'P1') values[position] = meanValues(swing, address, t - MEAN_s, t);
    else if (position === 'P10') values[position] = meanValues(swing, address, t, t + MEAN_s);
    else values[position] = valuesAt(swing, address, t);
  }
  const v = swing.faceVelocity(contact, false);
  const flat = Math.sqrt(v[0] * v[0] + v[2] * v[2]);
  const time_s = {} as Record<TruePosition, number>;
  for (const position of TRUE_POSITIONS) time_s[position] = times[position] - shift;
  return {
    time_s,
    values,
    swing: {
      'club.head_speed': length(v),
      'club.attack': Math.atan2(v[1], flat),
      'club.path': Math.atan2(v[0], -v[2]),
      'tempo.backswing': p4 - p1,
      'tempo.downswing': contact - p4,
      'tempo.ratio': (p4 - p1) / (contact - p4),
    },
  };
}

interface Places {
  readonly pelvis: Vec;
  readonly thorax: Vec;
  readonly head: Vec;
}

function placesOf(swing: Swing, pose: BodyPose): Places {
  return { pelvis: pose.pelvisCentre, thorax: midpointOfTrunk(pose, swing.body), head: pose.midEar };
}

function meanPlaces(swing: Swing, from: number, to: number): Places {
  let pelvis: Vec = [0, 0, 0];
  let thorax: Vec = [0, 0, 0];
  let head: Vec = [0, 0, 0];
  overStretch(from, to, (t, weight) => {
    const places = placesOf(swing, swing.bodyPose(t));
    pelvis = add(pelvis, scale(places.pelvis, weight));
    thorax = add(thorax, scale(places.thorax, weight));
    head = add(head, scale(places.head, weight));
  });
  return { pelvis, thorax, head };
}

function meanValues(swing: Swing, address: Places, from: number, to: number): Record<string, number> {
  const out: Record<string, number> = {};
  overStretch(from, to, (t, weight) => {
    for (const [name, value] of Object.entries(valuesAt(swing, address, t))) {
      out[name] = (out[name] ?? 0) + weight * value;
    }
  });
  return out;
}

/** Trapezoid weights that sum to 1. */
function overStretch(from: number, to: number, use: (t: number, weight: number) => void): void {
  const steps = 100;
  for (let i = 0; i <= steps; i += 1) {
    use(from + ((to - from) * i) / steps, (i === 0 || i === steps ? 0.5 : 1) / steps);
  }
}

function valuesAt(swing: Swing, address: Places, t: number): Record<string, number> {
  const pose = swing.bodyPose(t);
  const trunk = jointZXY(relative(pose.pelvis, pose.thorax));
  const neck = jointZXY(relative(pose.thorax, pose.head));
  const out: Record<string, number> = {};
  for (const segment of ['pelvis', 'thorax', 'head'] as const) {
    out[`${segment}.turn`] = swing.value(`${segment}Turn`, t);
    out[`${segment}.side_bend`] = swing.value(`${segment}Side`, t);
    out[`${segment}.forward_bend`] = swing.value(`${segment}Forward`, t);
  }
  out['trunk.flexion'] = -trunk.aboutZ;
  out['trunk.side_bend'] = trunk.aboutX;
  out['trunk.axial'] = trunk.aboutY;
  out['neck.flexion'] = -neck.aboutZ;
  out['neck.side_bend'] = neck.aboutX;
  out['neck.axial'] = neck.aboutY;
  out['turn_difference'] = swing.value('thoraxTurn', t) - swing.value('pelvisTurn', t);
  const spine = pose.thorax.y;
  out['thorax.inclination'] = Math.atan2(Math.sqrt(spine[0] * spine[0] + spine[2] * spine[2]), spine[1]);
  out['thorax.inclination_direction'] = Math.atan2(-spine[2], spine[0]);
  const places = placesOf(swing, pose);
  for (const segment of ['pelvis', 'thorax', 'head'] as const) {
    const moved = sub(places[segment], address[segment]);
    out[`${segment}.to_target`] = -moved[2];
    out[`${segment}.to_ball`] = moved[0];
    out[`${segment}.rise`] = moved[1];
  }
  out['shoulder_line.tilt'] = tilt(sub(pose.shoulderLead, pose.shoulderTrail));
  out['pelvis_line.tilt'] = tilt(sub(pose.hipLead, pose.hipTrail));
  const axis = sub(places.thorax, places.pelvis);
  out['axis_tilt'] = Math.atan2(axis[2], axis[1]);
  out['pelvis.turn_rate'] = turnRate(swing, 'pelvis', t);
  out['thorax.turn_rate'] = turnRate(swing, 'thorax', t);
  return out;
}

const tilt = (line: Vec): number => Math.atan2(line[1], Math.sqrt(line[0] * line[0] + line[2] * line[2]));

/** Angular velocity about the segment's own Y: (dz/dt)·x. */
function turnRate(swing: Swing, segment: 'pelvis' | 'thorax', t: number): number {
  const h = 1e-5;
  const z = (at: number): Vec => swing.bodyPose(at)[segment].z;
  const near = sub(z(t + h), z(t - h));
  const far = sub(z(t + 2 * h), z(t - 2 * h));
  return dot(scale(sub(scale(near, 8), far), 1 / (12 * h)), swing.bodyPose(t)[segment].x);
}

/** The top: where the shaft's angle about the normal of the plane of its directions (0.35 s before to 0.1 s after) turns. */
function topOf(shaft: (t: number) => Vec, near: number): number {
  let top = near;
  for (let round = 0; round < 8; round += 1) {
    const directions: Vec[] = [];
    for (let i = 0; i <= 450; i += 1) directions.push(shaft(top - 0.35 + 0.001 * i));
    let normal = planeNormal(directions);
    const rate = (t: number): number => dot(normal, cross(shaft(t), sub(shaft(t + 1e-5), shaft(t - 1e-5))));
    if (rate(near + 0.09) < 0) normal = scale(normal, -1);
    const next = crossing(rate, near - 0.09, near + 0.09);
    const settled = Math.abs(next - top) < 1e-12;
    top = next;
    if (settled) break;
  }
  return top;
}

/** When the shaft's rotation about the normal of the plane of its directions between two moments has gone that share of its way. */
export function share(shaft: (t: number) => Vec, from: number, to: number, part: number): number {
  const directions: Vec[] = [];
  for (let i = 0; i <= 400; i += 1) directions.push(shaft(from + ((to - from) * i) / 400));
  const normal = planeNormal(directions);
  const start = shaft(from);
  const angle = (t: number): number => {
    const d = shaft(t);
    const a = sub(start, scale(normal, dot(normal, start)));
    const b = sub(d, scale(normal, dot(normal, d)));
    return Math.atan2(dot(normal, cross(a, b)), dot(a, b));
  };
  const whole = angle(to);
  return crossing((t) => (angle(t) - part * whole) * (whole > 0 ? 1 : -1), from, to);
}

const SCAN_s = 0.001;

/** Last moment in (from, to] at which f passes 0 upward (direction 1) or downward (−1). */
export function lastCrossing(
  f: (t: number) => number,
  from: number,
  to: number,
  direction: 1 | -1,
  step = SCAN_s,
): number {
  let later = direction * f(to);
  for (let t = to - step; t >= from; t -= step) {
    const now = direction * f(t);
    if (now < 0 && later >= 0) return crossing((x) => direction * f(x), t, t + step);
    later = now;
  }
  return Number.NaN;
}

export function firstCrossing(f: (t: number) => number, from: number, to: number, direction: 1 | -1): number {
  let before = direction * f(from);
  for (let t = from + SCAN_s; t <= to; t += SCAN_s) {
    const now = direction * f(t);
    if (before < 0 && now >= 0) return crossing((x) => direction * f(x), t - SCAN_s, t);
    before = now;
  }
  return Number.NaN;
}

/** Root of a function that is negative at `low` and not at `high`, by halving. */
function crossing(f: (t: number) => number, low: number, high: number): number {
  let a = low;
  let b = high;
  for (let i = 0; i < 50; i += 1) {
    const middle = (a + b) / 2;
    if (f(middle) < 0) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}
