import { compareRecords } from '../src/compare/compareRecords.ts';
import { DEFAULT_COMPARE } from '../src/model/dayPlan.ts';
import { createRandom } from '../src/numeric/random.ts';
import { median } from '../src/numeric/statistics.ts';
import { clubPlan } from '../tests/support/plans.ts';
import { fullDay } from '../tests/support/swingRecords.ts';

/** One player's comparison, all quantities and positions, some departing, median of the runs. */
export async function benchCompare(): Promise<readonly { readonly name: string; readonly median_ms: number }[]> {
  const plan = { player: { id: 'wren', hand: 'right' as const }, clubs: [clubPlan()], options: DEFAULT_COMPARE };
  return [
    [8, 8],
    [10, 10],
    [20, 20],
  ].map(([nDriver, nIrons]) => {
    const shift = (quantity: string): number => (quantity.includes('bend') ? 8 : 0);
    const records = fullDay(createRandom(1), nDriver!, nIrons!, 2, shift);
    const times: number[] = [];
    for (let run = 0; run < 7; run++) {
      const start = performance.now();
      compareRecords(records, plan);
      times.push(performance.now() - start);
    }
    return { name: `compare ${nDriver} + ${nIrons} swings`, median_ms: median(times) };
  });
}
