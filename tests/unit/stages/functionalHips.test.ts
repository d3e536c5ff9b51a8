import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/numeric/random.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { calibrate } from '../../../src/stages/calibrate.ts';
import { functionalHips, withFunctionalHips } from '../../../src/stages/functionalHips.ts';
import { BODY, PLAYER, type Point, place, playerTrialOf, rotationOf, snapshot } from './support.ts';

const ws = createWorkspace({ poison: true });
const RAD = Math.PI / 180;

/** In the pelvis frame; by Harrington 2007, one variable, of this pelvis: (−45.9, −85.9, ±89.8) mm. */
const HIPS = { lead: [-0.05, -0.09, -0.085], trail: [-0.042, -0.08, 0.093] } as const;

interface Swings {
  /** Half ranges of the leg, degrees: forward and back, to the side. */
  readonly lead: readonly [number, number];
  readonly trail: readonly [number, number];
  readonly noise_m?: number;
  readonly frames?: number;
}

/** One leg after the other swings forward, to the side and in a circle while the pelvis sways with it; the knee turns about the leg too. */
function trialOfSwings({ lead, trail, noise_m = 0, frames = 1200 }: Swings) {
  const random = createRandom(17);
  const noisy = (at: (f: number) => Point) => (f: number) =>
    at(f).map((v) => v + noise_m * random.normal()) as unknown as Point;
  const pelvis = (f: number) => {
    const phase = (2 * Math.PI * f) / frames;
    return {
      R: rotationOf({
        turn: 20 + 6 * Math.sin(3 * phase),
        side: 5 * Math.sin(5 * phase),
        forward: 4 * Math.cos(2 * phase),
      }),
      at: [1 + 0.05 * Math.sin(phase), 1 + 0.01 * Math.cos(3 * phase), 2] as Point,
    };
  };
  const thigh = (f: number, side: 'lead' | 'trail') => {
    const first = side === 'lead' ? 0 : frames / 2;
    const n = frames / 2;
    const i = f - first;
    const moving = i >= 0 && i < n;
    const part = Math.floor((3 * i) / n);
    const phase = 2 * Math.PI * (((3 * i) / n) % 1);
    const [a, b] = side === 'lead' ? lead : trail;
    return rotationOf({
      turn: moving ? 8 * Math.sin(2 * phase) : 0,
      side: moving && part > 0 ? b * Math.sin(phase) : 0,
      forward: moving ? -a * (part === 0 ? Math.sin(phase) : part === 1 ? 0 : Math.cos(phase)) : 0,
    });
  };
  const knee = (side: 'lead' | 'trail', z: number) => (f: number) => {
    const { R, at } = pelvis(f);
    return place(R, place(thigh(f, side), [0.01, -0.41, z], HIPS[side]), at);
  };
  const points = {
    ...Object.fromEntries(
      Object.entries(BODY.pelvis).map(([id, local]) => [
        id,
        (f: number) => {
          const { R, at } = pelvis(f);
          return place(R, local!, at);
        },
      ]),
    ),
    lead_FL: knee('lead', -0.05),
    lead_FM: knee('lead', 0.05),
    trail_FL: knee('trail', 0.05),
    trail_FM: knee('trail', -0.05),
  };
  return playerTrialOf(
    Object.fromEntries(Object.entries(points).map(([id, at]) => [id, noisy(at as (f: number) => Point)])),
    { role: 'functional', frames, rate_Hz: 120 },
  );
}

function offBy(found: readonly number[], truth: readonly number[]): number {
  return Math.hypot(...truth.map((v, i) => found[i]! - v));
}

