import { describe, expect, test } from 'vitest';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import { firstDepartures } from '../../../src/compare/departures.ts';
import { chooseMethods } from '../../../src/compare/methods.ts';
import { type Resamples, resampleSwings } from '../../../src/compare/resampling.ts';
import { type Judgement, judge } from '../../../src/compare/rows.ts';
import { collectSamples } from '../../../src/compare/samples.ts';
import { DRIVER, IRONS, selectSwings } from '../../../src/compare/swings.ts';
import { summarise, testDifference, welch } from '../../../src/compare/twoSamples.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import { tQuantile } from '../../../src/numeric/distributions.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { twoGroups } from '../../support/swingRecords.ts';

const PRIMARY = new Set(['pelvis.forward_bend']);
const AT = ['P1', 'P2', 'P3', 'P4', 'P5', 'P6', 'P7'] as const;

/** Seven positions of one quantity, SD 2°, driver less irons by the given differences; every fifth value missing where `holes`. */
function judged(differences: readonly number[], seed: number, sd = 2, holes = false): Judgement[] {
  const random = createRandom(seed);
  const swing = (driver: boolean): Record<string, number | null> =>
    Object.fromEntries(
      AT.map((position, i) => {
        const value = 20 + sd * random.normal() + (driver ? differences[i]! : 0);
        return [`pelvis.forward_bend@${position}`, holes && random.uniform() < 0.15 ? null : value];
      }),
    );
  const records = twoGroups(
    Array.from({ length: 8 }, () => swing(true)),
    Array.from({ length: 9 }, () => swing(false)),
  );
  const group = selectSwings(records, 'wren', [], DRIVER);
  const reference = selectSwings(records, 'wren', [], IRONS);
  const choice = chooseMethods(group, reference);
  return judge(collectSamples(group, reference, choice), DEFAULT_COMPARE, choice);
}

const values = (entries: readonly Judgement[]): Judgement[] => entries.filter(({ sample }) => sample.basis === 'value');

/** Resample by resample with arrays of drawn values, everything from the definition; the row's cut held. */
function slowCounts(entries: readonly Judgement[], resamples: Resamples): Map<string, number> {
  const counts = new Map<string, number>();
  const { draws, n, nGroup, count } = resamples;
  for (let r = 0; r < count; r++) {
    const drawn = entries.map(({ sample }) => {
      const take = (from: number, to: number): Float64Array =>
        Float64Array.from(
          Array.from({ length: to - from }, (_, i) =>
            Array(draws[r * n + from + i]!).fill(sample.values[from + i]!),
          ).flat(),
        );
      return welch(summarise(take(0, nGroup)), summarise(take(nGroup, n)));
    });
    for (let i = 0; i + 1 < entries.length; i++) {
      const here = drawn[i]!;
      const next = drawn[i + 1]!;
      if (!(testDifference(here, entries[i]!.margin).pBeyond < entries[i]!.cuts.pBeyond)) continue;
      if (Math.sign(next.difference) !== Math.sign(here.difference)) continue;
      if (Math.abs(next.difference) <= tQuantile(0.975, next.df) * next.se) continue;
      const { position } = entries[i]!.sample;
      counts.set(position, (counts.get(position) ?? 0) + 1);
      break;
    }
  }
  return counts;
}

