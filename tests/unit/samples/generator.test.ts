import { describe, expect, it } from 'vitest';
import { DRIVER, IRON_5, IRON_7 } from '../../../samples/generator/club.ts';
import { DEMO_PLAYERS } from '../../../samples/generator/demoPlayers.ts';
import {
  add,
  cross,
  distance,
  dot,
  length,
  mid,
  perpendicular,
  planeNormal,
  RAD,
  scale,
  sub,
  turnOut,
  unit,
  type Vec,
} from '../../../samples/generator/geometry.ts';
import { makeStatic, makeSwing, type SwingRecording, seededPlayer } from '../../../samples/generator/makeSwing.ts';
import { swingPlaces } from '../../../samples/generator/markers.ts';
import { TRUE_POSITIONS } from '../../../samples/generator/truth.ts';

const OPTIONS = { rate_Hz: 240, noise_mm: 0, rounding: false };

const swings: readonly { readonly name: string; readonly made: SwingRecording }[] = [
  ...DEMO_PLAYERS.flatMap((player) =>
    [DRIVER, IRON_5, IRON_7].map((club) => ({
      name: `${player.id} ${club.id}`,
      made: makeSwing(player.seed, player, club, OPTIONS),
    })),
  ),
  ...[1, 2, 3, 4, 5, 6].map((seed) => ({
    name: `seed ${seed}`,
    made: makeSwing(seed, seededPlayer(seed), seed % 2 === 0 ? DRIVER : IRON_7, OPTIONS),
  })),
];

/** Places of all markers every 10 ms. */
function* places({ made }: (typeof swings)[number]) {
  const { knots } = made.swing;
  for (let t = 0; t < knots[knots.length - 1]! + 0.4; t += 0.01) yield { t, at: swingPlaces(made.swing, t) };
}

const ANATOMY: readonly (readonly [string, string])[] = [
  ['lead_ASIS', 'trail_PSIS'],
  ['IJ', 'T8'],
  ['PX', 'lead_AC'],
  ['lead_EAR', 'trail_ORBIT'],
  ['lead_RS', 'lead_US'],
  ['trail_EL', 'trail_EM'],
  ['lead_FL', 'lead_FM'],
  ['trail_HEEL', 'trail_TOE'],
  ['CLUB_GRIP', 'CLUB_HEAD_2'],
  ['CLUB_HEAD_1', 'CLUB_HEAD_3'],
];

