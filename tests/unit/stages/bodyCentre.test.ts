import { describe, expect, it } from 'vitest';
import { present } from '../../../src/model/availability.ts';
import type { LandmarkId } from '../../../src/model/landmarks.ts';
import type { PointId } from '../../../src/model/motion.ts';
import type { Track } from '../../../src/model/track.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { bodyCentre } from '../../../src/stages/bodyCentre.ts';
import { type Point, place, playerTrialOf, rotationOf, snapshot } from './support.ts';

const ws = createWorkspace({ poison: true });
const FRAMES = 40;

/** A standing figure in G, m. */
const LANDMARKS = {
  VERTEX: [0, 1.75, 0],
  C7: [-0.05, 1.49, 0],
  IJ: [0.03, 1.43, 0],
  lead_MC2: [0.33, 0.92, -0.09],
  lead_MC5: [0.29, 0.92, -0.05],
  trail_MC2: [0.33, 0.92, 0.12],
  trail_MC5: [0.29, 0.92, 0.08],
  lead_HEEL: [-0.05, 0.03, -0.13],
  trail_HEEL: [-0.05, 0.03, 0.13],
} as const satisfies Partial<Record<LandmarkId, Point>>;
const POINTS = {
  head_centre: [0.01, 1.63, 0],
  pelvis_centre: [0, 0.92, 0],
  lead_shoulder: [0, 1.42, -0.19],
  trail_shoulder: [0, 1.42, 0.19],
  lead_elbow: [0.05, 1.14, -0.22],
  trail_elbow: [0.05, 1.14, 0.22],
  lead_wrist: [0.25, 0.98, -0.12],
  trail_wrist: [0.25, 0.98, 0.15],
  lead_hip: [0, 0.92, -0.09],
  trail_hip: [0, 0.92, 0.09],
  lead_knee: [0.05, 0.5, -0.12],
  trail_knee: [0.05, 0.5, 0.12],
  lead_ankle: [0, 0.09, -0.13],
  trail_ankle: [0, 0.09, 0.13],
  lead_toe: [0.21, 0.02, -0.16],
  trail_toe: [0.21, 0.02, 0.16],
} as const satisfies Partial<Record<PointId, Point>>;

/** The figure carried rigidly; `hidden` ids are absent. */
function figure(hidden: readonly string[] = [], hand: 'left' | 'right' = 'right') {
  const moved = (local: Point) => (f: number) =>
    place(rotationOf({ turn: 4 * f, side: 10 * Math.sin(f / 5), forward: f / 2 }), local, [0.01 * f, 0.1, -0.02 * f]);
  const left = (all: object) => Object.entries(all).filter(([id]) => !hidden.includes(id)) as [string, Point][];
  const entries = (all: object) => Object.fromEntries(left(all).map(([id, local]) => [id, moved(local)]));
  const trial = playerTrialOf(entries(LANDMARKS), { frames: FRAMES, hand });
  const tracks = playerTrialOf(entries(POINTS) as never, { frames: FRAMES }).points as unknown as Map<
    PointId,
    Track<3>
  >;
  return { trial, points: new Map([...tracks].map(([id, track]) => [id, present(track)])), moved };
}

function centreOf(hidden: readonly string[] = [], sex: 'female' | 'male' | null = 'male', hand?: 'left' | 'right') {
  const { trial, points } = figure(hidden, hand);
  return bodyCentre(trial, points, sex, ws);
}

/** Σ mass · centre by hand: de Leva 1996, male, masses of both sides together; the arms differ by side. */
function directSum(): Point {
  const parts: [number, Point, Point, number][] = [
    [0.0694, LANDMARKS.VERTEX, LANDMARKS.C7, 0.5002],
    [0.4346, LANDMARKS.IJ, POINTS.pelvis_centre, 0.4486],
  ];
  for (const side of ['lead', 'trail'] as const) {
    const [a, b] = [LANDMARKS[`${side}_MC2`], LANDMARKS[`${side}_MC5`]];
    const knuckle: Point = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
    parts.push(
      [0.0271, POINTS[`${side}_shoulder`], POINTS[`${side}_elbow`], 0.5772],
      [0.0162, POINTS[`${side}_elbow`], POINTS[`${side}_wrist`], 0.4574],
      [0.0061, POINTS[`${side}_wrist`], knuckle, 0.79],
      [0.1416, POINTS[`${side}_hip`], POINTS[`${side}_knee`], 0.4095],
      [0.0433, POINTS[`${side}_knee`], POINTS[`${side}_ankle`], 0.4395],
      [0.0137, LANDMARKS[`${side}_HEEL`], POINTS[`${side}_toe`], 0.4415],
    );
  }
  return [0, 1, 2].map((c) =>
    parts.reduce((sum, [mass, from, to, share]) => sum + mass * (from[c]! + share * (to[c]! - from[c]!)), 0),
  ) as unknown as Point;
}