describe('first departure', () => {
  test('it is the earliest position that departs and is confirmed by the next', () => {
    const entries = values(judged([0, 0, 0, 9, 9, 9, 9], 1));
    const [first] = firstDepartures(entries, resampleSwings(8, 9, 1, 500), PRIMARY);
    expect(first).toMatchObject({ position: 'P4', quantity: 'pelvis.forward_bend', basis: 'value' });
    expect(first!.difference).toBe(entries[3]!.difference.difference);
  });

  test('a lone departure, one whose next is of the other sign, and one at the last position are not named', () => {
    const resamples = resampleSwings(8, 9, 1, 200);
    for (const differences of [
      [0, 0, 12, 0, 0, 0, 0],
      [0, 0, 12, -12, 0, 0, 0],
      [0, 0, 0, 0, 0, 0, 12],
    ]) {
      const entries = values(judged(differences, 6));
      expect(entries.some((entry) => entry.judged?.verdict === 'departs')).toBe(true);
      expect(firstDepartures(entries, resamples, PRIMARY)).toEqual([]);
    }
  });

  test('it equals a slow resampling however far the differences lie beyond the margin', () => {
    for (const [step, sd, holes] of [
      [2.05, 0.01, false],
      [4, 0.01, true],
      [30, 2, true],
      [2.6, 0.3, true],
      [8, 2, false],
    ] as const) {
      const entries = values(judged([0, step, step, step, -step, step, step], 9, sd, holes));
      const resamples = resampleSwings(8, 9, 5, 300);
      const slow = slowCounts(entries, resamples);
      const [first, ...others] = firstDepartures(entries, resamples, PRIMARY);
      expect(others).toEqual([]);
      expect(first!.certainty, `${step} with SD ${sd}`).toBe(slow.get(first!.position)! / 300);
    }
  });

  test('certainty and neighbours equal those of a slow resampling with the same draws, missing values included', () => {
    let neighbours = 0;
    for (const [seed, holes] of [
      [2, false],
      [3, true],
      [4, false],
    ] as const) {
      const entries = values(judged([0, 1, 3, 6, 7, 8, 8], seed, 2, holes));
      const resamples = resampleSwings(8, 9, 5, 400);
      const [first] = firstDepartures(entries, resamples, PRIMARY);
      const slow = slowCounts(entries, resamples);
      expect(first!.certainty).toBe((slow.get(first!.position) ?? 0) / 400);
      const others = [...slow].filter(([position, count]) => position !== first!.position && count / 400 > 0.2);
      expect(first!.neighbours.map(({ position, share }) => [position, share])).toEqual(
        others.map(([position, count]) => [position, count / 400]),
      );
      neighbours += others.length;
    }
    expect(neighbours).toBeGreaterThan(0);
  });

  test('the same seed draws the same swings, another one does not', () => {
    expect(resampleSwings(6, 7, 1, 50).draws).toEqual(resampleSwings(6, 7, 1, 50).draws);
    expect(resampleSwings(6, 7, 2, 50).draws).not.toEqual(resampleSwings(6, 7, 1, 50).draws);
  });

  test('primary quantities come first, then earlier positions', () => {
    const entries = values(judged([0, 0, 9, 9, 9, 9, 9], 1));
    const resamples = resampleSwings(8, 9, 1, 50);
    const other = entries.map((entry) => ({
      ...entry,
      sample: { ...entry.sample, quantity: { ...entry.sample.quantity, id: 'pelvis.side_bend' } },
    }));
    const order = firstDepartures([...other, ...entries], resamples, PRIMARY).map(({ quantity }) => quantity);
    expect(order).toEqual(['pelvis.forward_bend', 'pelvis.side_bend']);
  });
});

test('a truth of 0, 0, 1.5, 4, 6 and 6° from P1 to P5.5 is named P4 or P5, with how sure that is, in 19 of 20 days', () => {
  const at = { P1: 0, P2: 0, P3: 1.5, P4: 4, P5: 6, 'P5.5': 6 };
  const named = new Map<string, number>();
  const days = 40;
  for (let day = 0; day < days; day++) {
    const random = createRandom(1000 + day);
    const swing = (driver: boolean): Record<string, number> =>
      Object.fromEntries(
        Object.entries(at).map(([position, difference]) => [
          `pelvis.forward_bend@${position}`,
          20 + random.normal() + (driver ? difference : 0),
        ]),
      );
    const records = twoGroups(
      Array.from({ length: 8 }, () => swing(true)),
      Array.from({ length: 9 }, () => swing(false)),
    );
    const { firstDepartures: found } = compareRecords(records, {
      player: { id: 'wren', hand: null },
      clubs: [],
      options: DEFAULT_COMPARE,
    });
    const [first] = found.filter(({ basis }) => basis === 'value');
    named.set(first?.position ?? 'none', (named.get(first?.position ?? 'none') ?? 0) + 1);
    if (first === undefined) continue;
    expect(first.certainty).toBeGreaterThan(0);
    expect(first.certainty + first.neighbours.reduce((sum, { share }) => sum + share, 0)).toBeLessThanOrEqual(1);
  }
  console.log(`first departure of 0, 0, 1.5, 4, 6, 6° in ${days} days: ${JSON.stringify([...named])}`);
  expect((named.get('P4') ?? 0) + (named.get('P5') ?? 0)).toBeGreaterThanOrEqual(0.95 * days);
});
