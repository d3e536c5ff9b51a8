import { describe, expect, it } from 'vitest';
import { DEFAULT_FILTER, NO_FILTER } from '../../../src/model/dayPlan.ts';
import { groupOf } from '../../../src/model/landmarkGroups.ts';
import { factorSpline, smoothSpline, splineLambda } from '../../../src/numeric/smoothingSpline.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { smooth } from '../../../src/stages/smooth.ts';
import { noiseSource, type Point, snapshot, trialOf } from './support.ts';

const ws = createWorkspace({ poison: true });

/** A sine of the given frequency about 1 m. */
function sine(frequency_Hz: number): (f: number) => Point {
  return (f) => [1 + 0.1 * Math.sin((2 * Math.PI * frequency_Hz * f) / 240), 0, 0];
}

/** 3 Hz with a millimetre of noise. */
function noisy(seed: number): (f: number) => Point {
  const random = noiseSource(seed);
  const wave = sine(3);
  return (f) => [wave(f)[0] + 0.001 * random(), 0.001 * random(), 0.001 * random()];
}

/** Amplitude of the middle third of a column over 0.1. */
function amplitude(data: Float64Array, frames: number): number {
  let largest = 0;
  for (let f = Math.round(frames / 3); f < (2 * frames) / 3; f++) largest = Math.max(largest, Math.abs(data[f]! - 1));
  return largest / 0.1;
}