describe('bodyCentre', () => {
  it('of a rigid figure is that figure’s direct sum, carried with it in every frame', () => {
    const { trial, points, moved } = figure();
    const unchanged = snapshot(trial);
    const { value, diagnostics } = bodyCentre(trial, points, 'male', ws);
    if (!value.ok) throw new Error(value.why.needed);
    const carried = moved(directSum());
    const { data } = value.value.track;
    for (let f = 0; f < FRAMES; f++)
      carried(f).forEach((v, c) => {
        expect(Math.abs(data[c * FRAMES + f]! - v)).toBeLessThan(1e-12);
      });
    expect(value.value.covered).toBe(1);
    expect(value.value.missing).toEqual([]);
    // mid-gonion is no landmark of this program: head and neck by the vertex and C7
    expect(value.value.rule).toBe('de Leva 1996, male; head by vertex and cervicale');
    expect(diagnostics).toEqual([]);
    expect(unchanged()).toBe(true);
  });

  it('without knuckles and heels the hand’s mass is at the wrist and the foot’s at the ankle: within 3.4 mm, and said', () => {
    const full = centreOf().value;
    const { value, diagnostics } = centreOf(['lead_MC2', 'trail_MC5', 'lead_HEEL', 'trail_HEEL']);
    if (!value.ok || !full.ok) throw new Error('absent');
    for (let f = 0; f < FRAMES; f++) {
      const d = [0, 1, 2].map((c) => value.value.track.data[c * FRAMES + f]! - full.value.track.data[c * FRAMES + f]!);
      // both hands 2 · 0.0061 · 0.79 · 85 mm, both feet 2 · 0.0137 · 91 mm
      expect(Math.hypot(...d)).toBeLessThan(0.0034);
    }
    expect(value.value.covered).toBe(1);
    expect(value.value.substitutions).toEqual([
      'the lead wrist for the lead hand',
      'the lead ankle for the lead foot',
      'the trail wrist for the trail hand',
      'the trail ankle for the trail foot',
    ]);
    expect(diagnostics).toEqual([]);
  });

  it('without arms it is of 90 % of the mass and names what is left out, in the player’s own sides', () => {
    const arms = ['elbow', 'wrist'].flatMap((joint) => [`lead_${joint}`, `trail_${joint}`]);
    const { value, diagnostics } = centreOf([...arms], 'male', 'left');
    if (!value.ok) throw new Error(value.why.needed);
    // 1 − 2 · (0.0271 + 0.0162 + 0.0061)
    expect(value.value.covered).toBeCloseTo(0.9012, 12);
    expect(value.value.missing).toHaveLength(6);
    expect(diagnostics.map((one) => one.message)).toEqual([
      '90 % of the mass, without right upper arm, right forearm, right hand, left upper arm, left forearm, left hand',
    ]);
  });

  it('without a leg, or with pelvis and thorax alone, there is no whole-body centre, and the reason has the share', () => {
    const leg = centreOf(['lead_knee', 'lead_ankle', 'lead_toe', 'lead_HEEL']).value;
    expect(leg.ok ? null : leg.why).toEqual({
      code: 'body-incomplete',
      // 1 − (0.1416 + 0.0433 + 0.0137)
      needed: "left thigh, left shank, left foot: what is there is 80 % of the body's mass, at least 90 % are needed",
    });
    const limbs = Object.keys(POINTS).filter((id) => !id.includes('hip') && !id.includes('pelvis'));
    const trunk = centreOf([...limbs, 'VERTEX', 'head_centre']).value;
    expect(trunk.ok ? '' : trunk.why.needed).toMatch(/^head, left upper arm, .* is 43 % of the body's mass/);
  });

  it('without IJ the trunk goes by C7, without either by the shoulders: the rule says which', () => {
    const ruleOf = (hidden: readonly string[]) => {
      const { value } = centreOf(hidden);
      return value.ok ? value.value.rule : '';
    };
    expect(ruleOf(['IJ'])).toContain('trunk by cervicale and mid_hip');
    expect(ruleOf(['IJ', 'C7'])).toContain('head by head_centre; trunk by mid_shoulder and mid_hip');
  });

  it('without a sex it is the mean of both tables, which lies between the two, and says so', () => {
    const heightOf = (sex: 'female' | 'male' | null) => {
      const { value } = centreOf([], sex);
      return value.ok ? value.value.track.data[FRAMES]! : Number.NaN;
    };
    const [low, high] = [heightOf('female'), heightOf('male')].sort((a, b) => a - b) as [number, number];
    expect(heightOf(null)).toBeGreaterThan(low);
    expect(heightOf(null)).toBeLessThan(high);
    expect(centreOf([], null).diagnostics.map((one) => one.code)).toEqual(['mass-sex-unknown']);
  });

  it('is missing in frames that lack an end, and leaves out a segment that is hidden in most frames', () => {
    const { trial, points } = figure();
    const cut = (track: Track<3>, from: number): Track<3> => {
      const data = track.data.slice();
      const state = track.state.slice();
      for (let f = from; f < FRAMES; f++) {
        state[f] = 0;
        for (let c = 0; c < 3; c++) data[c * FRAMES + f] = Number.NaN;
      }
      return { ...track, data, state };
    };
    const elbow = points.get('lead_elbow')!;
    if (!elbow.ok) throw new Error('absent');
    const some = bodyCentre(trial, new Map(points).set('lead_elbow', present(cut(elbow.value, 30))), 'male', ws).value;
    expect(some.ok && some.value.covered).toBe(1);
    expect(some.ok && [some.value.track.state[29], some.value.track.state[30]]).toEqual([1, 0]);
    expect(some.ok && some.value.track.data[30]).toBeNaN();
    const most = bodyCentre(trial, new Map(points).set('lead_elbow', present(cut(elbow.value, 10))), 'male', ws).value;
    expect(most.ok && most.value.missing).toEqual(['lead upper arm', 'lead forearm']);
    expect(most.ok && most.value.track.state[30]).toBe(1);
  });
});
