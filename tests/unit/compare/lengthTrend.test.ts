import { describe, expect, test } from 'vitest';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import type { ComparisonRow, LengthTrend, PlayerComparison } from '../../../src/model/comparison.ts';
import { type ClubKind, DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { lineAt } from '../../../src/numeric/lineFit.ts';
import { createRandom, type Random } from '../../../src/numeric/random.ts';
import { clubPlan } from '../../support/plans.ts';
import { swingRecord } from '../../support/swingRecords.ts';

/** Lengths in metres of common sets (handbook values, from memory); only their spread matters here. */
const SET: Readonly<Record<string, { kind: ClubKind; length_m: number }>> = {
  driver: { kind: 'driver', length_m: 1.143 },
  wood3: { kind: 'wood', length_m: 1.08 },
  hybrid4: { kind: 'hybrid', length_m: 1.0 },
  iron5: { kind: 'iron', length_m: 0.965 },
  iron6: { kind: 'iron', length_m: 0.953 },
  iron7: { kind: 'iron', length_m: 0.94 },
  putter: { kind: 'putter', length_m: 0.86 },
};
const CLUBS = Object.entries(SET).map(([id, club]) => clubPlan({ id, ...club }));
const PLAN = { player: { id: 'wren', hand: null }, clubs: CLUBS, options: DEFAULT_COMPARE };
const KEY = 'pelvis.forward_bend@P4';

/** Swings by club; `value` gives the angle of the i-th swing of a club. */
function day(counts: Readonly<Record<string, number>>, value: (club: string, i: number) => number): SwingRecord[] {
  return Object.entries(counts).flatMap(([club, n], c) =>
    Array.from({ length: n }, (_, i) =>
      swingRecord({
        trial: `${club}-${i}`,
        club,
        kind: SET[club]!.kind,
        order: 7 * i + c,
        values: { [KEY]: value(club, i) },
      }),
    ),
  );
}

const rowOf = (comparison: PlayerComparison): ComparisonRow =>
  comparison.rows.find((row) => row.basis === 'value' && `${row.quantity}@${row.position}` === KEY)!;
const trendOf = (records: readonly SwingRecord[], plan = PLAN): LengthTrend | null =>
  rowOf(compareRecords(records, plan)).trend;

const THREE_IRONS = { driver: 6, iron5: 2, iron6: 2, iron7: 3 };
const WHOLE_BAG = { ...THREE_IRONS, hybrid4: 2, wood3: 2 };

/** A player whose angle goes with length, 20° a metre, and whose driver departs from that by `extra`. */
function scattered(random: Random, sd: number, extra: number): (club: string) => number {
  return (club) => 10 + 20 * (SET[club]!.length_m - 0.94) + (club === 'driver' ? extra : 0) + sd * random.normal();
}

describe('a line carried beyond its points', () => {
  test('value, standard error and slope by hand', () => {
    // y = 1 3 2 5 over 0 1 1 2: mean 11/4 at 1, slope 4/2; residuals −¼ ¼ −¾ … squares about the line 0.75 at 4 − 2
    const line = lineAt([0, 1, 1, 2], [1, 3, 2, 5], 3);
    expect(line.slope).toBeCloseTo(2, 12);
    expect(line.value).toBeCloseTo(2.75 + 4, 12);
    expect(line.se).toBeCloseTo(Math.sqrt((0.75 / 2) * (1 / 4 + 4 / 2)), 12);
    expect([line.df, line.places]).toEqual([2, 3]);
    // about the line 0.75, of it within the two at 1: 0.5; F = 0.25 / 0.5 with 1 and 1 degrees: p = 1 − (2/π) atan √F
    expect(line.bentP).toBeCloseTo(1 - (2 / Math.PI) * Math.atan(Math.sqrt(0.5)), 10);
  });

  test('two values or one place give none', () => {
    expect(lineAt([1, 2], [1, 2], 3).se).toBeNaN();
    expect(lineAt([1, 1, 1, 1], [1, 2, 3, 4], 3).se).toBeNaN();
  });
});

describe('the gate of the trend', () => {
  const shares = (counts: Readonly<Record<string, number>>, sd: number): { judged: number; halfWidth: number } => {
    const random = createRandom(100 * sd + Object.keys(counts).length);
    let judged = 0;
    let halfWidth = 0;
    const days = 100;
    const options = { ...DEFAULT_COMPARE, resamples: 1 };
    for (let i = 0; i < days; i++) {
      const trend = trendOf(day(counts, scattered(random, sd, 0)), { ...PLAN, options })!;
      if (trend.verdict !== 'none') judged += 1;
      else if (trend.high95 - trend.low95 > 6) expect(trend.reason).toBe('too uncertain to judge');
      halfWidth += (trend.high95 - trend.low95) / 2 / days;
    }
    return { judged: judged / days, halfWidth };
  };

  test('three neighbouring irons are never enough', () => {
    for (const sd of [1, 2]) {
      const { judged, halfWidth } = shares(THREE_IRONS, sd);
      console.log(`trend from three irons, SD ${sd}°: half-width ${halfWidth.toFixed(1)}°, judged ${100 * judged} %`);
      expect(judged).toBe(0);
    }
  });

  test('irons with a hybrid and a fairway wood give a verdict at an SD of 1° and none at 2°', () => {
    const one = shares(WHOLE_BAG, 1);
    const two = shares(WHOLE_BAG, 2);
    console.log(
      `trend with hybrid and fairway wood: half-width ${one.halfWidth.toFixed(1)}° at SD 1° (judged ${(100 * one.judged).toFixed(0)} %), ${two.halfWidth.toFixed(1)}° at 2° (${(100 * two.judged).toFixed(0)} %)`,
    );
    // The SD is estimated with 9 degrees of freedom: the half-width lies on its side of 3° in 92 % of days, and the test of straightness takes
    // 5 % of the others: 88 % and 8 % are judged (20,000 simulated days). Three standard errors of 100 days.
    expect(one.judged).toBeGreaterThan(0.77);
    expect(two.judged).toBeLessThan(0.17);
  });
});

describe('the verdict against the trend', () => {
  /** The same scatter in every club, ± 0.5 about its mean. */
  const even = (extra: number, counts: Readonly<Record<string, number>> = WHOLE_BAG): SwingRecord[] =>
    day(
      counts,
      (club, i) => 10 + 20 * (SET[club]!.length_m - 0.94) + (club === 'driver' ? extra : 0) + (i % 2 ? 0.5 : -0.5),
    );

  test('a driver on the line matches it though it departs from the irons; one 8° beyond departs from both', () => {
    const on = rowOf(compareRecords(even(0), PLAN));
    expect(on.difference).toBeGreaterThan(3);
    expect(on.trend!.verdict).toBe('matches');
    expect(Math.abs(on.trend!.difference)).toBeLessThan(0.3);
    expect(Math.abs(on.trend!.slopePer10cm - 2)).toBeLessThan(0.2);
    expect(on.trend!.clubs).toEqual(['hybrid4', 'iron5', 'iron6', 'iron7', 'wood3']);
    const beyond = rowOf(compareRecords(even(8), PLAN));
    expect([beyond.verdict, beyond.trend!.verdict]).toEqual(['departs', 'departs']);
    expect(beyond.trend!.difference).toBeCloseTo(on.trend!.difference + 8, 9);
  });

  test('clubs that do not lie on a line are not judged, nor are two lengths', () => {
    const bent = day({ ...WHOLE_BAG, hybrid4: 6 }, (club, i) => (club === 'hybrid4' ? 14 : 10) + (i % 2 ? 0.3 : -0.3));
    expect(trendOf(bent)).toMatchObject({ verdict: 'none', reason: expect.stringMatching(/straight line|uncertain/) });
    const two = day({ driver: 6, iron7: 9, wood3: 9 }, (_club, i) => 10 + (i % 2 ? 0.3 : -0.3));
    expect(trendOf(two)).toMatchObject({
      verdict: 'none',
      reason: 'two lengths cannot show whether the trend is straight',
    });
  });

  test('putters and clubs of unknown length are left out; a driver of unknown length has no trend and a note', () => {
    const withPutter = [...even(8), ...day({ putter: 5 }, () => 60)];
    expect(trendOf(withPutter)).toEqual(trendOf(even(8)));
    const clubs = CLUBS.map((club) => (club.id === 'driver' ? { ...club, length_m: null } : club));
    const unknown = compareRecords(even(8), { ...PLAN, clubs });
    expect(rowOf(unknown).trend).toBeNull();
    expect(unknown.notes.join(' ')).toContain(
      'Club length: no trend, since the day file gives no length_m for driver.',
    );
    const woods = CLUBS.map((club) => (club.id === 'wood3' ? { ...club, length_m: null } : club));
    expect(trendOf(even(8), { ...PLAN, clubs: woods })!.clubs).not.toContain('wood3');
  });

  test('the order of the records makes no difference, and one club before and after has no trend', () => {
    const records = even(8);
    expect(trendOf([...records].reverse())).toEqual(trendOf(records));
    const half = records.map((record, i) => ({ ...record, head: { ...record.head, set: i % 2 ? 'after' : 'before' } }));
    const sets = compareRecords(half, {
      ...PLAN,
      group: { label: 'after', sets: ['after'] },
      reference: { label: 'before', sets: ['before'] },
    });
    expect(sets.rows.every(({ trend }) => trend === null)).toBe(true);
  });
});
