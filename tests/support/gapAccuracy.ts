/** Known gaps put into synthetic swings, and how far what fills them is from the true motion. */

import type { LandmarkId } from '../../src/model/landmarks.ts';
import { FILLED_COMPONENTS, FILLED_CUBIC, MEASURED, MISSING, REBUILT, type Track } from '../../src/model/track.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { motionFromMarkers } from '../../src/pipeline/motionFromMarkers.ts';
import { fillComponents } from '../../src/stages/fillComponents.ts';
import { fillGaps } from '../../src/stages/fillGaps.ts';
import { measureMarkers } from '../../src/stages/measureMarkers.ts';
import { rebuildLandmarks } from '../../src/stages/rebuildLandmarks.ts';
import { smooth } from '../../src/stages/smooth.ts';
import { widenFilled } from '../../src/stages/widenFilled.ts';
import { angleError, cellsAtTimes } from './trueTimes.ts';
import { type Conditions, Errors, NOISY, type TruthCase, truthCase } from './truthCases.ts';

/** Frames at 240 Hz. */
export const GAP_LENGTHS = [5, 10, 20, 40, 60] as const;
/** Markers of the body that are hidden at once: of trunk, head and limbs, so that a segment may lose none, one or two. */
export const HIDEABLE: readonly LandmarkId[] = [
  'lead_ASIS', 'trail_ASIS', 'lead_PSIS', 'IJ', 'PX', 'C7', 'T8', 'lead_EAR', 'trail_ORBIT', 'lead_AC', 'lead_EL', 'trail_EL',
  'lead_RS', 'trail_US', 'lead_FL', 'trail_FL', 'lead_LM', 'trail_MM',
]; // biome-ignore format: one glance

export interface GapCase {
  readonly trial: MarkerTrial;
  readonly truth: MarkerTrial;
  readonly plan: TruthCase['plan'];
  readonly made: TruthCase['made'];
  /** Markers that are hidden, each over its own frames [from, to). */
  readonly hidden: ReadonlyMap<LandmarkId, { readonly from: number; readonly to: number }>;
}

/** The trial with samples of these markers taken out. */
export function withGaps(trial: MarkerTrial, hidden: GapCase['hidden']): MarkerTrial {
  const points = new Map(trial.points);
  for (const [id, { from, to }] of hidden) {
    const track = points.get(id)!;
    const data = track.data.slice();
    const state = track.state.slice();
    for (let f = from; f < to; f++) {
      for (let c = 0; c < 3; c++) data[c * trial.clock.frames + f] = Number.NaN;
      state[f] = MISSING;
    }
    points.set(id, { ...track, data, state });
  }
  return { ...trial, points };
}

/** A swing with `markers` gaps of `length` frames that overlap, anywhere from the takeaway to half a second after contact. */
export function gapCase(seed: number, length: number, markers: number, conditions: Conditions = NOISY): GapCase {
  const noisy = truthCase(seed, conditions);
  const truth = truthCase(seed, { ...conditions, noise_mm: 0 }).trial;
  const { rate_Hz, frames } = truth.clock;
  const random = createRandom(1000 * seed + 10 * length + markers);
  const first = Math.round(noisy.made.truth.time_s.P2 * rate_Hz) - 40;
  const last = Math.min(frames - 20, Math.round((noisy.made.contact_s + 0.5) * rate_Hz));
  const start = first + random.int(Math.max(1, last - first - length));
  const hidden = new Map<LandmarkId, { from: number; to: number }>();
  while (hidden.size < markers) {
    const from = Math.max(20, start + random.int(5) - 2);
    hidden.set(HIDEABLE[random.int(HIDEABLE.length)]!, { from, to: Math.min(frames - 20, from + length) });
  }
  return { trial: withGaps(noisy.trial, hidden), truth, plan: noisy.plan, made: noisy.made, hidden };
}

/** Errors per coordinate against the true motion, mm, of the samples that one method filled. */
export interface GapErrors {
  readonly asFilled: Errors;
  /** After the default filter, as angles use them. */
  readonly filtered: Errors;
  /** After the filter, over the stated standard deviation. */
  readonly overStated: Errors;
}

export type FillMethod = 'rigid' | 'spline' | 'components';
const METHOD_OF: Readonly<Record<number, FillMethod>> = {
  [REBUILT]: 'rigid',
  [FILLED_CUBIC]: 'spline',
  [FILLED_COMPONENTS]: 'components',
};

