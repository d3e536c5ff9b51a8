import { describe, expect, it } from 'vitest';
import { DEFAULT_GAPS } from '../../../src/model/dayPlan.ts';
import type { LandmarkId } from '../../../src/model/landmarks.ts';
import { MEASURED, MISSING, REBUILT, type Track } from '../../../src/model/track.ts';
import type { MarkerTrial } from '../../../src/model/trial.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { calibrateClusters } from '../../../src/stages/calibrateClusters.ts';
import { rebuildLandmarks } from '../../../src/stages/rebuildLandmarks.ts';
import { carriedNoiseGain } from '../../../src/stages/shared/segmentClusters.ts';
import { type Point, place, rotationOf, snapshot, trialOf } from './support.ts';

const ws = createWorkspace({ poison: true });

/** An upper arm (m): epicondyles 70 mm apart, three markers 90 mm apart and more on the muscle. */
const ARM = {
  lead_EL: [0, -0.3, -0.035],
  lead_EM: [0, -0.3, 0.035],
  lead_UPPER_ARM_1: [0.03, -0.12, -0.06],
  lead_UPPER_ARM_2: [-0.05, -0.16, -0.05],
  lead_UPPER_ARM_3: [0.02, -0.24, -0.055],
} as const satisfies Partial<Record<LandmarkId, Point>>;
type ArmId = keyof typeof ARM;
const IDS = Object.keys(ARM) as ArmId[];
const FRAMES = 400;

/** Limbs with three technical markers 80 mm and more apart, and the medial landmark that a swing often lacks. */
const LIMBS: Readonly<Record<string, { body: Partial<Record<LandmarkId, Point>>; medial: LandmarkId }>> = {
  'upper arm': { body: ARM, medial: 'lead_EM' },
  forearm: {
    body: {
      trail_RS: [0, -0.25, 0.03],
      trail_US: [0, -0.25, -0.025],
      trail_FOREARM_1: [0.035, -0.08, 0.02],
      trail_FOREARM_2: [-0.03, -0.12, 0.03],
      trail_FOREARM_3: [0.03, -0.18, 0.025],
    },
    medial: 'trail_US',
  },
  thigh: {
    body: {
      lead_GT: [0.02, 0, -0.06],
      lead_FL: [0.01, -0.4, -0.05],
      lead_FM: [0.01, -0.4, 0.05],
      lead_THIGH_1: [0.06, -0.15, -0.04],
      lead_THIGH_2: [0, -0.22, -0.08],
      lead_THIGH_3: [0.07, -0.28, -0.05],
    },
    medial: 'lead_FM',
  },
  shank: {
    body: {
      trail_LM: [0, -0.4, 0.04],
      trail_MM: [0, -0.4, -0.03],
      trail_SHANK_1: [0.04, -0.1, 0.03],
      trail_SHANK_2: [0.03, -0.25, 0.05],
      trail_SHANK_3: [-0.04, -0.2, 0.04],
    },
    medial: 'trail_MM',
  },
};

interface Options {
  readonly still?: boolean;
  readonly noise_m?: number;
  readonly seed?: number;
  readonly body?: Partial<Record<LandmarkId, Point>>;
  readonly hidden?: (id: string, frame: number) => boolean;
  /** Added in the segment. */
  readonly slide?: (id: string, frame: number) => Point;
}

/** The arm swings by 150° and more about two axes and travels a metre; a still one stands as the static trial does. */
function armTrial({ still = false, noise_m = 0, seed = 1, body = ARM, hidden, slide }: Options): MarkerTrial {
  const random = createRandom(seed);
  const poseAt = (f: number) => {
    const s = still ? 0 : f / FRAMES;
    return {
      R: rotationOf({ turn: 30 + 150 * s, side: 40 * Math.sin(5 * s), forward: 70 * Math.sin(3 * s) }),
      at: [0.2 + s, 1.3 - 0.4 * s * s, 0.5 * Math.sin(4 * s)] as Point,
    };
  };
  return trialOf(
    Object.fromEntries(
      Object.entries(body).map(([id, local]) => [
        id,
        (f: number) => {
          if (hidden?.(id, f)) return null;
          const { R, at } = poseAt(f);
          const by = slide?.(id, f) ?? [0, 0, 0];
          const p = place(R, [local![0] + by[0], local![1] + by[1], local![2] + by[2]], at);
          return p.map((v) => v + noise_m * random.normal()) as unknown as Point;
        },
      ]),
    ),
    { frames: FRAMES, role: still ? 'static' : 'swing' },
  );
}

