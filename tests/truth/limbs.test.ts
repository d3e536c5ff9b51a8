import { beforeAll, describe, expect, it } from 'vitest';
import { LIMB_SEGMENTS } from '../../src/model/motion.ts';
import { LIMB_QUANTITIES } from '../../src/model/quantities/limbs.ts';
import { REBUILT } from '../../src/model/track.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { motionFromMarkers } from '../../src/pipeline/motionFromMarkers.ts';
import { parseOrders } from '../../src/pipeline/orders.ts';
import { measureMarkers } from '../../src/stages/measureMarkers.ts';
import { rebuildLandmarks } from '../../src/stages/rebuildLandmarks.ts';
import { byQuantity, LIMB_LIMITS, type LimbErrors, measureLimbs } from '../support/limbAccuracy.ts';
import { CLEAN, type Conditions, NOISY, type TruthCase, truthCase } from '../support/truthCases.ts';

/** Seeds of right- and left-handed players; tests/long/limbs.test.ts runs two hundred. */
const SEEDS = [1, 2, 3, 4, 5, 6];

describe.each([
  ['without noise, filter off, 240 Hz', CLEAN, 'clean'],
  ['1 mm of noise, default filter, 240 Hz', NOISY, 'noisy'],
] as const)('angles of limbs, %s', (_name, conditions, which) => {
  let measured: LimbErrors;
  beforeAll(() => {
    measured = measureLimbs(SEEDS, conditions);
  });
  it('are all there, of both hands', () => {
    expect(measured.missing).toEqual([]);
    expect(new Set(SEEDS.map((seed) => truthCase(seed, conditions).player.hand))).toEqual(new Set(['left', 'right']));
    const read = new Set([...measured.atTrueTime.rows.keys()].map((name) => name.split('@')[0]));
    for (const { id, form } of LIMB_QUANTITIES) expect(read.has(id), id).toBe(form === 'full');
  });
  it.each(LIMB_LIMITS)('$what: within the limits of definitions 9', (limit) => {
    // the worst of 300 rows of six noisy swings is chance: with noise all positions of a quantity together
    const { name, rms } = limit.read(which === 'noisy' ? byQuantity(measured) : measured);
    expect(name).not.toBe('');
    expect(rms, name).toBeLessThan(limit[which]);
  });
});

function withLimbs(seed: number, conditions: Conditions, options: Conditions['options'] = {}): TruthCase {
  return truthCase(seed, { ...conditions, options: { limbs: true, ...options } });
}

it('a left-hander is a right-hander in the mirror', () => {
  const [right, left] = (['right', 'left'] as const).map((hand) => {
    const one = withLimbs(3, CLEAN, { hand });
    return analyseTrial(one.trial, one.plan, createWorkspace()).cells;
  });
  let compared = 0;
  right!.forEach((cell, i) => {
    if (cell.value === null) return;
    compared += 1;
    expect(Math.abs(left![i]!.value! - cell.value), `${cell.quantity}@${cell.position}`).toBeLessThan(1e-9);
  });
  expect(compared).toBeGreaterThan(300);
});

/** Without some landmarks; the static trial has them all. */
function lacking({ trial, plan, ...rest }: TruthCase, pattern: RegExp): TruthCase {
  const points = new Map([...trial.points].filter(([id]) => !pattern.test(id)));
  return { ...rest, plan, trial: { ...trial, points } };
}

