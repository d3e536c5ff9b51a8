import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { DEFAULT_GAPS } from '../../../src/model/dayPlan.ts';
import type { LandmarkId } from '../../../src/model/landmarks.ts';
import { FILLED_COMPONENTS, MEASURED, MISSING } from '../../../src/model/track.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { symmetricEigen } from '../../../src/numeric/symmetricEigen.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { fillComponents } from '../../../src/stages/fillComponents.ts';
import { fitComponents, predictInto } from '../../../src/stages/shared/components.ts';
import { type Point, snapshot, trialOf } from './support.ts';

const ws = createWorkspace({ poison: true });
const FRAMES = 400;
const IDS = ['lead_FL', 'lead_FM', 'lead_LM', 'lead_MM', 'lead_TOE', 'lead_HEEL', 'lead_ASIS'] as const;
const OPTIONS = { ...DEFAULT_GAPS, components_s: 0.3 };

/** Markers 0.1 m apart that three movements of a whole move, each in its own way, and noise. */
function moving(noise_m: number, seed = 3) {
  const random = createRandom(seed);
  const ways = IDS.map(() => Array.from({ length: 9 }, () => 0.08 * random.normal()));
  const samples = IDS.map((_id, k) =>
    Array.from({ length: FRAMES }, (_, f): Point => {
      const t = f / 240;
      const modes = [Math.sin(4 * t), Math.cos(7 * t), Math.sin(2.5 * t + 1)];
      return [0, 1, 2].map(
        (c) =>
          0.1 * k * (c === 1 ? 1 : 0.2) +
          0.5 * t +
          modes.reduce((sum, mode, m) => sum + mode * ways[k]![3 * c + m]!, 0) +
          noise_m * random.normal(),
      ) as unknown as Point;
    }),
  );
  const lacking = (hidden: (id: string, f: number) => boolean) =>
    trialOf(Object.fromEntries(IDS.map((id, k) => [id, (f: number) => (hidden(id, f) ? null : samples[k]![f]!)])), {
      frames: FRAMES,
    });
  return { samples, lacking };
}

/**
 * Gløersen & Federolf (2016) as published, with general matrices: components of the whole data V_M and of the data with the missing marker
 * set to zero V_N, reconstruction N V_N V_Nᵀ V_M V_Mᵀ; the missing marker with the weight `epsilon`. `gapless` frames as rows; columns of the marker last.
 */
function published(
  rows: readonly (readonly number[])[],
  gapless: readonly number[],
  weights: readonly number[],
  epsilon: number,
) {
  const columns = rows[0]!.length;
  const weight = (i: number): number => (i >= columns - 3 ? epsilon : weights[Math.floor(i / 3)]!);
  const means = rows[0]!.map((_, i) => gapless.reduce((sum, f) => sum + rows[f]![i]!, 0) / gapless.length);
  const scaled = (f: number): number[] => rows[f]!.map((value, i) => weight(i) * (value - means[i]!));
  const zeroed = (row: number[]): number[] => row.map((value, i) => (i >= columns - 3 ? 0 : value));
  const components = (data: number[][]) => {
    const m = new Matrix(data);
    const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(m.transpose().mmul(m), {
      assumeSymmetric: true,
    });
    const order = realEigenvalues.map((_, i) => i).sort((a, b) => realEigenvalues[b]! - realEigenvalues[a]!);
    return {
      roots: order.map((i) => Math.sqrt(Math.max(0, realEigenvalues[i]!))),
      vectors: eigenvectorMatrix.subMatrixColumn(order),
    };
  };
  const whole = components(gapless.map(scaled));
  const without = components(gapless.map((f) => zeroed(scaled(f))));
  const total = without.roots.reduce((sum, root) => sum + root, 0);
  let kept = 0;
  for (let sum = 0; sum < 0.99 * total; kept += 1) sum += without.roots[kept]!;
  const [m, n] = [whole, without].map(({ vectors }) => vectors.subMatrix(0, columns - 1, 0, kept - 1)) as [
    Matrix,
    Matrix,
  ];
  const through = n.mmul(n.transpose()).mmul(m).mmul(m.transpose());
  return (f: number): number[] => {
    const out = new Matrix([zeroed(scaled(f))]).mmul(through).getRow(0);
    return [3, 2, 1].map((back) => out[columns - back]! / epsilon + means[columns - back]!);
  };
}