describe('functionalHips', () => {
  it('finds both centres to rounding without noise, from either leg’s own part of one trial, and leaves its input alone', () => {
    const trial = trialOfSwings({ lead: [30, 20], trail: [25, 18] });
    const unchanged = snapshot(trial);
    const { value, diagnostics } = functionalHips(trial, { pelvisSet: null }, ws);
    for (const side of ['lead', 'trail'] as const) {
      const hip = value[side];
      expect(hip.ok ? '' : hip.why.needed).toBe('');
      if (!hip.ok) continue;
      expect(offBy(hip.value.place, HIPS[side])).toBeLessThan(1e-12);
      expect(hip.value.residual_m).toBeLessThan(1e-12);
      expect(hip.value.radii_m[0]).toBeCloseTo(Math.hypot(0.01, 0.41, 0.05), 12);
      expect(hip.value.landmarks).toEqual([`${side}_FL`, `${side}_FM`]);
    }
    expect(diagnostics).toEqual([]);
    expect(unchanged()).toBe(true);
  });

  it('states the range of motion of each thigh in the pelvis', () => {
    const { value } = functionalHips(trialOfSwings({ lead: [30, 20], trail: [25, 18] }), { pelvisSet: null }, ws);
    const range = value.lead.ok ? value.lead.value.range_rad : [0, 0];
    // sinusoids of 30° and 20°, at rest in half of the frames: their middle 95 % is within 3° of their whole range
    expect(range[0] / RAD).toBeGreaterThan(57);
    expect(range[0] / RAD).toBeLessThan(61);
    expect(range[1] / RAD).toBeGreaterThan(37);
    expect(range[1] / RAD).toBeLessThan(41);
  });

  it('is within 4 mm with 1 mm of noise on every marker, the pelvis included, unfiltered', () => {
    const trial = trialOfSwings({ lead: [30, 20], trail: [30, 20], noise_m: 0.001 });
    const { value } = functionalHips(trial, { pelvisSet: null }, ws);
    for (const side of ['lead', 'trail'] as const) {
      const hip = value[side];
      if (!hip.ok) throw new Error(hip.why.needed);
      // thigh marker 1 mm, pelvis origin 0.7 mm, pelvis turned by 0.3° over the 130 mm to the hip: about 1.5 mm along the radius
      expect(hip.value.residual_m).toBeGreaterThan(0.001);
      expect(hip.value.residual_m).toBeLessThan(0.002);
      // about 1.5 mm of residual in 600 moving frames at a dilution of 23
      expect(offBy(hip.value.place, HIPS[side])).toBeLessThan(0.004);
      expect(hip.value.sd_m).toBeLessThan(0.002);
    }
  });

  it('refuses too little motion with its numbers, and a leg that stands still', () => {
    for (const noise_m of [0, 0.001]) {
      const trial = trialOfSwings({ lead: [12, 6], trail: [0, 0], noise_m });
      const { value, diagnostics } = functionalHips(trial, { pelvisSet: null }, ws);
      expect(value.lead.ok ? '' : value.lead.why.code).toBe('too-little-motion');
      const numbers =
        /^at least 40° by 20° of motion of the (left|right) thigh in the pelvis; it moves (\d+)° by (\d+)°$/;
      const lead = numbers.exec(value.lead.ok ? '' : value.lead.why.needed)!;
      expect(lead[1]).toBe('left');
      // 24° by 12° in all, less 5 % of the frames; seen from the regression's centre, 40 mm of some 410 away at most
      expect(Math.abs(Number(lead[2]) - 24)).toBeLessThanOrEqual(3);
      expect(Math.abs(Number(lead[3]) - 12)).toBeLessThanOrEqual(2);
      const trail = numbers.exec(value.trail.ok ? '' : value.trail.why.needed)!;
      expect(trail[1]).toBe('right');
      // it turns about itself by ±8°, which moves the epicondyle by ±7 mm, about 2°
      expect(Number(trail[2])).toBeLessThanOrEqual(3);
      expect(diagnostics.map((one) => one.code)).toEqual(['functional-hip-refused']);
    }
  });

  it('refuses a centre that no hip can have', () => {
    const trial = trialOfSwings({ lead: [30, 20], trail: [30, 20] });
    // ASIS markers 80 mm too high: the centre lies that much lower in the pelvis of the markers
    const points = new Map(trial.points);
    for (const id of ['lead_ASIS', 'trail_ASIS', 'lead_PSIS', 'trail_PSIS'] as const) {
      const track = points.get(id)!;
      const data = track.data.map((v, i) => (Math.floor(i / 1200) === 1 ? v + 0.08 : v));
      points.set(id, { ...track, data });
    }
    const { value } = functionalHips({ ...trial, points }, { pelvisSet: null }, ws);
    expect(value.lead.ok ? '' : value.lead.why.needed).toMatch(
      /^a left hip centre within 60 mm of the regression; it lies \d+ mm off$/,
    );
  });

  it('names what is missing', () => {
    const trial = trialOfSwings({ lead: [30, 20], trail: [30, 20] });
    const without = (ids: readonly string[]) => ({
      ...trial,
      points: new Map([...trial.points].filter(([id]) => !ids.includes(id))),
    });
    const knee = functionalHips(without(['lead_FL', 'lead_FM']), { pelvisSet: null }, ws).value;
    expect(knee.lead.ok ? '' : knee.lead.why.needed).toBe('left FL or left FM with the pelvis in at least 100 frames');
    expect(knee.trail.ok).toBe(true);
    const pelvis = functionalHips(without(['lead_ASIS']), { pelvisSet: null }, ws).value;
    expect(pelvis.lead.ok ? '' : pelvis.lead.why.needed).toContain('left ASIS');
  });

  it('replaces the regression of a calibration where both sides have a centre, never half of it', () => {
    const trial = trialOfSwings({ lead: [30, 20], trail: [30, 20] });
    const calibration = calibrate({ ...trial, head: { ...trial.head, role: 'static' } }, PLAYER, ws).value;
    const found = functionalHips(trial, { pelvisSet: calibration.sets['pelvis'] ?? null }, ws).value;
    const both = withFunctionalHips(calibration, found);
    expect(both.hips.ok && both.hips.value.regression).toBe('sphere fit of the thigh');
    expect(both.hips.ok && offBy(both.hips.value.trail, HIPS.trail)).toBeLessThan(1e-12);
    expect(both.hips.ok && both.hips.value.width_m).toBe(calibration.hips.ok && calibration.hips.value.width_m);
    const half = {
      lead: found.lead,
      trail: { ok: false, why: { code: 'too-little-motion', needed: 'motion' } },
    } as const;
    expect(withFunctionalHips(calibration, half)).toBe(calibration);
  });
});