function without(trial: MarkerTrial, id: string): MarkerTrial {
  return { ...trial, points: new Map([...trial.points].filter(([own]) => own !== id)) };
}

/** RMS and largest distance of a track from the truth over the frames that `which` names. */
function distances(found: Track<3>, truth: Track<3>, which: (f: number) => boolean = () => true) {
  let sum = 0;
  let n = 0;
  let largest = 0;
  for (let f = 0; f < FRAMES; f++) {
    if (!which(f)) continue;
    const d = Math.hypot(...[0, 1, 2].map((c) => found.data[c * FRAMES + f]! - truth.data[c * FRAMES + f]!));
    sum += d * d;
    n += 1;
    largest = Math.max(largest, d);
  }
  return { rms: Math.sqrt(sum / n), largest };
}

const models = calibrateClusters(armTrial({ still: true }), ws);
const noisyModels = calibrateClusters(armTrial({ still: true, noise_m: 0.001, seed: 5 }), ws);

describe('calibrateClusters', () => {
  it('keeps the shape of a segment with four landmarks or more: distances to rounding, origin at the mean', () => {
    expect(models.map(({ segment }) => segment)).toEqual(['lead upper arm']);
    const { landmarks, places_m, residual_m } = models[0]!;
    expect(landmarks).toEqual(IDS);
    for (let c = 0; c < 3; c++) {
      const mean = IDS.reduce((sum, _id, k) => sum + places_m[3 * k + c]!, 0);
      expect(mean).toBeCloseTo(0, 12);
    }
    for (const [i, a] of IDS.entries())
      for (const [j, b] of IDS.entries()) {
        const found = Math.hypot(...[0, 1, 2].map((c) => places_m[3 * i + c]! - places_m[3 * j + c]!));
        expect(found).toBeCloseTo(Math.hypot(...ARM[a].map((v, c) => v - ARM[b][c]!)), 12);
      }
    expect(residual_m).toBeLessThan(1e-12);
  });

  it('averages the noise of the static trial away: shapes of 1 mm of noise are within 0.3 mm', () => {
    const { places_m, residual_m } = noisyModels[0]!;
    // 15 coordinates less 6 of the pose: √(9/15) of √3 mm a marker
    expect(residual_m).toBeCloseTo(Math.sqrt((9 / 15) * 3) * 1e-3, 4);
    for (const [i, a] of IDS.entries())
      for (const [j, b] of IDS.entries()) {
        const found = Math.hypot(...[0, 1, 2].map((c) => places_m[3 * i + c]! - places_m[3 * j + c]!));
        expect(Math.abs(found - Math.hypot(...ARM[a].map((v, c) => v - ARM[b][c]!)))).toBeLessThan(0.3e-3);
      }
  });

  it('joins landmarks that are never all seen in one frame', () => {
    const hidden = (id: string, f: number) => (id === 'lead_EM' ? f < 200 : id === 'lead_EL' ? f >= 200 : false);
    const [model] = calibrateClusters(armTrial({ still: true, hidden }), ws);
    expect(model!.landmarks).toEqual(IDS);
    const [el, em] = [0, 1].map((k) => model!.places_m.slice(3 * k, 3 * k + 3)) as [number[], number[]];
    expect(Math.hypot(...el.map((v, c) => v - em[c]!))).toBeCloseTo(0.07, 12);
  });

  it('makes no model of three landmarks, which carry no fourth, nor of four on a line', () => {
    const { lead_EL: _l, lead_UPPER_ARM_3: _3, ...three } = ARM;
    expect(calibrateClusters(armTrial({ still: true, body: three }), ws)).toEqual([]);
    const line = Object.fromEntries(IDS.map((id, k) => [id, [0, -0.1 * k, 0.001 * (k % 2)] as Point]));
    expect(calibrateClusters(armTrial({ still: true, body: line }), ws)).toEqual([]);
  });
});