export interface GapTable {
  at(method: FillMethod, length: number): GapErrors;
  /** Samples left missing, by length. */
  readonly left: Map<number, number>;
  readonly hidden: Map<number, number>;
}

/** Fills `gapCase`s of these seeds, 1 to 6 markers at once, every length; `own` leaves the static trial out, `components` fills what is left by them. */
export function measureGaps(seeds: readonly number[], own = false, components = false): GapTable {
  const rows = new Map<string, GapErrors>();
  const at = (method: FillMethod, length: number): GapErrors => {
    const key = `${method} ${length}`;
    const row = rows.get(key) ?? { asFilled: new Errors(), filtered: new Errors(), overStated: new Errors() };
    rows.set(key, row);
    return row;
  };
  const left = new Map<number, number>();
  const hiddenCount = new Map<number, number>();
  const ws = createWorkspace();
  for (const seed of seeds) {
    for (const length of GAP_LENGTHS) {
      const { trial, truth, plan, hidden } = gapCase(seed, length, 1 + ((seed + length) % 6));
      ws.reset();
      const measured = measureMarkers(trial, ws).trial;
      const rebuilt = rebuildLandmarks(measured, own ? [] : plan.calibration!.clusters, plan.gaps, ws).value.trial;
      const splined = fillGaps(rebuilt, plan.gaps, ws).value;
      const filled = fillComponents(splined, { ...plan.gaps, components_s: components ? 0.5 : 0 }, ws).value;
      const smoothed = widenFilled(smooth(filled, plan.filter, ws).value.trial, filled, ws);
      for (const [id, { from, to }] of hidden) {
        const { state } = filled.points.get(id)!;
        for (let f = from; f < to; f++) {
          hiddenCount.set(length, (hiddenCount.get(length) ?? 0) + 1);
          if (state[f] === MISSING) left.set(length, (left.get(length) ?? 0) + 1);
          if (state[f] === MISSING || state[f] === MEASURED) continue;
          const row = at(METHOD_OF[state[f]!]!, length);
          const is = truth.points.get(id)!;
          addErrors(row.asFilled, filled.points.get(id)!, is, f);
          const track = smoothed.points.get(id)!;
          addErrors(row.filtered, track, is, f);
          addErrors(row.overStated, track, is, f, 1000 * track.noise * track.widening![f]!);
        }
      }
    }
  }
  return { at, left, hidden: hiddenCount };
}

function addErrors(into: Errors, a: Track<3>, b: Track<3>, f: number, over = 1): void {
  const { frames } = a.clock;
  for (let c = 0; c < 3; c++) into.add((1000 * (a.data[c * frames + f]! - b.data[c * frames + f]!)) / over);
}

export interface FlaggedAngles {
  /** Degrees. */
  readonly errors: Errors;
  /** Share of them that the stated 95 % ± holds. */
  readonly held: number;
}

/** Cells of a trial read at the true times. */
export function trueTimeCells(trial: MarkerTrial, plan: GapCase['plan'], { truth, contact_s }: GapCase['made']) {
  const ws = createWorkspace();
  return cellsAtTimes(motionFromMarkers(trial, plan, ws).value, (position) => truth.time_s[position], contact_s, ws);
}

/** Angles at positions that carry a flag of a fill, over `gapCase`s of these seeds and every length, against the truth at their time. */
export function flaggedAngles(seeds: readonly number[]): FlaggedAngles {
  const errors = new Errors();
  let held = 0;
  for (const seed of seeds) {
    for (const length of GAP_LENGTHS) {
      const { trial, plan, made } = gapCase(seed, length, 1 + ((seed + length) % 6));
      for (const { quantity, position, unit, value, plusMinus, flags } of trueTimeCells(trial, plan, made)) {
        const values: Readonly<Record<string, number>> | undefined =
          made.truth.values[position as keyof typeof made.truth.values];
        const is = values?.[quantity];
        if (is === undefined || unit !== 'deg' || value === null || plusMinus === null) continue;
        if (quantity === 'thorax.inclination_direction' || !(flags.includes('filled') || flags.includes('rebuilt')))
          continue;
        const error = angleError(value, is);
        errors.add(error);
        if (Math.abs(error) <= (plusMinus * 180) / Math.PI) held += 1;
      }
    }
  }
  return { errors, held: held / errors.count };
}
