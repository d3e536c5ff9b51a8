// The club at impact on a second family of swings, on which nothing was tuned: two links in a drifting plane.
import { beforeAll, describe, expect, it } from 'vitest';
import type { ClubFigureId } from '../../src/model/delivery.ts';
import type { LandmarkId } from '../../src/model/landmarks.ts';
import type { Motion } from '../../src/model/motion.ts';
import { MEASURED, type Track } from '../../src/model/track.ts';
import { fitPlane } from '../../src/numeric/planeFit.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { clubAtImpact } from '../../src/stages/clubAtImpact.ts';
import { DEFAULT_CLUB_OPTIONS } from '../../src/stages/clubDelivery.ts';
import { DEFAULT_POSITION_OPTIONS, findPositions } from '../../src/stages/findPositions.ts';
import { clubBodyTrack } from '../../src/stages/shared/clubBody.ts';
import { clubPlan } from '../support/plans.ts';
import { recordMotion } from '../support/twoLinkMotion.ts';
import {
  drawShape,
  makeTwoLinkSwing,
  normal,
  type Swing,
  uniform,
  type V3,
  velocityOf,
} from '../support/twoLinkSwing.ts';
import { truthOf } from '../support/twoLinkTruth.ts';

const DEGREES = 180 / Math.PI;
const LOFT = 12 / DEGREES;
/** Places of three markers on the head along its axes, metres, about as far apart as a driver's. */
const MARKERS: readonly V3[] = [
  [-0.02, -0.045, 0.01],
  [-0.005, 0.05, 0.02],
  [-0.02, 0, 0.08],
];
/** Where the face looks along the same axes: raised by the loft, which is up the shaft. */
const FACE: V3 = [-Math.sin(LOFT), 0, -Math.cos(LOFT)];

const along = (axes: readonly [V3, V3, V3], p: V3): V3 =>
  [0, 1, 2].map((c) => axes[0][c]! * p[0] + axes[1][c]! * p[1] + axes[2][c]! * p[2]) as V3;
const dot = (a: V3, b: V3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: V3, b: V3): V3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a: V3): V3 => a.map((x) => x / Math.hypot(...a)) as V3;
const less = (a: V3, b: V3): V3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];

/** The face in the frame of the three markers, as a day file has it. */
function faceNormal(): V3 {
  const x = unit(less(MARKERS[1]!, MARKERS[0]!));
  const z = unit(cross(x, less(MARKERS[2]!, MARKERS[0]!)));
  return [dot(x, FACE), dot(cross(z, x), FACE), dot(z, FACE)];
}

/** The motion of a recording with the orientation of the head from three noisy markers. */
function withBody(swing: Swing, seed: number, noise_m: number): Motion {
  const { motion, start_s } = recordMotion(swing, { seed, noise_m, filter: noise_m > 0 });
  const { clock } = motion;
  const { frames, rate_Hz } = clock;
  const gauss = normal(uniform(seed + 70_000));
  const points = new Map<LandmarkId, Track<3>>();
  MARKERS.forEach((place, i) => {
    const data = new Float64Array(3 * frames);
    for (let f = 0; f < frames; f++) {
      const t = start_s + f / rate_Hz;
      const [p, d] = [swing.head(t), along(swing.headAxes(t), place)];
      for (let c = 0; c < 3; c++) data[c * frames + f] = p[c]! + d[c]! + noise_m * gauss();
    }
    const state = new Uint8Array(frames).fill(MEASURED);
    points.set(`CLUB_HEAD_${i + 1}` as LandmarkId, {
      dimension: 3,
      clock,
      data,
      state,
      noise: noise_m,
      provenance: 'test',
    });
  });
  const trial = { source: 'markers', head: motion.head, clock, points, events: [], diagnostics: [] } as const;
  return { ...motion, clubBody: clubBodyTrack(trial, null, createWorkspace()) };
}

const headingOf = (d: V3): number => Math.atan2(d[0], -d[2]);

/** True figures from the functions of time; the struck club goes on as if nothing were struck, so only times before impact are read. */
function known(swing: Swing): Partial<Record<ClubFigureId, number>> {
  const t = swing.shape.impact_s;
  const face = (at: number): V3 => along(swing.headAxes(at), FACE);
  const v = velocityOf(swing.head, t, -1);
  const n = face(t);
  const h = 1e-5;
  const late = planeOf(swing, t - 0.05, t);
  const p6p7 = planeOf(swing, truthOf(swing).time_s.P6, t);
  const attack = Math.asin(v[1] / Math.hypot(...v));
  const off = ({ slope, direction }: ReturnType<typeof planeOf>): number =>
    headingOf(v) - (direction - Math.asin(Math.tan(attack) / Math.tan(slope)));
  return {
    face: headingOf(n),
    loft: Math.asin(n[1]),
    'face-to-path': headingOf(n) - headingOf(v),
    'face-to-velocity': Math.acos(dot(unit(n), unit(v))),
    'face-rate': -(3 * headingOf(n) - 4 * headingOf(face(t - h)) + headingOf(face(t - 2 * h))) / (2 * h),
    lie: Math.atan2(-swing.shaft(t)[1], swing.shaft(t)[0]),
    'shaft-lean': Math.atan2(swing.shaft(t)[2], -swing.shaft(t)[1]),
    'plane-slope': p6p7.slope,
    'plane-direction': p6p7.direction,
    'plane-disagreement': off(p6p7),
    'late-plane-disagreement': off(late),
  };
}

