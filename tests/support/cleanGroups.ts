import { outlyingLimit } from '../../src/compare/outliers.ts';
import { robustDistances } from '../../src/compare/robustDistance.ts';
import { createRandom, type Random } from '../../src/numeric/random.ts';

/** Groups of clean swings: how often the farthest of them passes the limit. */

export interface CleanCase {
  readonly name: string;
  readonly values: number;
  /** Values in blocks of this many share a part, so that they correlate by `correlation`. */
  readonly block: number;
  readonly correlation: number;
  /** Standard deviations in turn, in margins. */
  readonly spreads: readonly number[];
}

export const CLEAN_CASES: readonly CleanCase[] = [
  { name: 'independent', values: 12, block: 1, correlation: 0, spreads: [1] },
  { name: 'positions of a quantity together', values: 12, block: 4, correlation: 0.8, spreads: [1] },
  { name: 'everything together', values: 12, block: 12, correlation: 0.9, spreads: [1] },
  { name: 'unlike spreads', values: 12, block: 4, correlation: 0.5, spreads: [0.4, 1, 2.5] },
  { name: 'nine together', values: 9, block: 9, correlation: 0.9, spreads: [1] },
  { name: 'nine of unlike spreads', values: 9, block: 3, correlation: 0.5, spreads: [0.4, 1, 2.5] },
];

export function cleanGroup(of: CleanCase, swings: number, random: Random): Float64Array[] {
  const out = Array.from({ length: of.values }, () => new Float64Array(swings));
  for (let i = 0; i < swings; i++) {
    let shared = 0;
    for (let j = 0; j < of.values; j++) {
      if (j % of.block === 0) shared = random.normal();
      const own = Math.sqrt(of.correlation) * shared + Math.sqrt(1 - of.correlation) * random.normal();
      out[j]![i] = of.spreads[j % of.spreads.length]! * own;
    }
  }
  return out;
}

/** Share of clean groups in which any swing passes the limit. */
export function falseAlarms(of: CleanCase, swings: number, groups: number, seed: number): number {
  const random = createRandom(seed);
  const margins = new Array<number>(of.values).fill(1);
  let alarms = 0;
  for (let k = 0; k < groups; k++) {
    const distances = robustDistances(cleanGroup(of, swings, random), margins);
    if (Math.max(...distances) > outlyingLimit(swings)) alarms += 1;
  }
  return alarms / groups;
}