describe('rebuildLandmarks', () => {
  it.each(IDS)('%s, absent from the swing, is within 0.01 mm without noise', (id) => {
    const truth = armTrial({});
    const trial = without(truth, id);
    const unchanged = snapshot(trial);
    const { value, diagnostics } = rebuildLandmarks(trial, models, DEFAULT_GAPS, ws);
    const track = value.trial.points.get(id)!;
    expect(distances(track, truth.points.get(id)!).largest).toBeLessThan(1e-5);
    expect(track.state.every((state) => state === REBUILT)).toBe(true);
    expect(value.rebuilt.map(({ landmark, frames }) => [landmark, frames])).toEqual([[id, FRAMES]]);
    expect(diagnostics.map((one) => one.code)).toEqual(['landmark-rebuilt']);
    expect(unchanged()).toBe(true);
  });

  it.each(Object.entries(LIMBS))(
    '%s: the medial landmark, absent from the swing, is within 0.01 mm without noise and 2 mm RMS with 1 mm of noise on every marker of both trials (check 4)',
    (_name, { body, medial }) => {
      const truth = armTrial({ body });
      const exact = calibrateClusters(armTrial({ still: true, body }), ws);
      const clean = rebuildLandmarks(without(truth, medial), exact, DEFAULT_GAPS, ws).value.trial.points.get(medial)!;
      expect(distances(clean, truth.points.get(medial)!).largest).toBeLessThan(1e-5);
      const own = calibrateClusters(armTrial({ still: true, body, noise_m: 0.001, seed: 21 }), ws);
      const noisy = armTrial({ body, noise_m: 0.001, seed: 22 });
      const found = rebuildLandmarks(without(noisy, medial), own, DEFAULT_GAPS, ws).value.trial.points.get(medial)!;
      expect(distances(found, truth.points.get(medial)!).rms).toBeLessThan(0.002);
    },
  );

  it.each(IDS)('%s is as noisy as its stated gain says, with 1 mm of noise on every marker of both trials', (id) => {
    const truth = armTrial({});
    const noisy = armTrial({ noise_m: 0.001, seed: 9 });
    const { value } = rebuildLandmarks(without(noisy, id), noisyModels, DEFAULT_GAPS, ws);
    const { rms } = distances(value.trial.points.get(id)!, truth.points.get(id)!);
    const gain = value.rebuilt[0]!.gain;
    // per axis; the shape's own error of up to 0.3 mm is the same in all frames
    expect(rms / Math.sqrt(3)).toBeGreaterThan(0.8 * gain * 1e-3);
    expect(rms / Math.sqrt(3)).toBeLessThan(1.3 * gain * 1e-3);
  });

  it('fills the hidden frames alone; what was measured stays to the bit, what misses nothing stays the same track', () => {
    const hidden = (id: string, f: number) => id === 'lead_EM' && ((f >= 100 && f < 180) || f >= 390);
    const truth = armTrial({});
    const trial = armTrial({ hidden });
    const { value } = rebuildLandmarks(trial, models, DEFAULT_GAPS, ws);
    const track = value.trial.points.get('lead_EM')!;
    expect(distances(track, truth.points.get('lead_EM')!).largest).toBeLessThan(1e-5);
    const own = trial.points.get('lead_EM')!;
    for (let f = 0; f < FRAMES; f++) {
      expect(track.state[f]).toBe(hidden('lead_EM', f) ? REBUILT : MEASURED);
      if (!hidden('lead_EM', f))
        for (let c = 0; c < 3; c++) expect(track.data[c * FRAMES + f]).toBe(own.data[c * FRAMES + f]);
    }
    expect(value.trial.points.get('lead_EL')).toBe(trial.points.get('lead_EL'));
  });

  it('two landmarks hidden at once are both carried by the other three', () => {
    const hidden = (id: string, f: number) => (id === 'lead_EM' || id === 'lead_EL') && f >= 100 && f < 300;
    const truth = armTrial({});
    const { value } = rebuildLandmarks(armTrial({ hidden }), models, DEFAULT_GAPS, ws);
    for (const id of ['lead_EM', 'lead_EL'] as const)
      expect(distances(value.trial.points.get(id)!, truth.points.get(id)!).largest).toBeLessThan(1e-5);
  });

  it('a marker that has slid on the skin by 8 mm and more since the static trial is carried without a step', () => {
    const slide = (id: string, f: number): Point => (id === 'lead_EM' ? [0.008, 0.003, 0.00001 * f] : [0, 0, 0]);
    const hidden = (id: string, f: number) => id === 'lead_EM' && f >= 150 && f < 250;
    const truth = armTrial({ slide });
    const { value } = rebuildLandmarks(armTrial({ slide, hidden }), models, DEFAULT_GAPS, ws);
    // a slide that goes on evenly differs from the means of 24 frames, up to 12.5 frames away, by 0.125 mm
    expect(distances(value.trial.points.get('lead_EM')!, truth.points.get('lead_EM')!).largest).toBeLessThan(0.13e-3);
    const absent = rebuildLandmarks(without(armTrial({ slide }), 'lead_EM'), models, DEFAULT_GAPS, ws).value;
    expect(distances(absent.trial.points.get('lead_EM')!, truth.points.get('lead_EM')!).rms).toBeGreaterThan(0.008);
  });

  it('refuses what nearly a line would carry and says in how many frames', () => {
    // EL and the three markers within 3 mm of a line 180 mm long; the medial epicondyle 70 mm off it
    const body = {
      lead_EL: [0, -0.3, -0.05],
      lead_EM: [0, -0.3, 0.02],
      lead_UPPER_ARM_1: [0.003, -0.12, -0.05],
      lead_UPPER_ARM_2: [-0.003, -0.18, -0.05],
      lead_UPPER_ARM_3: [0.003, -0.24, -0.05],
    } as const;
    const own = calibrateClusters(armTrial({ still: true, body }), ws);
    expect(own).toHaveLength(1);
    const { value, diagnostics } = rebuildLandmarks(without(armTrial({ body }), 'lead_EM'), own, DEFAULT_GAPS, ws);
    expect(value.trial.points.has('lead_EM')).toBe(false);
    expect(value.rebuilt).toEqual([]);
    expect(diagnostics.map((one) => one.message)).toEqual([
      `L_EM: in ${FRAMES} frames the rest of the lead upper arm is nearly a line`,
    ]);
  });

  it('refuses a cluster with exchanged markers, which fits its shape nowhere, and states the residual of every frame', () => {
    const trial = without(armTrial({}), 'lead_EM');
    const points = new Map(trial.points);
    const [one, three] = [points.get('lead_UPPER_ARM_1')!, points.get('lead_UPPER_ARM_3')!];
    points.set('lead_UPPER_ARM_1', three).set('lead_UPPER_ARM_3', one);
    const { value, diagnostics } = rebuildLandmarks({ ...trial, points }, models, DEFAULT_GAPS, ws);
    expect(value.rebuilt).toEqual([]);
    expect(value.fits[0]!.residual_m.every((residual) => residual > 0.02)).toBe(true);
    expect(diagnostics.map((found) => found.code)).toEqual(['cluster-refused']);
    const good = rebuildLandmarks(trial, models, DEFAULT_GAPS, ws).value.fits[0]!;
    expect(good.residual_m.every((residual) => residual < 1e-12)).toBe(true);
    expect(good.used.every((n) => n === 4)).toBe(true);
  });

  it('leaves frames with fewer than three other landmarks missing', () => {
    const hidden = (id: string, f: number) => f >= 100 && f < 110 && id !== 'lead_EL' && id !== 'lead_UPPER_ARM_1';
    const { value } = rebuildLandmarks(armTrial({ hidden }), models, DEFAULT_GAPS, ws);
    const { state } = value.trial.points.get('lead_EM')!;
    expect(Array.from(state.subarray(98, 112))).toEqual([
      MEASURED,
      MEASURED,
      ...Array(10).fill(MISSING),
      MEASURED,
      MEASURED,
    ]);
    expect(value.fits[0]!.residual_m[105]).toBeNaN();
    expect(value.fits[0]!.used[105]).toBe(2);
  });
});