function pathPlane(swing: Swing, from: number, to: number) {
  const steps = 500;
  const places = new Float64Array(3 * steps);
  for (let i = 0; i < steps; i++) places.set(swing.head(from + ((to - from) * (i + 0.5)) / steps), 3 * i);
  return { ...fitPlane(places, steps)!, places };
}

function planeOf(swing: Swing, from: number, to: number): { readonly slope: number; readonly direction: number } {
  const { normal: n } = pathPlane(swing, from, to);
  const way = n[2]! * 0 - n[0]! * -1 >= 0 ? 1 : -1;
  return { slope: Math.acos(way * n[1]!), direction: headingOf([way * n[2]!, 0, -way * n[0]!]) };
}

/** Largest distance of the head's path from its best plane, top to impact, metres. */
function outOfPlane(swing: Swing): number {
  const { P4, P7 } = truthOf(swing).time_s;
  const { normal: n, centre, places } = pathPlane(swing, P4, P7);
  let most = 0;
  for (let i = 0; i < places.length; i += 3) {
    const d =
      n[0]! * (places[i]! - centre[0]!) + n[1]! * (places[i + 1]! - centre[1]!) + n[2]! * (places[i + 2]! - centre[2]!);
    most = Math.max(most, Math.abs(d));
  }
  return most;
}

const SWINGS = 40;
const PLAN = clubPlan({ faceNormal: faceNormal() });

interface Row {
  readonly errors: number[];
  within: number;
}

function study(noise_m: number): Map<ClubFigureId, Row> {
  const rows = new Map<ClubFigureId, Row>();
  const ws = createWorkspace();
  const options = { ...DEFAULT_POSITION_OPTIONS, contact_s: 0, ...(noise_m > 0 ? {} : { stillnessFilter_Hz: null }) };
  for (let seed = 1; seed <= SWINGS; seed++) {
    ws.reset();
    const swing = makeTwoLinkSwing(drawShape(seed));
    const motion = withBody(swing, seed, noise_m);
    const found = findPositions(motion, options, ws).value;
    const figures = clubAtImpact(motion, found, PLAN, DEFAULT_CLUB_OPTIONS, ws).value;
    for (const [id, is] of Object.entries(known(swing)) as [ClubFigureId, number][]) {
      const figure = figures[id];
      if (!figure?.ok) throw new Error(`seed ${seed} ${id}: ${figure?.why.needed}`);
      const row = rows.get(id) ?? { errors: [], within: 0 };
      row.errors.push((figure.value.value - is) * DEGREES);
      if (Math.abs(figure.value.value - is) <= 1.96 * figure.value.sd) row.within += 1;
      rows.set(id, row);
    }
  }
  return rows;
}

const rmsOf = ({ errors }: Row): number => Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
const worstOf = ({ errors }: Row): number => Math.max(...errors.map(Math.abs));

describe('forty swings of two links, hub and plane moving', () => {
  let clean: Map<ClubFigureId, Row>;
  let noisy: Map<ClubFigureId, Row>;
  beforeAll(() => {
    clean = study(0);
    noisy = study(0.001);
  });

  it('the head leaves its best plane by more than 20 mm in every one', () => {
    for (let seed = 1; seed <= SWINGS; seed++) {
      expect(outOfPlane(makeTwoLinkSwing(drawShape(seed))), `seed ${seed}`).toBeGreaterThan(0.02);
    }
  });

  it.each(['plane-disagreement', 'late-plane-disagreement'] as const)(
    '%s: read within 0.3° in every one without noise',
    (id) => {
      expect(worstOf(clean.get(id)!)).toBeLessThan(0.3);
    },
  );

  // Limits of tests/support/accuracyLimits.ts: 0.1° without noise, °/s a hundredfold; with 1 mm at 240 Hz as for the swings they were set with.
  it.each([
    ['face', 0.1, 1.2],
    ['loft', 0.1, 1.2],
    ['face-to-path', 0.1, 1.2],
    ['face-to-velocity', 0.1, 1.2],
    ['face-rate', 10, 140],
    ['lie', 0.1, 0.5],
    ['shaft-lean', 0.1, 0.5],
    ['plane-slope', 0.01, 0.25],
    ['plane-direction', 0.01, 0.25],
    ['plane-disagreement', 0.1, 0.5],
  ] as const)('%s: RMS below %f without noise and %f with 1 mm', (id, without, withNoise) => {
    expect(rmsOf(clean.get(id)!), 'without noise').toBeLessThan(without);
    expect(rmsOf(noisy.get(id)!), 'with noise').toBeLessThan(withNoise);
    // As in accuracy.test.ts: 34 of 40.
    expect(noisy.get(id)!.within).toBeGreaterThanOrEqual(34);
  });
});
