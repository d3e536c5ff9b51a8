import { describe, expect, it } from 'vitest';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import { compareSessions, type SessionDay } from '../../../src/compare/sessions.ts';
import { DRIVER, IRONS } from '../../../src/compare/swings.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { SessionComparison, SessionRow } from '../../../src/model/sessions.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { fromDisplay } from '../../../src/model/units.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { slowMean, slowSd, slowTSurvival } from '../../support/slowStatistics.ts';
import { fullDay } from '../../support/swingRecords.ts';

const PLAN = { player: { id: 'wren', hand: 'right' }, options: DEFAULT_COMPARE, reapplication: {} } as const;
const atTop = (size: number) => (quantity: string, position: string) =>
  quantity === 'pelvis.forward_bend' && position === 'P4' ? size : 0;

const BEFORE = fullDay(createRandom(1), 7, 9, 1, atTop(10));
const AFTER = fullDay(createRandom(2), 8, 6, 1, atTop(4));
const dayOf = (date: string, records: readonly SwingRecord[]): SessionDay => ({
  date,
  records,
  clubs: [],
  stills: [],
});
const compare = (before: readonly SwingRecord[], after: readonly SwingRecord[], changes = {}): SessionComparison =>
  compareSessions(dayOf('2026-05-16', before), dayOf('2026-09-12', after), { ...PLAN, ...changes });
const rowOf = ({ rows }: SessionComparison, quantity: string, position: string, basis = 'value'): SessionRow =>
  rows.find((row) => row.quantity === quantity && row.position === position && row.basis === basis)!;

/** Display values of the swings of a kind, read straight from the records. */
const valuesOf = (records: readonly SwingRecord[], kind: string, quantity: string, position: string): number[] =>
  records
    .filter(({ head }) => head.kind === kind)
    .map(
      ({ cells }) =>
        cells.find((cell) => cell.quantity === quantity && cell.position === position)!.value! * (180 / Math.PI),
    );

/** Every cell of one quantity moved by a constant, as markers put on elsewhere do. */
const moved = (records: readonly SwingRecord[], quantity: string, by_deg: number): SwingRecord[] =>
  records.map((record) => ({
    ...record,
    cells: record.cells.map((cell) =>
      cell.quantity === quantity && cell.value !== null
        ? { ...cell, value: cell.value + fromDisplay(by_deg, 'deg') }
        : cell,
    ),
  }));