describe('smooth', () => {
  it('passes each segment group at 1/√2 at its own cutoff and leaves club and ball as measured', () => {
    const trial = trialOf(
      {
        C7: sine(12),
        lead_EAR: sine(12),
        lead_FL: sine(12),
        lead_EL: sine(15),
        lead_RS: sine(20),
        CLUB_HEAD_1: sine(20),
        BALL: sine(20),
      },
      { frames: 960 },
    );
    const { value } = smooth(trial, DEFAULT_FILTER, ws);
    for (const id of ['C7', 'lead_EAR', 'lead_FL', 'lead_EL', 'lead_RS'] as const) {
      // a sampled sine of 12–20 samples a period misses its crest by up to 1.4 %
      expect(amplitude(value.trial.points.get(id)!.data, 960)).toBeCloseTo(Math.SQRT1_2, 1.8);
    }
    for (const id of ['CLUB_HEAD_1', 'BALL'] as const) {
      expect(value.trial.points.get(id)!.data).toBe(trial.points.get(id)!.data);
    }
  });

  it('leaves every marker as measured where the filter is off', () => {
    const trial = trialOf({ C7: sine(12), lead_RS: sine(20) });
    const { value } = smooth(trial, NO_FILTER, ws);
    for (const [id, track] of trial.points) expect(value.trial.points.get(id)!.data).toBe(track.data);
  });

  it('filters runs between gaps by themselves: what lies beyond a gap has no influence', () => {
    const random = noiseSource(1);
    const left = Array.from({ length: 60 }, (): Point => [random(), random(), random()]);
    const beyond =
      (far: number) =>
      (f: number): Point | null =>
        f < 60 ? left[f]! : f < 62 ? null : [far, far, far];
    const near = smooth(trialOf({ C7: beyond(0) }, { frames: 120 }), DEFAULT_FILTER, ws).value.trial;
    const far = smooth(trialOf({ C7: beyond(1e6) }, { frames: 120 }), DEFAULT_FILTER, ws).value.trial;
    expect(far.points.get('C7')!.data.slice(0, 60)).toEqual(near.points.get('C7')!.data.slice(0, 60));
    expect(near.points.get('C7')!.data[60]).toBeNaN();
    expect(near.points.get('C7')!.data[100]).toBeCloseTo(0, 12);
  });

  it('leaves a run of fewer than ten samples as measured and says so', () => {
    const random = noiseSource(2);
    const trial = trialOf({ C7: (f) => (f === 9 ? null : [random(), 0, 0]) }, { frames: 100 });
    const { value, diagnostics } = smooth(trial, DEFAULT_FILTER, ws);
    const before = trial.points.get('C7')!.data;
    const afterwards = value.trial.points.get('C7')!.data;
    expect(afterwards.slice(0, 9)).toEqual(before.slice(0, 9));
    expect(afterwards[50]).not.toBe(before[50]);
    expect(value.partlyUnfiltered).toEqual(['C7']);
    expect(diagnostics.map((d) => d.code)).toEqual(['short-run-unfiltered']);
  });

  it('refuses a cutoff at half the rate or above with a diagnostic, once', () => {
    const trial = trialOf({ C7: sine(3), IJ: sine(3) }, { rate_Hz: 24 });
    const { value, diagnostics } = smooth(trial, { ...NO_FILTER, trunk_Hz: 12 }, ws);
    expect(value.trial.points.get('C7')!.data).toBe(trial.points.get('C7')!.data);
    expect(diagnostics.map((d) => d.code)).toEqual(['cutoff-too-high']);
  });

  it('states the noise that is left: white noise filtered has the standard deviation it names', () => {
    const random = noiseSource(5);
    const trial = trialOf({ C7: () => [random(), random(), random()] }, { frames: 4800 });
    const track = trial.points.get('C7')!;
    const known = { ...trial, points: new Map([['C7', { ...track, noise: 1 }] as const]) };
    const filtered = smooth(known, DEFAULT_FILTER, ws).value.trial.points.get('C7')!;
    const rms = Math.sqrt(filtered.data.reduce((sum, v) => sum + v * v, 0) / filtered.data.length);
    // 14400 values with about one in ten independent: 2 % of standard error
    expect(rms / filtered.noise).toBeGreaterThan(0.95);
    expect(rms / filtered.noise).toBeLessThan(1.05);
  });

  it('smooths with the quintic spline where cross-validation chose, with the filter where another rule did, and says both', () => {
    const trial = trialOf({ C7: noisy(3), IJ: noisy(4), lead_RS: noisy(5), CLUB_HEAD_1: noisy(6) }, { frames: 600 });
    const options = { ...NO_FILTER, trunk_Hz: 'cross-validation', forearm_Hz: 'residual' } as const;
    const { value } = smooth(trial, options, ws);
    const { cutoffs } = value;
    expect(cutoffs.chosen).toEqual({ trunk_Hz: 'cross-validation', forearm_Hz: 'residual' });
    const data = value.trial.points.get('C7')!.data;
    const y = trial.points.get('C7')!.data;
    const factor = factorSpline(600, splineLambda(cutoffs.trunk_Hz!, 240));
    const expected = y.slice();
    for (let c = 0; c < 3; c++) smoothSpline(expected, 600 * c, factor, new Float64Array(600), new Float64Array(600));
    expect(data).toEqual(expected);
    const set = smooth(trial, { ...NO_FILTER, forearm_Hz: cutoffs.forearm_Hz }, ws).value;
    const { lead_RS, CLUB_HEAD_1 } = Object.fromEntries(value.trial.points);
    expect(lead_RS!.data).toEqual(set.trial.points.get('lead_RS')!.data);
    expect(CLUB_HEAD_1!.data).toBe(trial.points.get('CLUB_HEAD_1')!.data);
  });

  it('runs no spline across a gap, leaves short runs and names the noise that the spline leaves', () => {
    const random = noiseSource(7);
    const hole = (f: number): boolean => (f >= 600 && f < 603) || f === 1200;
    const at =
      (far: number) =>
      (f: number): Point | null =>
        hole(f) || f > 1205 ? (f > 1205 && f < 1210 ? [far, far, far] : null) : [random(), random(), random()];
    const made = trialOf({ C7: at(5) }, { frames: 1220 });
    const known = { ...made, points: new Map([['C7', { ...made.points.get('C7')!, noise: 1 }] as const]) };
    const { value } = smooth(known, { ...NO_FILTER, trunk_Hz: 'cross-validation' }, ws);
    const { data, noise } = value.trial.points.get('C7')!;
    expect(value.partlyUnfiltered).toEqual(['C7']);
    expect([...data.slice(1206, 1210)]).toEqual([5, 5, 5, 5]);
    expect(data[601]).toBeNaN();
    const first = data.slice(0, 600);
    const rms = Math.sqrt(first.reduce((sum, v) => sum + v * v, 0) / first.length);
    // 600 values with about one in sixteen independent: 12 % of standard error
    expect(rms / noise).toBeGreaterThan(0.7);
    expect(rms / noise).toBeLessThan(1.3);
  });

  it('changes nothing it was given', () => {
    const trial = trialOf({ C7: sine(9), lead_RS: sine(9) });
    const unchanged = snapshot(trial);
    smooth(trial, DEFAULT_FILTER, ws);
    expect(unchanged()).toBe(true);
  });
});

it('every landmark belongs to a segment group', async () => {
  const { FILE_LANDMARKS, landmarkOfPlayer } = await import('../../../src/model/landmarks.ts');
  for (const name of FILE_LANDMARKS) expect(() => groupOf(landmarkOfPlayer(name, 'right'))).not.toThrow();
});
