/** The true lines, stance and heights of a swing, from its noise-free functions of time; formulas of its own. */
import { add, length, mid, scale, sub, type Vec } from './geometry.ts';
import { feetOf, type Places, swingPlaces } from './markers.ts';
import type { Swing } from './swing.ts';
import { TRUE_POSITIONS, type Truth } from './truth.ts';

/** Values by quantity at each position, radians, metres and shares; P1 and P10 over 0.1 s as in `truthOf`. */
export type LineTruth = Readonly<Record<string, Readonly<Record<string, number>>>>;

const MEAN_s = 0.1;

/** `contact_s`: contact in the time of the recording, from which its truth counts. */
export function lineTruth(swing: Swing, truth: Truth, contact_s: number): LineTruth {
  const shift = swing.setup.contact - contact_s;
  const p1 = truth.time_s.P1 + shift;
  const heightAt = (side: 'Lead' | 'Trail', t: number): number => swing.bodyPose(t)[`shoulder${side}`][1];
  const start = {
    Lead: mean((t) => heightAt('Lead', t), p1 - MEAN_s, p1),
    Trail: mean((t) => heightAt('Trail', t), p1 - MEAN_s, p1),
  };
  const height = swing.body.spec.height_m;
  const out: Record<string, Record<string, number>> = {};
  for (const position of TRUE_POSITIONS) {
    const t = truth.time_s[position] + shift;
    const [from, to] = position === 'P1' ? [t - MEAN_s, t] : position === 'P10' ? [t, t + MEAN_s] : [t, t];
    const places = (at: number): Places => swingPlaces(swing, at);
    const row: Record<string, number> = {
      'head_line.tilt': mean((at) => tilt(places(at), 'EAR'), from, to),
      'eyes_line.tilt': mean((at) => tilt(places(at), 'ORBIT'), from, to),
    };
    if (position !== 'P1') {
      for (const side of ['Lead', 'Trail'] as const) {
        const rise = mean((at) => heightAt(side, at), from, to) - start[side];
        row[`${side.toLowerCase()}_shoulder.rise`] = rise;
        row[`${side.toLowerCase()}_shoulder.rise_share`] = rise / height;
      }
    }
    out[position] = row;
  }
  Object.assign(out['P1']!, stanceTruth(swing, p1));
  return out;
}

/** Feet stand still at address: their settings are the truth. The toes lie off the ankles' line by the flare. */
function stanceTruth(swing: Swing, p1: number): Record<string, number> {
  const { halfStance, leadFlare, trailFlare } = feetOf(swing);
  const reach = 0.185 * swing.body.size;
  const inward = 0.005 * swing.body.size;
  // Foot frame to G, written out: a foot turned outward by its flare, its toe `inward` of its axis.
  const toe = (side: 1 | -1, flare: number): readonly [number, number] => [
    reach * Math.cos(flare) + inward * Math.sin(flare),
    side * (halfStance + reach * Math.sin(flare) - inward * Math.cos(flare)),
  ];
  const [leadX, leadZ] = toe(-1, leadFlare);
  const [trailX, trailZ] = toe(1, trailFlare);
  const square = (line: (t: number) => Vec): number => mean((t) => Math.atan2(line(t)[0], line(t)[2]), p1 - MEAN_s, p1);
  const foot = (flare: number): number => flare - Math.atan2(inward, 0.245 * swing.body.size);
  return {
    'stance.width': 2 * halfStance,
    'stance.alignment': 0,
    'stance.toe_alignment': Math.atan2(trailX - leadX, trailZ - leadZ),
    'pelvis_line.alignment': square((t) => sub(swing.bodyPose(t).hipTrail, swing.bodyPose(t).hipLead)),
    'shoulder_line.alignment': square((t) => sub(swing.bodyPose(t).shoulderTrail, swing.bodyPose(t).shoulderLead)),
    'lead_foot.flare': foot(leadFlare),
    'trail_foot.flare': foot(trailFlare),
  };
}

/** Where the ball's centre lies along the target line from the lead ankle, + toward the target; `ball` in G. */
export function ballTruth(swing: Swing, ball: Vec): Record<string, number> {
  const { halfStance } = feetOf(swing);
  const ahead = -ball[2] - halfStance;
  return { 'ball.from_lead_ankle': ahead, 'ball.stance_share': 1 + ahead / (2 * halfStance) };
}

function tilt(places: Places, name: string): number {
  const line = sub(places.get(`lead_${name}`)!, places.get(`trail_${name}`)!);
  return Math.asin(line[1] / length(line));
}

function mean(f: (t: number) => number, from: number, to: number): number {
  if (from === to) return f(from);
  const steps = 50;
  let sum = 0;
  for (let i = 0; i <= steps; i += 1)
    sum += (f(from + ((to - from) * i) / steps) * (i === 0 || i === steps ? 0.5 : 1)) / steps;
  return sum;
}

/** Male and female: share of the mass (printed sums 1.0000 and 0.9999 with the 0.0694 and 0.0668 of the head), way from one end to the other. */
const DE_LEVA_1996 = {
  trunk: [0.4346, 0.4257, 0.4486, 0.4151],
  upperArm: [0.0271, 0.0255, 0.5772, 0.5754],
  forearm: [0.0162, 0.0138, 0.4574, 0.4559],
  hand: [0.0061, 0.0056, 0.79, 0.7474],
  thigh: [0.1416, 0.1478, 0.4095, 0.3612],
  shank: [0.0433, 0.0481, 0.4395, 0.4352],
  foot: [0.0137, 0.0129, 0.4415, 0.4014],
} as const;
const HEAD_MASS = [0.0694, 0.0668] as const;

/** Centre of mass of the body in G at a time of the swing: the head at mid-ear, the trunk IJ to mid-hip, six segments a side. */
export function bodyCentreTruth(swing: Swing, t: number): Vec {
  const sex = swing.body.spec.sex === 'male' ? 0 : 1;
  const pose = swing.bodyPose(t);
  const places = swingPlaces(swing, t);
  const between = (a: string, b: string): Vec => mid(places.get(a)!, places.get(b)!);
  let sum: Vec = scale(pose.midEar, HEAD_MASS[sex]);
  let mass: number = HEAD_MASS[sex];
  const part = (name: keyof typeof DE_LEVA_1996, from: Vec, to: Vec): void => {
    const row = DE_LEVA_1996[name];
    const [own, way] = [row[sex], row[2 + sex]!];
    sum = add(sum, scale(add(scale(from, 1 - way), scale(to, way)), own));
    mass += own;
  };
  part('trunk', places.get('IJ')!, pose.pelvisCentre);
  for (const side of ['lead', 'trail'] as const) {
    const elbow = between(`${side}_EL`, `${side}_EM`);
    const wrist = between(`${side}_RS`, `${side}_US`);
    const knee = between(`${side}_FL`, `${side}_FM`);
    const ankle = between(`${side}_LM`, `${side}_MM`);
    part('upperArm', side === 'lead' ? pose.shoulderLead : pose.shoulderTrail, elbow);
    part('forearm', elbow, wrist);
    part('hand', wrist, between(`${side}_MC2`, `${side}_MC5`));
    part('thigh', side === 'lead' ? pose.hipLead : pose.hipTrail, knee);
    part('shank', knee, ankle);
    part('foot', places.get(`${side}_HEEL`)!, places.get(`${side}_TOE`)!);
  }
  return scale(sum, 1 / mass);
}