it('the noise gain of a carried point is that of many fits of noisy markers', () => {
  // closed form: the mean of n markers has gain 1/√n
  const square = [0.1, 0, 0, -0.1, 0, 0, 0, 0.1, 0, 0, -0.1, 0, 0, 0, 0, 0, 0, 0.2];
  const four = (k: number) => k < 4;
  expect(carriedNoiseGain(square, four, 4)).toBeCloseTo(0.5, 14);
  // 0.2 m above it: 1/4 + ⅓ (0.04 / 0.02 + 0.04 / 0.02), moments 0.02 m² about x and y
  expect(carriedNoiseGain(square, four, 5)).toBeCloseTo(Math.sqrt(0.25 + 4 / 3), 14);
  expect(carriedNoiseGain([0, 0, 0, 1, 0, 0, 2, 0, 0, 0, 1, 0], (k) => k < 3, 3)).toBe(Number.POSITIVE_INFINITY);
});

describe('without a static trial', () => {
  const hidden = (id: string, f: number) => id === 'lead_EM' && f >= 150 && f < 250;

  it("a gap is filled by the shape of the trial's own frames: within 0.01 mm without noise, and said", () => {
    const truth = armTrial({});
    const { value, diagnostics } = rebuildLandmarks(armTrial({ hidden }), [], DEFAULT_GAPS, ws);
    const track = value.trial.points.get('lead_EM')!;
    expect(distances(track, truth.points.get('lead_EM')!).largest).toBeLessThan(1e-5);
    expect(Array.from(track.state).filter((state) => state === REBUILT)).toHaveLength(100);
    expect(diagnostics.map(({ message }) => message)).toEqual([
      'L_EM: 100 of 400 frames from the rest of the lead upper arm, which fits its shape in this trial within 0.0 mm (RMS), 0.0 mm at most',
    ]);
  });

  it('a marker that sits elsewhere than on the static trial is carried by its own frames', () => {
    const elsewhere = { ...ARM, lead_UPPER_ARM_1: [0.09, -0.12, -0.06] as Point };
    const truth = armTrial({ body: elsewhere });
    const { value } = rebuildLandmarks(armTrial({ body: elsewhere, hidden }), models, DEFAULT_GAPS, ws);
    expect(distances(value.trial.points.get('lead_EM')!, truth.points.get('lead_EM')!).largest).toBeLessThan(1e-5);
  });

  it('nothing is carried by a landmark that is seen in less than eight of the frames looked at', () => {
    // every second of 400 frames is looked at: 14 frames are seven of them
    const rare = (n: number) => (id: string, f: number) => id === 'lead_EM' && f >= n;
    const stateOf = (n: number) =>
      rebuildLandmarks(armTrial({ hidden: rare(n) }), [], DEFAULT_GAPS, ws).value.trial.points.get('lead_EM')!.state;
    expect(stateOf(14)[200]).toBe(MISSING);
    expect(stateOf(16)[200]).toBe(REBUILT);
  });

  it('gaps over rigid_s stay, landmarks that are never seen are rebuilt all the same', () => {
    const at = (rigid_s: number, trial: MarkerTrial) =>
      rebuildLandmarks(trial, models, { rigid_s }, ws).value.trial.points.get('lead_EM')!.state[200];
    expect(at(100 / 240, armTrial({ hidden }))).toBe(REBUILT);
    expect(at(99 / 240, armTrial({ hidden }))).toBe(MISSING);
    expect(at(0, without(armTrial({}), 'lead_EM'))).toBe(REBUILT);
  });
});