describe('landmarks of the static trial that the swing lacks', () => {
  const HIDDEN = ['lead_EM', 'trail_EM', 'lead_US', 'lead_FM', 'trail_MM'] as const;
  const PATTERN = /_(EM|FM|MM)$|^lead_US$/;

  // 0.01 mm and 2 mm: the task's own limits, for clusters 80 mm wide and more
  it.each([
    ['without noise', CLEAN, 1e-5],
    ['with 1 mm of noise on every marker of both trials', NOISY, 2e-3],
  ] as const)('are rebuilt, %s', (_name, conditions, limit) => {
    const truth = withLimbs(2, { ...conditions, noise_mm: 0 });
    const one = lacking(withLimbs(2, conditions), PATTERN);
    const ws = createWorkspace();
    const measured = measureMarkers(one.trial, ws).trial;
    const { trial } = rebuildLandmarks(measured, one.plan.calibration!.clusters, one.plan.gaps, ws).value;
    for (const id of HIDDEN) {
      const a = trial.points.get(id)!;
      const b = truth.trial.points.get(id)!;
      const sum = a.data.reduce((total, value, i) => total + (value - b.data[i]!) * (value - b.data[i]!), 0);
      expect(Math.sqrt(sum / trial.clock.frames), id).toBeLessThan(limit);
    }
  });

  it('give every angle as before, flagged, with the fit of the cluster and rows in the quality table', () => {
    const whole = withLimbs(2, CLEAN);
    const one = lacking(whole, PATTERN);
    const before = analyseTrial(whole.trial, whole.plan, createWorkspace());
    const record = analyseTrial(one.trial, one.plan, createWorkspace());
    record.cells.forEach((cell, i) => {
      const was = before.cells[i]!;
      expect(cell.value === null, cell.quantity).toBe(was.value === null);
      // 0.01 mm over 56 mm is 0.01°
      if (was.value !== null)
        expect(Math.abs(cell.value! - was.value), `${cell.quantity}@${cell.position}`).toBeLessThan(2e-4);
      if (cell.quantity === 'lead_knee.flexion') expect(cell.flags).toContain('rebuilt');
      if (cell.quantity === 'pelvis.turn') expect(cell.flags).not.toContain('rebuilt');
    });
    expect(record.quality.filter(({ flags }) => flags.includes('rebuilt'))).toHaveLength(7);
    const told = record.diagnostics.filter(({ code }) => code === 'landmark-rebuilt').map(({ message }) => message);
    expect(told).toHaveLength(7);
    expect(told[0]).toMatch(/fits its shape within 0\.0 mm \(RMS\), 0\.0 mm at most/);
  });

  it('a gap that is rebuilt is no gap that is left', () => {
    const gaps = [
      { label: 'L_FM', from_s: -0.4, to_s: -0.1 },
      { label: 'R_FM', from_s: -0.4, to_s: -0.1 },
    ];
    const one = withLimbs(2, CLEAN, { damage: { gaps } });
    const clusters = one.plan.calibration!.clusters;
    const flagsOf = (kept: typeof clusters, rigid_s: number | null = null) => {
      const gaps = { ...one.plan.gaps, rigid_s };
      const plan = { ...one.plan, gaps, calibration: { ...one.plan.calibration!, clusters: kept } };
      const { value, diagnostics } = motionFromMarkers(one.trial, plan, createWorkspace());
      const row = value.quality.find(({ marker }) => marker === 'L_FM')!;
      return [
        row.flags,
        diagnostics.some(({ code }) => code === 'gap-left'),
        diagnostics.some(({ code }) => code === 'landmark-rebuilt'),
      ];
    };
    expect(flagsOf(clusters)).toEqual([['rebuilt'], false, true]);
    expect(flagsOf([])).toEqual([['rebuilt'], false, true]); // by the shape of the trial's own frames
    for (const kept of [clusters, []]) expect(flagsOf(kept, 0.2)).toEqual([['gap-left'], true, false]);
    const knee = motionFromMarkers(one.trial, one.plan, createWorkspace()).value.points.get('lead_knee')!;
    expect(knee.ok && knee.value.state.includes(REBUILT)).toBe(true);
  });
});

describe('limbs without landmarks', () => {
  it('pelvis and thorax alone: one note, no warning of limbs, each angle says what it needs', () => {
    const all = withLimbs(2, CLEAN);
    const keep = /^((lead|trail)_[AP]SIS|IJ|PX|C7|T8|CLUB.*|BALL)$/;
    const points = new Map([...all.trial.points].filter(([id]) => keep.test(id)));
    const plan = { ...all.plan, calibration: null };
    const { value, diagnostics } = motionFromMarkers({ ...all.trial, points }, plan, createWorkspace());
    const notes = diagnostics.filter(({ code }) => code === 'limb-missing');
    expect(notes.map(({ severity }) => severity)).toEqual(['info']);
    for (const segment of LIMB_SEGMENTS) {
      expect(notes[0]!.message).toContain(segment.replaceAll('_', ' '));
      expect(value.poses.get(segment)!.ok).toBe(false);
    }
    expect(notes[0]!.message).toMatch(/lead thigh \((left|right) FL, (left|right) FM\)/);
  });

  it('without the medial epicondyle and any cluster the upper arm is made by the plane of the elbow, which is said', () => {
    const one = lacking(withLimbs(2, CLEAN), /_EM$/);
    const plan = { ...one.plan, calibration: { ...one.plan.calibration!, clusters: [] } };
    const { value, diagnostics } = motionFromMarkers(one.trial, plan, createWorkspace());
    expect(value.poses.get('lead_upper_arm')!.ok).toBe(true);
    expect(
      diagnostics.some(({ code, message }) => code === 'substitution' && /lead upper arm.*second option/.test(message)),
    ).toBe(true);
  });
});

it('any joint or limb segment can be asked for in any order; an order alone still means the trunk', () => {
  expect(parseOrders('ZXY').map(({ segment }) => segment)).toEqual(['pelvis', 'thorax', 'head', 'trunk', 'neck']);
  expect(() => parseOrders('lead_nee:ZXY')).toThrow(/did you mean lead_knee/);
  const one = withLimbs(2, CLEAN);
  const plan = { ...one.plan, orders: parseOrders('lead_knee:ZXY,trail_hand:YXZ') };
  const { cells } = analyseTrial(one.trial, plan, createWorkspace());
  const at = (id: string) => cells.find(({ quantity, position }) => quantity === id && position === 'P4')!.value!;
  // raw angles: knee flexion is minus the first, the lead side's rotation minus the third
  expect(at('lead_knee.first')).toBeCloseTo(-at('lead_knee.flexion'), 12);
  expect(at('lead_knee.third')).toBeCloseTo(-at('lead_knee.rotation'), 12);
  expect(at('trail_hand.second')).toBeTypeOf('number');
});
