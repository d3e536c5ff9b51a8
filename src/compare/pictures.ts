import { CATALOGUE } from '../model/catalogue.ts';
import type { CurveSummary, MeanFigures, PlayerComparison, SwingMarks } from '../model/comparison.ts';
import type { CompareOptions } from '../model/dayPlan.ts';
import { POSITIONS, type PositionId } from '../model/positions.ts';
import type { Quantity } from '../model/quantity.ts';
import { CURVE_STEPS, type SwingRecord } from '../model/swingRecord.ts';
import { toDisplay } from '../model/units.ts';
import { type Block, blockDifferences } from './blocks.ts';
import { CurveTester } from './curveDifferences.ts';
import { type MethodChoice, methodClass } from './methods.ts';
import type { Sample } from './samples.ts';
import type { SwingGroup } from './swings.ts';
import { summarise } from './twoSamples.ts';

/** What the report draws: curves, mean figures, single values and times of the two groups. */

interface NamedCurve {
  readonly trial: string;
  readonly values: Float64Array;
}

function curvesOf(side: SwingGroup, quantity: Quantity): NamedCurve[] {
  return side.records.flatMap((record) => {
    const curve = record.curves.find((entry) => entry.quantity === quantity.id && entry.order === quantity.order);
    if (curve === undefined) return [];
    return [{ trial: record.head.trial, values: curve.values.map((value) => toDisplay(value, quantity.unit)) }];
  });
}

/** Mean and SD by step; NaN where fewer than half of the curves (SD: or fewer than two) have the step, so that no mean jumps for want of swings. */
function meanCurve(curves: readonly NamedCurve[]): { mean: Float64Array; sd: Float64Array } {
  const mean = new Float64Array(CURVE_STEPS).fill(Number.NaN);
  const sd = new Float64Array(CURVE_STEPS).fill(Number.NaN);
  const column = new Float64Array(curves.length);
  for (let step = 0; step < CURVE_STEPS; step++) {
    for (let c = 0; c < curves.length; c++) column[c] = curves[c]!.values[step] ?? Number.NaN;
    const summary = summarise(column);
    if (summary.n === 0 || 2 * summary.n < curves.length) continue;
    mean[step] = summary.mean;
    sd[step] = summary.sd;
  }
  return { mean, sd };
}

/** One entry a quantity that both groups have curves of, in the order of the catalogue. */
export function curveSummaries(
  group: SwingGroup,
  reference: SwingGroup,
  options: Pick<CompareOptions, 'seed' | 'resamples'>,
  blocks: readonly Block[],
): CurveSummary[] {
  const tester = new CurveTester(options);
  const valuesOf = (curves: readonly NamedCurve[]): Float64Array[] => curves.map(({ values }) => values);
  const inBlocks = (side: SwingGroup, curves: readonly NamedCurve[]): (Float64Array | null)[] => {
    const byTrial = new Map(curves.map(({ trial, values }) => [trial, values]));
    return side.records.map(({ head }) => byTrial.get(head.trial) ?? null);
  };
  return CATALOGUE.filter((quantity) => quantity.curve).flatMap((quantity) => {
    const groupCurves = curvesOf(group, quantity);
    const referenceCurves = curvesOf(reference, quantity);
    if (groupCurves.length === 0 || referenceCurves.length === 0) return [];
    const spread = meanCurve(referenceCurves);
    return [
      {
        quantity: quantity.id,
        unit: quantity.unit,
        groupMean: meanCurve(groupCurves).mean,
        referenceMean: spread.mean,
        referenceSd: spread.sd,
        groupCurves,
        ...tester.compare(quantity.id, valuesOf(groupCurves), valuesOf(referenceCurves), () =>
          blockDifferences(blocks, {
            group: inBlocks(group, groupCurves),
            reference: inBlocks(reference, referenceCurves),
          }),
        ),
      },
    ];
  });
}

type Place = readonly [number, number, number];
type Points = Readonly<Record<string, Place>>;

/** The pelvis centre of a figure, or the midpoint of its hips. */
function pelvisOf(points: Points): Place | null {
  const centre = points['pelvis_centre'];
  if (centre !== undefined) return centre;
  const lead = points['lead_hip'];
  const trail = points['trail_hip'];
  if (lead === undefined || trail === undefined) return null;
  return [0.5 * (lead[0] + trail[0]), 0.5 * (lead[1] + trail[1]), 0.5 * (lead[2] + trail[2])];
}