describe('principal components of neighbours', () => {
  it('give what the published procedure gives with a vanishing weight of the missing marker', () => {
    const { samples, lacking } = moving(0.001);
    const trial = lacking((id, f) => id === 'lead_LM' && f >= 150 && f < 210);
    const model = fitComponents(trial, 'lead_LM', 150, 210, ws)!;
    const guess = new Float64Array(3 * FRAMES);
    predictInto(guess, model, trial);
    // the neighbours in the model's own order, each less their mean, weighted by exp(−d² / 2 · 0.2²)
    const own = IDS.indexOf('lead_LM');
    const gapless = Array.from({ length: FRAMES }, (_, f) => f).filter((f) => f < 150 || f >= 210);
    const distance = (k: number): number =>
      gapless.reduce((sum, f) => sum + Math.hypot(...samples[k]![f]!.map((v, c) => v - samples[own]![f]![c]!)), 0) /
      gapless.length;
    const near = IDS.map((_, k) => k)
      .filter((k) => k !== own)
      .sort((a, b) => distance(a) - distance(b));
    const rows = Array.from({ length: FRAMES }, (_, f) => {
      const mean = [0, 1, 2].map((c) => near.reduce((sum, k) => sum + samples[k]![f]![c]!, 0) / near.length);
      return [...near, own].flatMap((k) => samples[k]![f]!.map((v, c) => v - mean[c]!));
    });
    const weights = near.map((k) => Math.exp(-(distance(k) * distance(k)) / (2 * 0.2 * 0.2)));
    const slow = published(rows, gapless, weights, 1e-5);
    for (const f of [150, 170, 209]) {
      const mean = [0, 1, 2].map((c) => near.reduce((sum, k) => sum + samples[k]![f]![c]!, 0) / near.length);
      // the neglected terms are of the order of the weight squared; rounding over the weight leaves 1e-7 m
      slow(f).forEach((value, c) => {
        expect(Math.abs(guess[c * FRAMES + f]! - value - mean[c]!)).toBeLessThan(1e-6);
      });
    }
  });

  it('symmetric eigenvalues and vectors are those of a general library', () => {
    const random = createRandom(8);
    const n = 17;
    const m = Matrix.zeros(n, n);
    for (let i = 0; i < n; i++) for (let j = 0; j <= i; j++) m.set(i, j, random.normal()).set(j, i, m.get(i, j));
    const values = new Float64Array(n);
    const vectors = new Float64Array(n * n);
    symmetricEigen(Float64Array.from(m.to1DArray()), n, values, vectors);
    const expected = new EigenvalueDecomposition(m, { assumeSymmetric: true }).realEigenvalues.sort((a, b) => b - a);
    const v = Matrix.from1DArray(n, n, Array.from(vectors));
    const rest = m.mmul(v).sub(v.mmul(Matrix.diag(Array.from(values))));
    for (let i = 0; i < n; i++) expect(values[i]).toBeCloseTo(expected[i]!, 11);
    expect(rest.abs().max()).toBeLessThan(1e-12);
    expect(v.transpose().mmul(v).sub(Matrix.eye(n)).abs().max()).toBeLessThan(1e-13);
  });
});

describe('fillComponents', () => {
  const hidden = (id: string, f: number): boolean => id === 'lead_LM' && f >= 150 && f < 210;

  it('fills a gap of what moves together within 1 mm of 1 mm of noise and says so', () => {
    const { samples, lacking } = moving(0.001);
    const clean = moving(0);
    const trial = lacking(hidden);
    const unchanged = snapshot(trial);
    const { value, diagnostics } = fillComponents(trial, OPTIONS, ws);
    const track = value.points.get('lead_LM')!;
    let sum = 0;
    for (let f = 150; f < 210; f++) {
      expect(track.state[f]).toBe(FILLED_COMPONENTS);
      for (let c = 0; c < 3; c++) {
        const error = track.data[c * FRAMES + f]! - clean.samples[2]![f]![c]!;
        sum += error * error;
      }
    }
    expect(samples).not.toEqual(clean.samples);
    expect(Math.sqrt(sum / 180)).toBeLessThan(0.001);
    expect(track.state[149]).toBe(MEASURED);
    expect(track.filledSd_m![180]).toBeGreaterThan(0.0005);
    expect(track.filledSd_m![149]).toBe(0);
    expect(diagnostics.map(({ message }) => message)).toEqual([
      'L_LM: 60 of 400 frames by components of its neighbours',
    ]);
    expect(unchanged()).toBe(true);
  });

  it('fills nothing where it is off, over its limit, at an end, or with fewer than four neighbours', () => {
    const { lacking } = moving(0);
    const left = (which: (id: string, f: number) => boolean, components_s = 0.3): boolean => {
      const { value } = fillComponents(lacking(which), { ...DEFAULT_GAPS, components_s }, ws);
      return value.points.get('lead_LM' as LandmarkId)!.state.includes(MISSING);
    };
    expect(left(hidden)).toBe(false);
    expect(left(hidden, 0)).toBe(true);
    expect(left(hidden, 59 / 240)).toBe(true);
    expect(left((id, f) => id === 'lead_LM' && f >= 350)).toBe(true);
    const few = new Set(['lead_FL', 'lead_FM', 'lead_TOE']);
    expect(left((id, f) => hidden(id, f) || (few.has(id) && f === 180))).toBe(true);
  });
});