describe('two days of one player', () => {
  const both = compare(BEFORE, AFTER);
  const top = rowOf(both, 'pelvis.forward_bend', 'P4');

  it('gaps of each day are those that the day gives by itself', () => {
    for (const [when, records] of [
      ['before', BEFORE],
      ['after', AFTER],
    ] as const) {
      const alone = compareRecords(records, {
        player: PLAN.player,
        clubs: [],
        options: { ...DEFAULT_COMPARE, resamples: 100 },
      });
      for (const row of alone.rows) {
        const gap = rowOf(both, row.quantity, row.position, row.basis)[when];
        expect([gap.gap.value, gap.gap.low95, gap.gap.high95, gap.verdict]).toEqual([
          row.difference,
          row.low95,
          row.high95,
          row.verdict,
        ]);
        expect([gap.group.n, gap.group.mean, gap.reference.sd]).toEqual([row.nGroup, row.meanGroup, row.sdReference]);
      }
    }
  });
  it('the change of the gap has the variances of four groups, written out', () => {
    const of = (records: readonly SwingRecord[], kind: string) => valuesOf(records, kind, 'pelvis.forward_bend', 'P4');
    const four = [of(AFTER, 'driver'), of(AFTER, 'iron'), of(BEFORE, 'driver'), of(BEFORE, 'iron')];
    const [a, b, c, d] = four.map(slowMean);
    const change = a! - b! - (c! - d!);
    const terms = four.map((x) => ({ v: slowSd(x) ** 2 / x.length, df: x.length - 1 }));
    const variance = terms.reduce((sum, { v }) => sum + v, 0);
    // Satterthwaite over the four groups is what the two days' own degrees of freedom come to
    const df = variance ** 2 / terms.reduce((sum, { v, df }) => sum + v ** 2 / df, 0);
    expect(top.gap.value).toBeCloseTo(change, 10);
    expect(top.gap.p).toBeCloseTo(2 * slowTSurvival(Math.abs(change) / Math.sqrt(variance), df), 6);
    expect(top.closed.value).toBeCloseTo(1 - (a! - b!) / (c! - d!), 10);
    expect([top.gap.verdict, top.before.verdict]).toEqual(['departs', 'departs']);
    expect(top.closed.low95!).toBeLessThan(0.6);
    expect(top.closed.high95!).toBeGreaterThan(0.6);
  });
  it('a share is given only where the first gap departs', () => {
    for (const row of both.rows)
      expect(row.closed.value === null, `${row.quantity}@${row.position}`).toBe(row.before.verdict !== 'departs');
  });
  it('markers put on again move both groups and leave every gap and its change as they are', () => {
    const again = compare(BEFORE, moved(AFTER, 'pelvis.forward_bend', 4));
    const row = rowOf(again, 'pelvis.forward_bend', 'P4');
    expect(row.gap.value).toBeCloseTo(top.gap.value!, 10);
    expect(row.gap.pBeyond).toBeCloseTo(top.gap.pBeyond!, 10);
    expect(row.closed.high95).toBeCloseTo(top.closed.high95!, 10);
    expect(row.group.value! - top.group.value!).toBeCloseTo(4, 10);
    expect(row.reference.value! - top.reference.value!).toBeCloseTo(4, 10);
    expect([row.reference.verdict, rowOf(again, 'pelvis.forward_bend', 'P7').group.verdict]).toEqual([
      'matches',
      'matches',
    ]);
  });
  it('the margin of a group’s own change grows by 3°, forward bend of the pelvis 5°, the club and lengths by nothing, or by what is set', () => {
    const margins = (comparison: SessionComparison, quantity: string, position: string) => {
      const { group, reference, gap } = rowOf(comparison, quantity, position);
      return [group.margin, group.reapplication, reference.margin, gap.margin, gap.reapplication];
    };
    // definitions 8: margins of 2° and 10 mm, re-application 3° and 5°
    expect(margins(both, 'thorax.side_bend', 'P4')).toEqual([5, 3, 5, 2, 0]);
    expect(margins(both, 'pelvis.forward_bend', 'P4')).toEqual([7, 5, 7, 2, 0]);
    expect(margins(both, 'club.attack', 'swing')).toEqual([2, 0, 2, 2, 0]);
    expect(margins(both, 'pelvis.rise', 'P4')).toEqual([10, 0, 10, 10, 0]);
    const set = compare(BEFORE, AFTER, {
      reapplication: { 'thorax.side_bend': 1.5, 'pelvis.rise': 4, 'pelvis.forward_bend': 0 },
    });
    expect(margins(set, 'thorax.side_bend', 'P4')).toEqual([3.5, 1.5, 3.5, 2, 0]);
    expect(margins(set, 'pelvis.rise', 'P4')).toEqual([14, 4, 14, 10, 0]);
    expect(margins(set, 'pelvis.forward_bend', 'P4')).toEqual([2, 0, 2, 2, 0]);
    const speed = rowOf(both, 'club.head_speed', 'swing').group;
    expect([speed.margin, speed.reapplication]).toEqual([expect.closeTo(0.03 * 30, 0), 0]);
  });
  it('groups turned round flip the sign of every gap and no verdict; days turned round that of every change', () => {
    const turned = compare(BEFORE, AFTER, { group: IRONS, reference: DRIVER });
    const back = compare(AFTER, BEFORE);
    const near = (value: number | null) => (value === null ? null : expect.closeTo(value, 9));
    for (const row of both.rows) {
      const t = rowOf(turned, row.quantity, row.position, row.basis);
      expect(t.gap.value).toEqual(near(row.gap.value === null ? null : -row.gap.value));
      expect([t.gap.verdict, t.before.verdict, t.after.verdict]).toEqual([
        row.gap.verdict,
        row.before.verdict,
        row.after.verdict,
      ]);
      expect([t.group.value, t.group.verdict]).toEqual([row.reference.value, row.reference.verdict]);
      expect([t.closed.value, t.closed.low95, t.closed.high95]).toEqual(
        [row.closed.value, row.closed.low95, row.closed.high95].map(near),
      );
      const b = rowOf(back, row.quantity, row.position, row.basis);
      for (const side of ['group', 'reference'] as const) {
        expect(b[side].value).toEqual(near(row[side].value === null ? null : -row[side].value));
        expect(b[side].verdict).toBe(row[side].verdict);
      }
    }
  });
  it('missing values and few swings cost the verdict and are told', () => {
    const holes = AFTER.map((record, i) =>
      i < 4
        ? {
            ...record,
            cells: record.cells.map((cell) =>
              cell.quantity === 'thorax.side_bend'
                ? { ...cell, value: null, why: { code: 'missing', needed: 'C7' } as const }
                : cell,
            ),
          }
        : record,
    ) as SwingRecord[];
    const row = rowOf(compare(BEFORE, holes), 'thorax.side_bend', 'P4');
    expect(row.after.group.n).toBe(4);
    expect([row.group.verdict, row.gap.verdict, row.closed.value]).toEqual(['none', 'none', null]);
    expect(row.reference.verdict).not.toBe('none');
    expect(row.reason).toContain('fewer than 5 swings: 4 swings of the group after');
    expect(row.reason).toContain('4 of 15 driver left out: needs C7');
  });
  it('is refused where a side has no swing on a day, hands or zeros differ, and says so', () => {
    const drivers = AFTER.filter(({ head }) => head.kind === 'driver');
    expect(compare(BEFORE, drivers)).toMatchObject({ reason: 'no swing of the irons on 2026-09-12', rows: [] });
    const left = AFTER.map((record) => ({
      ...record,
      head: {
        ...record.head,
        facts: { ...record.head.facts, hand: { ...record.head.facts.hand, value: 'left' as const } },
      },
    }));
    expect(compare(BEFORE, left).reason).toContain('two players under one id');
    const other = AFTER.map((record) => ({ ...record, datum: { kind: 'anatomical' as const, id: 'other hips' } }));
    expect(compare(BEFORE, other).reason).toContain('the two days rest on other landmarks or joint centres');
    const sensors = AFTER.map((record) => ({ ...record, head: { ...record.head, source: 'sensors' as const } }));
    expect(compare(BEFORE, sensors).reason).toContain('no swing of the driver on 2026-09-12');
  });
  it('a position is found by one method on both days; a left-hander is compared as a right-hander', () => {
    const event = AFTER.map((record) => ({
      ...record,
      moments: { ...record.moments, P7: { ...record.moments.P7!, method: 'event' as const } },
    })) as SwingRecord[];
    const row = rowOf(compare(BEFORE, event), 'pelvis.forward_bend', 'P7');
    expect(Math.min(row.before.group.n, row.after.group.n)).toBe(0);
    expect(row.reason).toMatch(/P7 found by/);
    const left = (records: readonly SwingRecord[]) =>
      records.map((record) => ({
        ...record,
        head: {
          ...record.head,
          facts: { ...record.head.facts, hand: { ...record.head.facts.hand, value: 'left' as const } },
        },
      }));
    expect(compare(left(BEFORE), left(AFTER)).rows).toEqual(both.rows);
  });
});