function figureAt(record: SwingRecord, position: PositionId): Points | null {
  return record.figures.find((figure) => figure.position === position)?.points ?? null;
}

/** Mean of each point over the swings that have it, after moving every swing's pelvis centre at P1 to X = Z = 0. */
function meanFigure(side: SwingGroup, position: PositionId, choice: MethodChoice): Points {
  const sums = new Map<string, [x: number, y: number, z: number, n: number]>();
  for (const record of side.records) {
    if (methodClass(record, position) !== choice.methods[position]) continue;
    const start = figureAt(record, 'P1');
    const origin = start === null ? null : pelvisOf(start);
    const points = figureAt(record, position);
    if (origin === null || points === null) continue;
    for (const [name, [x, y, z]] of Object.entries(points)) {
      const sum = sums.get(name) ?? [0, 0, 0, 0];
      sums.set(name, [sum[0] + x - origin[0], sum[1] + y, sum[2] + z - origin[2], sum[3] + 1]);
    }
  }
  return Object.fromEntries([...sums].map(([name, [x, y, z, n]]): [string, Place] => [name, [x / n, y / n, z / n]]));
}

/** Mean figures at every position where both groups have one. */
export function meanFigures(group: SwingGroup, reference: SwingGroup, choice: MethodChoice): MeanFigures[] {
  return POSITIONS.flatMap((position) => {
    if ((position === 'P4' || position === 'P4(arm)') && position !== choice.top) return [];
    const ofGroup = meanFigure(group, position, choice);
    const ofReference = meanFigure(reference, position, choice);
    if (Object.keys(ofGroup).length === 0 || Object.keys(ofReference).length === 0) return [];
    return [{ position, group: ofGroup, reference: ofReference }];
  });
}

/** The noise of each quantity that has one value a swing. */
function swingNoise({ cells }: SwingRecord): ReadonlyMap<string, number | null> {
  const found = new Map<string, number | null>();
  for (const { quantity, position, plusMinus } of cells) {
    if (position === 'swing' && !found.has(quantity)) found.set(quantity, plusMinus);
  }
  return found;
}

/** Values of single swings of everything that has one value a swing (club, tempo, times) and may be compared. */
export function swingMarks(samples: readonly Sample[], group: SwingGroup, reference: SwingGroup): SwingMarks[] {
  const noises = new Map([...group.records, ...reference.records].map((record) => [record, swingNoise(record)]));
  return samples.flatMap((sample) => {
    if (sample.position !== 'swing' || sample.refused !== '') return [];
    const { id, unit } = sample.quantity;
    const marks = (side: SwingGroup, offset: number): SwingMarks['group'] =>
      side.records.flatMap((record, i) => {
        const value = sample.values[offset + i]!;
        if (Number.isNaN(value)) return [];
        const noise = noises.get(record)!.get(id) ?? null;
        return [{ trial: record.head.trial, value, plusMinus: noise === null ? null : toDisplay(noise, unit) }];
      });
    const ofGroup = marks(group, 0);
    const ofReference = marks(reference, sample.nGroup);
    return ofGroup.length + ofReference.length === 0
      ? []
      : [{ quantity: id, unit, group: ofGroup, reference: ofReference }];
  });
}

/** Mean time of each position after P7 (negative before it), over the swings where both were found by the chosen methods. */
export function meanTimes(group: SwingGroup, reference: SwingGroup, choice: MethodChoice): PlayerComparison['times'] {
  const mean = (side: SwingGroup, position: PositionId): number | null => {
    let sum = 0;
    let n = 0;
    for (const record of side.records) {
      const here = record.moments[position];
      const impact = record.moments['P7'];
      if (!here?.found || !impact?.found) continue;
      if (methodClass(record, position) !== choice.methods[position]) continue;
      if (methodClass(record, 'P7') !== choice.methods['P7']) continue;
      sum += here.time_s - impact.time_s;
      n += 1;
    }
    return n === 0 ? null : sum / n;
  };
  return POSITIONS.filter((position) => (position !== 'P4' && position !== 'P4(arm)') || position === choice.top).map(
    (position) => ({ position, group_s: mean(group, position), reference_s: mean(reference, position) }),
  );
}