describe('a generated swing', () => {
  it.each(swings)('keeps the length of every bone and of the club: $name', (swing) => {
    const { body } = swing.made.swing;
    const first = swingPlaces(swing.made.swing, 0);
    for (const { t, at } of places(swing)) {
      const p = (name: string): Vec => at.get(name)!;
      for (const [a, b] of ANATOMY) {
        expect(distance(p(a), p(b))).toBeCloseTo(distance(first.get(a)!, first.get(b)!), 10);
      }
      const pose = swing.made.swing.bodyPose(t);
      for (const side of ['lead', 'trail'] as const) {
        const shoulder = side === 'lead' ? pose.shoulderLead : pose.shoulderTrail;
        const hip = side === 'lead' ? pose.hipLead : pose.hipTrail;
        const elbow = mid(p(`${side}_EL`), p(`${side}_EM`));
        const wrist = mid(p(`${side}_RS`), p(`${side}_US`));
        const knee = mid(p(`${side}_FL`), p(`${side}_FM`));
        const ankle = mid(p(`${side}_LM`), p(`${side}_MM`));
        expect(distance(shoulder, elbow)).toBeCloseTo(body.upperArm, 10);
        expect(distance(elbow, wrist)).toBeCloseTo(body.forearm, 10);
        // The legs are long enough for where the hips are: a knee never has to stretch.
        expect(distance(hip, knee)).toBeCloseTo(body.thigh, 10);
        expect(distance(knee, ankle)).toBeCloseTo(body.shank, 10);
        expect(distance(hip, ankle)).toBeLessThan(body.thigh + body.shank);
      }
    }
  });

  it.each(swings)('has landmarks whose ISB frames are the frames of the model: $name', (swing) => {
    for (const { t, at } of places(swing)) {
      const p = (name: string): Vec => at.get(name)!;
      const pose = swing.made.swing.bodyPose(t);
      // Pelvis (Wu and others 2002): Z along the ASIS, Y normal to the plane of the ASIS and the middle of the PSIS.
      const z = unit(sub(p('trail_ASIS'), p('lead_ASIS')));
      const back = sub(mid(p('lead_PSIS'), p('trail_PSIS')), mid(p('lead_ASIS'), p('trail_ASIS')));
      const y = unit(cross(back, z));
      expect(dot(z, pose.pelvis.z)).toBeCloseTo(1, 12);
      expect(dot(y, pose.pelvis.y)).toBeCloseTo(1, 12);
      expect(dot(cross(y, z), pose.pelvis.x)).toBeCloseTo(1, 12);
      // Thorax (Wu and others 2005): Y from mid(PX, T8) to mid(IJ, C7), Z normal to the plane of IJ, C7 and mid(PX, T8).
      const low = mid(p('PX'), p('T8'));
      const long = unit(sub(mid(p('IJ'), p('C7')), low));
      const normal = perpendicular(cross(sub(p('IJ'), low), sub(p('C7'), low)), long);
      expect(dot(long, pose.thorax.y)).toBeCloseTo(1, 12);
      expect(dot(normal, pose.thorax.z)).toBeCloseTo(1, 12);
    }
  });

  it.each(swings)('has hip and shoulder centres that the regressions give: $name', (swing) => {
    const { spec } = swing.made.swing.body;
    const still = makeStatic(1, spec, OPTIONS).content;
    const point = (label: string): Vec => {
      const i = still.labels.indexOf(label);
      return [0, 1, 2].map((c) => still.xyz[(3 * i + c) * still.frames]!) as unknown as Vec;
    };
    const width = distance(point('L_ASIS'), point('R_ASIS'));
    const depth = distance(mid(point('L_ASIS'), point('R_ASIS')), mid(point('L_PSIS'), point('R_PSIS')));
    const leg = distance(point('L_ASIS'), point('L_MM'));
    // Harrington and others 2007, two variables (standards A5).
    const hip: Vec = [-0.24 * depth - 9.9, -0.16 * width - 0.04 * leg - 7.1, 0.28 * depth + 0.16 * width + 7.9];
    const pose = swing.made.swing.bodyPose(1.3);
    const at = swingPlaces(swing.made.swing, 1.3);
    const middle = mid(at.get('lead_ASIS')!, at.get('trail_ASIS')!);
    const right = add(middle, turnOut(pose.pelvis, scale(hip, 0.001)));
    expect(distance(right, pose.hipTrail)).toBeLessThan(1e-9);
    // Dumas and Wojtusch 2018 (standards A6).
    const x = unit(sub(at.get('IJ')!, at.get('C7')!));
    const z = unit(cross(x, sub(at.get('C7')!, at.get('T8')!)));
    const y = cross(z, x);
    const w = distance(at.get('IJ')!, at.get('C7')!);
    const [share, angle] = spec.sex === 'female' ? [0.36, -5 * RAD] : [0.33, -11 * RAD];
    const step = add(scale(x, share * w * Math.cos(angle)), scale(y, share * w * Math.sin(angle)));
    expect(distance(add(at.get('lead_AC')!, step), pose.shoulderLead)).toBeLessThan(1e-9);
    expect(distance(add(at.get('trail_AC')!, step), pose.shoulderTrail)).toBeLessThan(1e-9);
  });

  it.each(swings)('keeps both feet on the ground and the club above it: $name', (swing) => {
    const { body } = swing.made.swing;
    const first = swingPlaces(swing.made.swing, 0);
    for (const { at } of places(swing)) {
      for (const name of ['lead_TOE', 'trail_TOE', 'lead_HEEL', 'lead_MT5', 'lead_LM']) {
        expect(distance(at.get(name)!, first.get(name)!)).toBeLessThan(1e-12);
      }
      for (const [name, p] of at) expect(p[1], name).toBeGreaterThan(name.startsWith('CLUB') ? -0.03 : 0.015);
      expect(at.get('trail_HEEL')![1]).toBeLessThan(0.3 * body.size);
    }
  });

  it.each(swings)('passes its positions in order, at usual times: $name', ({ made }) => {
    const { time_s, swing } = made.truth;
    const times = TRUE_POSITIONS.map((position) => time_s[position]);
    for (let i = 1; i < times.length; i += 1) expect(times[i]!, TRUE_POSITIONS[i]).toBeGreaterThan(times[i - 1]!);
    // Common practice, no source (standards H), with room for invented players.
    expect(time_s.P4 - time_s.P1).toBeGreaterThan(0.7);
    expect(time_s.P4 - time_s.P1).toBeLessThan(1);
    expect(time_s.P7 - time_s.P4).toBeGreaterThan(0.21);
    expect(time_s.P7 - time_s.P4).toBeLessThan(0.31);
    expect(time_s.P1).toBeGreaterThan(0.4);
    expect(made.content.frames / 240 - time_s.P10).toBeGreaterThan(0.3);
    expect(swing['club.head_speed']).toBeGreaterThan(28);
    expect(swing['club.head_speed']).toBeLessThan(51);
  });

  it.each(swings)('is still before the start and at the finish: $name', ({ made }) => {
    const { swing } = made;
    const end = swing.knots[swing.knots.length - 1]! + 0.09;
    // What is left is rounding over a step of 10 µs.
    for (const t of [0.02, 0.2, 0.4, end + 0.01, end + 0.2]) expect(swing.headSpeed(t)).toBeLessThan(1e-9);
  });

  it.each(swings)('turns its head at impact as real clubs do, and leaves its best plane: $name', ({ made }) => {
    const { swing, truth, contact_s } = made;
    const shift = swing.setup.contact - contact_s;
    const heading = (t: number): Vec => unit(swing.faceVelocity(t, false));
    const contact = swing.setup.contact;
    const rate = Math.acos(dot(heading(contact - 0.001), heading(contact))) / RAD;
    // Two-link swings turn by 1.2 to 1.6°/ms; a hub that turns and a wrist released late add some.
    expect(rate).toBeGreaterThan(1.2);
    expect(rate).toBeLessThan(2.1);
    const path: Vec[] = [];
    for (let i = 0; i <= 100; i += 1) {
      path.push(swing.face(truth.time_s.P4 + shift + ((contact - truth.time_s.P4 - shift) * i) / 100, false));
    }
    let centre: Vec = [0, 0, 0];
    for (const p of path) centre = add(centre, scale(p, 1 / path.length));
    const from = path.map((p) => sub(p, centre));
    const normal = planeNormal(from);
    const aside = from.map((p) => dot(p, normal));
    expect(Math.max(...aside) - Math.min(...aside)).toBeGreaterThan(0.02);
  });

  it.each(swings)(
    'slows its head at contact and starts the ball from a radius ahead of the face: $name',
    ({ made }) => {
      const { swing, content, contact_s } = made;
      const contact = swing.setup.contact;
      const before = swing.headSpeed(contact - 1e-4);
      const after = swing.headSpeed(contact + 6e-4);
      expect(1 - after / before).toBeGreaterThan(0.15);
      expect(1 - after / before).toBeLessThan(0.32);
      const ball = content.labels.indexOf('BALL');
      const at = (f: number): Vec =>
        [0, 1, 2].map((c) => content.xyz[(3 * ball + c) * content.frames + f]! / 1000) as unknown as Vec;
      const last = Math.floor(contact_s * 240);
      expect(distance(at(0), at(last))).toBe(0);
      expect(distance(at(0), at(last + 1))).toBeGreaterThan(0);
      const direction = unit(swing.faceVelocity(contact, false));
      // Back from the file (Z up, X to the target) to the player frame.
      const hand = swing.body.spec.hand === 'left' ? -1 : 1;
      const p = at(0);
      const centre: Vec = [-hand * p[1], p[2], -p[0]];
      const gap = sub(centre, swing.face(contact));
      expect(dot(gap, direction)).toBeCloseTo(0.021335, 9);
      expect(length(gap)).toBeLessThan(0.04);
    },
  );
});

describe('a left-hander', () => {
  it('is the mirror image of the right-hander, left and right exchanged', () => {
    const player = { ...DEMO_PLAYERS[0]!, hand: 'right' as const };
    const right = makeSwing(5, player, IRON_7, OPTIONS).content;
    const left = makeSwing(5, { ...player, hand: 'left' }, IRON_7, OPTIONS).content;
    const other = (label: string): string =>
      label.startsWith('L_') ? `R_${label.slice(2)}` : label.startsWith('R_') ? `L_${label.slice(2)}` : label;
    expect(left.labels).toEqual(right.labels.map(other));
    const { frames } = right;
    for (let p = 0; p < right.labels.length; p += 1) {
      for (let f = 0; f < frames; f += 37) {
        const at = (c: number): number => (3 * p + c) * frames + f;
        if (Number.isNaN(right.xyz[at(0)]!)) continue;
        expect(left.xyz[at(0)]).toBe(right.xyz[at(0)]);
        expect(left.xyz[at(1)]).toBe(0 - right.xyz[at(1)]!);
        expect(left.xyz[at(2)]).toBe(right.xyz[at(2)]);
      }
    }
  });
});
