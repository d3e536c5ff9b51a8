/** How a marker moves together with its neighbours: principal components of a trial. */

import { groupOf } from '../../model/landmarkGroups.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import { FILLED_COMPONENTS, MISSING, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { symmetricEigen } from '../../numeric/symmetricEigen.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** Neighbours that count; with the weight below a thirteenth would hardly add. */
const MOST_NEIGHBOURS = 12;
const FEWEST_NEIGHBOURS = 4;
/** A neighbour's weight falls with its mean distance d as exp(−d² / 2 · 0.2²), metres (the paper's scale, from memory). */
const WEIGHT_SCALE_m = 0.2;
/** Share of the sum of the singular values that the components kept make up (the paper's, from memory). */
const KEPT = 0.99;
/** Frames with everything seen, per coordinate of a neighbour. */
const FRAMES_PER_COORDINATE = 3;

export interface ComponentModel {
  readonly neighbours: readonly Track<3>[];
  /** Means of the neighbours' coordinates less their common mean, in the order x, y, z of each. */
  readonly means: Float64Array;
  /** Of the marker's coordinates less that common mean. */
  readonly own: Float64Array;
  /** 3 rows, one per coordinate of the marker: change with each of the neighbours' coordinates. */
  readonly slopes: Float64Array;
}

/**
 * Gløersen & Federolf (2016, PLoS ONE 11(3):e0152616), one marker at a time: coordinates less the mean of the neighbours in each frame, weighted
 * by distance, principal components over the frames in which everything is seen, those of 99 % of the singular values kept; the marker's
 * coordinates follow from the scores. The paper gives the missing marker a small weight in the components, here it has none: its
 * coordinates are regressed on the scores, which is the limit. Neighbours are the nearest twelve of the body that are seen in all of [from, to)
 * and in nearly all other frames. Null: fewer than four of them, or too few frames.
 */
export function fitComponents(
  trial: MarkerTrial,
  id: LandmarkId,
  from: number,
  to: number,
  ws: Workspace,
): ComponentModel | null {
  const { frames } = trial.clock;
  const target = trial.points.get(id)!;
  const near = neighboursOf(trial, id, from, to);
  if (near.length < FEWEST_NEIGHBOURS) return null;
  const neighbours = near.map(({ track }) => track);
  const n = 3 * near.length;
  const row = ws.float64(n + 3);
  const means = new Float64Array(n + 3);
  let count = 0;
  const used: number[] = [];
  for (let f = 0; f < frames; f++) {
    if (target.state[f] === MISSING || !centredRow(neighbours, target, f, row)) continue;
    used.push(f);
    for (let i = 0; i < n + 3; i++) means[i] = means[i]! + row[i]!;
    count += 1;
  }
  if (count < FRAMES_PER_COORDINATE * n) return null;
  for (let i = 0; i < n + 3; i++) means[i] = means[i]! / count;
  const moment = ws.float64(n * n).fill(0);
  const cross = ws.float64(3 * n).fill(0);
  const weight = (i: number): number => near[Math.floor(i / 3)]!.weight;
  for (const f of used) {
    centredRow(neighbours, target, f, row);
    for (let i = 0; i < n; i++) {
      const x = weight(i) * (row[i]! - means[i]!);
      for (let j = 0; j <= i; j++) moment[i * n + j] = moment[i * n + j]! + x * weight(j) * (row[j]! - means[j]!);
      for (let c = 0; c < 3; c++) cross[c * n + i] = cross[c * n + i]! + x * (row[n + c]! - means[n + c]!);
    }
  }
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) moment[j * n + i] = moment[i * n + j]!;
  const values = ws.float64(n);
  const vectors = ws.float64(n * n);
  symmetricEigen(moment, n, values, vectors);
  let total = 0;
  for (let k = 0; k < n; k++) total += Math.sqrt(Math.max(0, values[k]!));
  const slopes = new Float64Array(3 * n);
  for (let k = 0, sum = 0; k < n && sum < KEPT * total; k++) {
    sum += Math.sqrt(Math.max(0, values[k]!));
    for (let c = 0; c < 3; c++) {
      let along = 0;
      for (let i = 0; i < n; i++) along += vectors[i * n + k]! * cross[c * n + i]!;
      const slope = along / values[k]!;
      for (let i = 0; i < n; i++) slopes[c * n + i] = slopes[c * n + i]! + slope * vectors[i * n + k]! * weight(i);
    }
  }
  return { neighbours, means: means.slice(0, n), own: means.slice(n), slopes };
}

/** The marker by its model in every frame in which all neighbours are seen, NaN in the others; planar columns. */
export function predictInto(
  out: Float64Array,
  { neighbours, means, own, slopes }: ComponentModel,
  { clock: { frames } }: MarkerTrial,
): void {
  const n = means.length;
  for (let f = 0; f < frames; f++) {
    for (let c = 0; c < 3; c++) {
      let value = own[c]!;
      for (let a = 0; a < 3; a++) {
        let centre = 0;
        for (const { data } of neighbours) centre += data[a * frames + f]!;
        centre /= neighbours.length;
        if (a === c) value += centre;
        for (let k = 0; k < neighbours.length; k++) {
          const i = 3 * k + a;
          value += slopes[c * n + i]! * (neighbours[k]!.data[a * frames + f]! - centre - means[i]!);
        }
      }
      out[c * frames + f] = value;
    }
  }
}

/** Coordinates of neighbours and target less the neighbours' mean; false where a neighbour is missing. */
function centredRow(neighbours: readonly Track<3>[], target: Track<3>, f: number, row: Float64Array): boolean {
  const { frames } = target.clock;
  const n = 3 * neighbours.length;
  for (let c = 0; c < 3; c++) {
    let sum = 0;
    for (let k = 0; k < neighbours.length; k++) {
      const value = neighbours[k]!.data[c * frames + f]!;
      row[3 * k + c] = value;
      sum += value;
    }
    if (Number.isNaN(sum)) return false;
    const mean = sum / neighbours.length;
    for (let k = 0; k < neighbours.length; k++) row[3 * k + c] = row[3 * k + c]! - mean;
    row[n + c] = target.data[c * frames + f]! - mean;
  }
  return true;
}

/** The nearest markers that may predict, with weights. */
function neighboursOf(trial: MarkerTrial, id: LandmarkId, from: number, to: number) {
  const { frames } = trial.clock;
  const target = trial.points.get(id)!;
  const found: { readonly track: Track<3>; readonly weight: number }[] = [];
  for (const [other, track] of trial.points) {
    const group = groupOf(other);
    if (other === id || group === 'club' || group === 'ball') continue;
    if (track.state.includes(FILLED_COMPONENTS) || track.state.subarray(from, to).includes(MISSING)) continue;
    let missing = 0;
    let sum = 0;
    let n = 0;
    for (let f = 0; f < frames; f++) {
      if (track.state[f] === MISSING) missing += 1;
      let square = 0;
      for (let c = 0; c < 3; c++) {
        const d = track.data[c * frames + f]! - target.data[c * frames + f]!;
        square += d * d;
      }
      if (Number.isNaN(square)) continue;
      sum += Math.sqrt(square);
      n += 1;
    }
    if (missing > frames / 10 || n === 0) continue;
    const ratio = sum / n / WEIGHT_SCALE_m;
    found.push({ track, weight: Math.exp(-(ratio * ratio) / 2) });
  }
  return found.sort((a, b) => b.weight - a.weight).slice(0, MOST_NEIGHBOURS);
}
