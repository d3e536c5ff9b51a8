// Attack angle and path at three rates, and wherever between two frames contact lies (limits of definitions 9).
import { describe, expect, it } from 'vitest';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { seedsTo } from '../support/accuracy.ts';
import { CLEAN, type Conditions, NOISY, truthCase } from '../support/truthCases.ts';

const DEGREES = 180 / Math.PI;

/** Errors of attack, path (degrees) and P7 (milliseconds) of one swing; NaN where a figure was not found, which no limit passes. */
function errors(seed: number, conditions: Conditions): { attack: number; path: number; p7: number; hand: string } {
  const { made, trial, plan, player } = truthCase(seed, conditions);
  const record = analyseTrial(trial, plan, createWorkspace());
  const of = (id: string): number => record.cells.find(({ quantity }) => quantity === id)?.value ?? Number.NaN;
  const { P7 } = record.moments;
  return {
    attack: (of('club.attack') - made.truth.swing['club.attack']!) * DEGREES,
    path: (of('club.path') - made.truth.swing['club.path']!) * DEGREES,
    p7: P7?.found === true ? (P7.time_s - made.contact_s) * 1000 : Number.NaN,
    hand: player.hand,
  };
}

const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

describe.each([240, 360, 500])('attack angle and path at %i Hz', (rate_Hz) => {
  // The limit with noise is that of 240 Hz below 500.
  it.each([
    ['without noise', { ...CLEAN, rate_Hz }, 0.1],
    ['with 1 mm of noise', { ...NOISY, rate_Hz }, rate_Hz === 500 ? 0.35 : 0.5],
  ] as const)('%s', (_name, conditions, limit) => {
    const all = seedsTo(40).map((seed) => errors(seed, conditions));
    expect(new Set(all.map(({ hand }) => hand)).size).toBe(2);
    expect(rms(all.map(({ attack }) => attack))).toBeLessThan(limit);
    expect(rms(all.map(({ path }) => path))).toBeLessThan(limit);
  });
});

describe('contact at ten places between two frames', () => {
  it.each([0, 1, 2, 3, 4, 5, 6, 7, 8, 9])('%i tenths after the frame', (tenths) => {
    const conditions = { ...CLEAN, options: { impactFraction: tenths / 10 } };
    const all = seedsTo(10).map((seed) => errors(seed, conditions));
    expect(rms(all.map(({ attack }) => attack))).toBeLessThan(0.1);
    expect(rms(all.map(({ path }) => path))).toBeLessThan(0.1);
    expect(rms(all.map(({ p7 }) => p7))).toBeLessThan(0.02);
  });
});
