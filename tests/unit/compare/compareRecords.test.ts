import { describe, expect, test } from 'vitest';
import { type ComparePlan, compareRecords } from '../../../src/compare/compareRecords.ts';
import { quantityById } from '../../../src/model/catalogue.ts';
import type { ComparisonRow, PlayerComparison } from '../../../src/model/comparison.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { topicOf } from '../../../src/model/topics.ts';
import { fromDisplay } from '../../../src/model/units.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { clubPlan } from '../../support/plans.ts';
import { slowMean, slowSd, slowTSurvival } from '../../support/slowStatistics.ts';
import { allMoments, cellOf, fullDay, momentOf, notFound, swingRecord, twoGroups } from '../../support/swingRecords.ts';

const CLUBS = [
  clubPlan(),
  clubPlan({ id: 'iron7', kind: 'iron', length_m: 0.94 }),
  clubPlan({ id: 'iron8', kind: 'iron', length_m: 0.925 }),
];
const PLAN: ComparePlan = { player: { id: 'wren', hand: 'right' }, clubs: CLUBS, options: DEFAULT_COMPARE };
const BEND = 'pelvis.forward_bend@P4';

function row(comparison: PlayerComparison, key: string, basis = 'value'): ComparisonRow {
  const found = comparison.rows.find((entry) => `${entry.quantity}@${entry.position}` === key && entry.basis === basis);
  if (found === undefined) throw new Error(`no row ${key}`);
  return found;
}

const of = (key: string, values: readonly (number | null)[]): Record<string, number | null>[] =>
  values.map((value) => ({ [key]: value }));

describe('one row', () => {
  const driver = [16, 17.5, 18, 15.2, 17, 16.4];
  const irons = [10, 11.5, 9.2, 12, 10.4, 11, 9.9];
  const comparison = compareRecords(twoGroups(of(BEND, driver), of(BEND, irons)), PLAN);
  const it = row(comparison, BEND);

  test('means, SDs and difference are in degrees, driver less irons, all irons as one group', () => {
    expect([it.nGroup, it.nReference]).toEqual([6, 7]);
    expect(it.meanGroup).toBeCloseTo(slowMean(driver), 12);
    expect(it.sdReference).toBeCloseTo(slowSd(irons), 12);
    expect(it.difference).toBeCloseTo(slowMean(driver) - slowMean(irons), 12);
    expect([it.unit, it.order, it.margin, it.marginRule]).toEqual(['deg', 'YXZ', 2, 'default']);
  });

  test('p, p_beyond and p_within follow Welch’s formulas written out', () => {
    const a = slowSd(driver) * slowSd(driver) * (1 / 6);
    const b = slowSd(irons) * slowSd(irons) * (1 / 7);
    const se = Math.sqrt(a + b);
    const df = ((a + b) * (a + b)) / ((a * a) / 5 + (b * b) / 6);
    const d = slowMean(driver) - slowMean(irons);
    expect(it.p).toBeCloseTo(2 * slowTSurvival(d / se, df), 8);
    expect(it.pBeyond).toBeCloseTo(slowTSurvival((d - 2) / se, df) + slowTSurvival((d + 2) / se, df), 8);
    expect(it.pWithin).toBeCloseTo(1 - slowTSurvival((d - 2) / se, df), 8);
    expect(it.verdict).toBe('departs');
  });

  test('the SD within iron length pools the two irons and gives the minimal detectable change', () => {
    const sevens = irons.filter((_, i) => i % 2 === 0);
    const eights = irons.filter((_, i) => i % 2 === 1);
    const squares = 3 * slowSd(sevens) * slowSd(sevens) + 2 * slowSd(eights) * slowSd(eights);
    expect(it.sdWithin).toBeCloseTo(Math.sqrt(squares / 5), 12);
    expect(it.mdc).toBeCloseTo(1.96 * Math.SQRT2 * Math.sqrt(squares / 5), 12);
    expect(it.outsideUsual).toBe(true);
  });

  test('the permutation p of six against seven that do not overlap is 1 of 1716: the six lowest leave a lesser difference', () => {
    expect(it.pPermutation).toBeCloseTo(1 / 1716, 12);
  });

  test('irons of one length are one length, whatever their ids', () => {
    const same = { ...PLAN, clubs: CLUBS.map((club) => ({ ...club, length_m: 0.94 })) };
    const one = row(compareRecords(twoGroups(of(BEND, driver), of(BEND, irons)), same), BEND);
    expect(one.sdWithin).toBeCloseTo(slowSd(irons), 12);
  });

  test('a margin from the day file replaces the default and is named', () => {
    const options = { ...DEFAULT_COMPARE, margins: { 'pelvis.forward_bend': 12 } };
    const wide = row(compareRecords(twoGroups(of(BEND, driver), of(BEND, irons)), { ...PLAN, options }), BEND);
    expect([wide.margin, wide.marginRule, wide.verdict]).toEqual([12, 'day file', 'matches']);
  });

  test('the margin of a speed is 3 % of the mean of the two means', () => {
    const speed = 'club.head_speed@swing';
    const rows = compareRecords(twoGroups(of(speed, [44, 45, 46, 45, 45]), of(speed, [35, 36, 34, 35, 35])), PLAN);
    expect(row(rows, speed).margin).toBeCloseTo(0.03 * 40, 12);
    expect(row(rows, speed).marginRule).toBe('3 % of the mean');
  });
});

describe('who is compared with whom', () => {
  const records = twoGroups(of(BEND, [16, 17, 18, 15, 17]), of(BEND, [10, 11, 9, 12, 10]));

  test('other players, wedges, statics and hybrids are passed over', () => {
    const extra = [
      swingRecord({ trial: 'x1', club: 'wedge', kind: 'wedge', order: 40, values: { [BEND]: 99 } }),
      swingRecord({ trial: 'x2', club: 'hybrid', kind: 'hybrid', order: 41, values: { [BEND]: 99 } }),
    ];
    const other = swingRecord({ trial: 'x3', club: 'driver', kind: 'driver', order: 42, values: { [BEND]: 99 } });
    const foreign = { ...other, head: { ...other.head, player: 'lark' } };
    const still = { ...other, head: { ...other.head, role: 'static' as const } };
    expect(compareRecords([...extra, foreign, still, ...records], PLAN)).toEqual(compareRecords(records, PLAN));
  });

  test('the order of the records makes no difference to any byte', () => {
    const day = fullDay(createRandom(3), 6, 7, 2, (quantity) => (quantity.includes('bend') ? 6 : 0));
    const text = (list: readonly SwingRecord[]): string => JSON.stringify(compareRecords(list, PLAN));
    const random = createRandom(9);
    const shuffled = [...day];
    random.shuffleInPlace(shuffled);
    expect(text(shuffled)).toBe(text(day));
  });

  test('the order of the cells in a record makes no difference to any byte, whichever cells single swings lack', () => {
    const random = createRandom(8);
    const lacking = fullDay(random, 6, 7, 2, () => 1).map((record, i) => ({
      ...record,
      cells: record.cells.filter((_, k) => (k + i) % 11 !== 0),
    }));
    const mixed = lacking.map((record) => {
      const cells = [...record.cells];
      random.shuffleInPlace(cells);
      return { ...record, cells };
    });
    const text = (records: readonly SwingRecord[]): string => JSON.stringify(compareRecords(records, PLAN));
    expect(text(mixed)).toBe(text(lacking));
  });

  test('swapped groups flip every difference and change no verdict', () => {
    const day = fullDay(createRandom(4), 6, 9, 2, (quantity) => (quantity.includes('bend') ? 6 : 0));
    const there = compareRecords(day, PLAN);
    const back = compareRecords(day, {
      ...PLAN,
      group: { label: 'irons', kinds: ['iron'] },
      reference: { label: 'driver', kinds: ['driver'] },
    });
    expect(back.rows).toHaveLength(there.rows.length);
    expect(there.counts.departs).toBeGreaterThan(20);
    there.rows.forEach((a, i) => {
      const b = back.rows[i]!;
      expect(b.verdict).toBe(a.verdict);
      expect(b.difference).toBeCloseTo(-a.difference!, 12);
      expect(b.low95).toBeCloseTo(-a.high95!, 12);
      expect(b.hedgesG).toBeCloseTo(-a.hedgesG!, 12);
      expect(b.pPermutation).toBeCloseTo(a.pPermutation!, 12);
    });
    expect(back.firstDepartures.map(({ quantity, position }) => `${quantity}@${position}`).sort()).toEqual(
      there.firstDepartures.map(({ quantity, position }) => `${quantity}@${position}`).sort(),
    );
  });

  test('no swing, one swing, four swings: a reason, values without a verdict, never a crash', () => {
    expect(compareRecords([], PLAN).reason).toBe('no swing of the driver');
    expect(compareRecords(records.slice(0, 5), PLAN)).toMatchObject({ reason: 'no swing of the irons', rows: [] });
    const one = compareRecords(records.slice(0, 6), PLAN);
    expect(one.reason).toBe('only 1 swing of the irons');
    expect(row(one, BEND)).toMatchObject({ nReference: 1, sdReference: null, verdict: 'none', p: null, low95: null });
    expect(row(one, BEND).difference).toBeCloseTo(6.6, 12);
    const four = compareRecords(records.slice(0, 9), PLAN);
    expect(four.reason).toBe('');
    expect(row(four, BEND)).toMatchObject({ verdict: 'none', family: null, pAdjusted: null });
    expect(row(four, BEND).p).not.toBeNull();
    expect(row(four, BEND).reason).toBe('fewer than 5 swings: 4 swings of the irons');
  });

  const ofDatum = (record: SwingRecord): SwingRecord => ({ ...record, datum: { kind: 'calibration', id: 'p1' } });

  test('groups without a datum in common are refused', () => {
    const zeroed = records.map((record) => (record.head.kind === 'driver' ? ofDatum(record) : record));
    expect(compareRecords(zeroed, PLAN).reason).toContain('2 datums');
  });

  test('one swing of another datum is left out and named; the others are compared as if it were not there', () => {
    const odd = records.map((record, i) => (i === 0 ? ofDatum(record) : record));
    const found = compareRecords(odd, PLAN);
    expect(found.reason).toBe('');
    expect(found.group.trials).not.toContain(records[0]!.head.trial);
    expect(found.notes[0]).toContain(`1 of 5 swings of the driver left out (${records[0]!.head.trial})`);
    expect(found.rows).toEqual(compareRecords(records.slice(1), PLAN).rows);
  });

  test('a head zeroed at P1 is compared by its changes alone: no row calls its zero a match', () => {
    const day = fullDay(createRandom(5), 6, 6, 2, () => 0).map((record) => ({
      ...record,
      cells: record.cells.map((cell) =>
        cell.quantity === 'head.turn'
          ? { ...cell, value: cell.position === 'P1' ? 0 : cell.value, flags: ['zeroed-at-P1'] }
          : cell,
      ),
    }));
    const rows = compareRecords(day, PLAN).rows.filter(({ quantity }) => quantity === 'head.turn');
    const values = rows.filter(({ basis }) => basis === 'value');
    expect(values.map(({ verdict, meanGroup }) => [verdict, meanGroup])).toEqual(values.map(() => ['none', null]));
    expect(values[0]!.reason).toContain('no static trial zeroes the head');
    const changes = rows.filter(({ basis }) => basis === 'change');
    expect(changes.length).toBeGreaterThan(5);
    for (const { verdict } of changes) expect(verdict).not.toBe('none');
  });

  test('directions of a lean on both sides of ±180° have a mean between them, and none while nearly upright', () => {
    const key = 'thorax.inclination_direction';
    const angles = (...p10: number[]) => p10.map((value) => ({ [`${key}@P1`]: 0, [`${key}@P10`]: value }));
    const day = twoGroups(angles(178, -178, 179, -179, 180), angles(-174, -176, 176, 174, 160));
    const upright = day.map((record) => ({
      ...record,
      cells: record.cells.map((cell) =>
        cell.value === fromDisplay(160, 'deg') ? { ...cell, flags: ['near-singular'] } : cell,
      ),
    }));
    const rows = compareRecords(upright, PLAN).rows.filter(({ position }) => position === 'P10');
    expect(rows.map(({ basis, nReference }) => [basis, nReference])).toEqual([
      ['value', 4],
      ['change', 4],
    ]);
    for (const { meanGroup, meanReference, sdGroup, difference, reason } of rows) {
      expect(Math.abs(meanGroup!)).toBeCloseTo(180, 9);
      expect(Math.abs(meanReference!)).toBeCloseTo(180, 9);
      expect(sdGroup).toBeCloseTo(Math.sqrt(10 / 4), 9);
      expect(difference).toBeCloseTo(0, 9);
      expect(reason).toContain('nearly upright');
    }
  });

  test('an assumed target, a fact held against the data and a missing static trial are said', () => {
    const said = (record: SwingRecord, i: number): SwingRecord => ({
      ...record,
      head: {
        ...record.head,
        facts: {
          ...record.head.facts,
          target: { value: '+X', source: 'assumed', evidence: 'the line of the feet at the start' },
          ...(i === 0
            ? { rate_Hz: { value: 120, source: 'insisted', evidence: 'the file says 240 Hz' } as const }
            : {}),
        },
      },
      diagnostics: [{ code: 'calibrated-on-itself', severity: 'info', message: '', offset: null }],
    });
    const notes = compareRecords(records.map(said), PLAN).notes.join(' ');
    expect(notes).toContain('The target line is assumed from the feet at address in all swings');
    expect(notes).toContain(`in 1 of ${records.length} swings: rate 120, while the file says 240 Hz.`);
    expect(notes).toContain('Joint centres were fixed from the swing itself in all swings');
    expect(compareRecords(records, PLAN).notes.join(' ')).not.toMatch(/assumed|insists|itself/);
  });

  test('a trial on both sides is refused', () => {
    expect(compareRecords(records, { ...PLAN, reference: { label: 'all' } }).reason).toContain('both sides');
  });

  test('club and order cannot be told apart when every driver swing follows every iron', () => {
    const block = records.map((record) => ({
      ...record,
      head: { ...record.head, order: record.head.kind === 'driver' ? record.head.order + 100 : record.head.order },
    }));
    expect(compareRecords(records, PLAN).orderConfounded).toBe(false);
    expect(compareRecords(block, PLAN).orderConfounded).toBe(true);
    expect(compareRecords(block, PLAN).notes.join(' ')).toContain('cannot be told apart');
  });

  test('resamples that are no count and margins below zero are refused', () => {
    const bad =
      (options: Partial<typeof DEFAULT_COMPARE>): (() => unknown) =>
      () =>
        compareRecords(records, { ...PLAN, options: { ...DEFAULT_COMPARE, ...options } });
    expect(bad({ resamples: 0 })).toThrow(RangeError);
    expect(bad({ margins: { 'pelvis.forward_bend': -1 } })).toThrow(RangeError);
  });
});

describe('what is left out', () => {
  const driver = [16, 17, 18, 15, 17, 16];
  const irons = [10, 11, 9, 12, 10, 11];

  test('missing values are left out, counted, and their need is named', () => {
    const comparison = compareRecords(twoGroups(of(BEND, [...driver, null]), of(BEND, irons)), PLAN);
    expect(row(comparison, BEND)).toMatchObject({ nGroup: 6, verdict: 'departs' });
    expect(row(comparison, BEND).reason).toBe('1 of 7 driver left out: needs the left and right PSIS');
  });

  test('all missing: a row without numbers that says why', () => {
    const none = of(BEND, Array(6).fill(null));
    expect(row(compareRecords(twoGroups(none, none), PLAN), BEND)).toMatchObject({
      nGroup: 0,
      nReference: 0,
      meanGroup: null,
      difference: null,
      margin: null,
      verdict: 'none',
      outsideUsual: false,
      pPermutation: null,
    });
  });

  test('a position is found by one method: impact by velocity step is left out where contact is shared by five of each', () => {
    const records = twoGroups(of('pelvis.turn@P7', driver), of('pelvis.turn@P7', irons), (trial) =>
      trial === 'wren-d02' ? { moments: { ...allMoments(), P7: momentOf('P7', { method: 'velocity-step' }) } } : {},
    );
    const it = row(compareRecords(records, PLAN), 'pelvis.turn@P7');
    expect(it.nGroup).toBe(5);
    expect(it.reason).toBe('1 of 6 driver left out: P7 found by velocity-step, not by ball-contact');
  });

  test('where only four of a side have the better method, the next shared one is used', () => {
    const records = twoGroups(of('pelvis.turn@P7', [...driver, 15, 14, 16]), of('pelvis.turn@P7', irons), (trial) => {
      const better = trial.startsWith('wren-d') && Number(trial.slice(6)) <= 4;
      return better ? {} : { moments: { ...allMoments(), P7: momentOf('P7', { method: 'velocity-step' }) } };
    });
    expect(row(compareRecords(records, PLAN), 'pelvis.turn@P7')).toMatchObject({ nGroup: 5, nReference: 6 });
  });

  test('a moving address is left out of P1 and of every change since P1', () => {
    const values = (list: readonly number[]): Record<string, number>[] =>
      list.map((value) => ({ 'pelvis.turn@P1': value, 'pelvis.turn@P4': 3 * value, 'pelvis.rise@P4': value }));
    const records = twoGroups(values(driver), values(irons), (trial) =>
      trial === 'wren-i03' ? { moments: { ...allMoments(), P1: momentOf('P1', { method: 'slowest' }) } } : {},
    );
    const comparison = compareRecords(records, PLAN);
    expect(row(comparison, 'pelvis.turn@P1').nReference).toBe(5);
    expect(row(comparison, 'pelvis.turn@P4', 'change').nReference).toBe(5);
    expect(row(comparison, 'pelvis.rise@P4').nReference).toBe(5);
    expect(row(comparison, 'pelvis.turn@P4').nReference).toBe(6);
  });

  test('a change is each swing’s own value less its own value at P1', () => {
    const values = (list: readonly number[]): Record<string, number>[] =>
      list.map((value, i) => ({ 'pelvis.turn@P1': 10 * i, 'pelvis.turn@P4': 10 * i + value }));
    const it = row(compareRecords(twoGroups(values(driver), values(irons)), PLAN), 'pelvis.turn@P4', 'change');
    expect(it.sdGroup).toBeCloseTo(slowSd(driver), 10);
    expect(it.family).toBe('change-screening');
  });

  test('the top of the lead arm is never compared with that of the shaft', () => {
    const values = (list: readonly number[]): Record<string, number>[] =>
      list.map((value) => ({
        'pelvis.turn@P4': value,
        'pelvis.turn@P4(arm)': value + 5,
        [`pelvis.forward_bend@P4(arm)`]: value,
      }));
    const armMoments = { ...allMoments(), P4: notFound('the shaft'), 'P4(arm)': momentOf('P4(arm)') };
    const bothMoments = { ...allMoments(), 'P4(arm)': momentOf('P4(arm)') };
    const mixed = compareRecords(
      twoGroups(values(driver), values(irons), (trial) => ({
        moments: trial.includes('-d') ? armMoments : bothMoments,
      })),
      PLAN,
    );
    expect(mixed.rows.map(({ position }) => position)).not.toContain('P4');
    expect(row(mixed, 'pelvis.turn@P4(arm)')).toMatchObject({ nGroup: 6, nReference: 6 });
    expect(row(mixed, 'pelvis.forward_bend@P4(arm)').family).toBe('primary');
    const shaft = compareRecords(
      twoGroups(values(driver), values(irons), () => ({ moments: bothMoments })),
      PLAN,
    );
    expect(shaft.rows.map(({ position }) => position)).not.toContain('P4(arm)');
  });

  test('club figures of different head points are refused with the reason; those of one face centre are not', () => {
    const speed = 'club.head_speed@swing';
    const lists = [of(speed, [44, 45, 46, 45, 45]), of(speed, [35, 36, 34, 35, 35])] as const;
    const marker = (trial: string): Partial<SwingRecord> => ({
      headPoint: { kind: 'marker', id: `marker:${trial.includes('-d') ? 'driver' : 'iron'}:CLUB_HEAD_1` },
    });
    const refused = row(compareRecords(twoGroups(...lists, marker), PLAN), speed);
    expect(refused).toMatchObject({
      meanGroup: 45,
      meanReference: 35,
      difference: null,
      p: null,
      family: null,
      verdict: 'none',
    });
    expect(refused.reason).toContain('no head point');
    expect(row(compareRecords(twoGroups(...lists), PLAN), speed).verdict).toBe('departs');
  });

  test('flags of cells and moments are carried, each once', () => {
    const records = twoGroups(of(BEND, driver), of(BEND, irons), (trial) =>
      trial === 'wren-d01'
        ? {
            cells: [cellOf(BEND, 16, { flags: ['target-assumed', 'near-singular'] })],
            moments: { ...allMoments(), P4: momentOf('P4', { flags: ['target-assumed', 'event-differs'] }) },
          }
        : {},
    );
    expect(row(compareRecords(records, PLAN), BEND).flags).toEqual([
      'event-differs',
      'near-singular',
      'target-assumed',
    ]);
  });
});

describe('families of a day', () => {
  const day = fullDay(createRandom(5), 8, 8, 2, (quantity, position) =>
    quantity === 'pelvis.forward_bend' && !['P1', 'P2', 'P3'].includes(position) ? 9 : 0,
  );
  const comparison = compareRecords(day, PLAN);

  test('twelve primary tests, nine of changes, the rest screened; the numbers are printed', () => {
    expect(comparison.familySizes.primary).toBe(12);
    expect(comparison.familySizes['change-primary']).toBe(9);
    expect(comparison.familySizes.screening).toBeGreaterThan(200);
    expect(comparison.notes.join(' ')).toContain('primary 12 and changes 9');
    const sum = Object.values(comparison.counts).reduce((a, b) => a + b, 0);
    expect(sum).toBe(comparison.rows.length);
  });

  test('limbs and clubs that depart everywhere change no other row: they are screened apart', () => {
    const limb = (id: string): boolean => ['limbs', 'club'].includes(topicOf(quantityById(id).reading));
    const without = (c: PlayerComparison) => c.rows.filter(({ quantity }) => !limb(quantity));
    const dayOf = (shift: number) => fullDay(createRandom(5), 8, 8, 2, (quantity) => (limb(quantity) ? shift : 0));
    const [same, far] = [0, 60].map((shift) => compareRecords(dayOf(shift), PLAN)) as [
      PlayerComparison,
      PlayerComparison,
    ];
    expect(without(far)).toEqual(without(same));
    expect(far.familySizes.limbs).toBeGreaterThan(200);
    expect(far.rows.filter(({ quantity, verdict }) => limb(quantity) && verdict === 'departs').length).toBeGreaterThan(
      200,
    );
    expect(far.notes.join(' ')).toMatch(/arms, legs, forces and how the club meets the ball \d+ and changes \d+/);
  });

  test('the first departure is where the shift begins, for values and for changes, with its certainty', () => {
    const [first] = comparison.firstDepartures;
    expect(first).toMatchObject({ quantity: 'pelvis.forward_bend', position: 'P4', unit: 'deg' });
    expect(first!.certainty).toBeGreaterThan(0.9);
    expect(comparison.firstDepartures.filter(({ quantity }) => quantity === 'pelvis.forward_bend')).toHaveLength(2);
  });

  test('undecided rows say what they exclude and what would settle them; others do not', () => {
    for (const entry of comparison.rows) {
      const undecided = entry.verdict === 'undecided';
      expect(entry.moreSwings !== null).toBe(undecided);
      if (!undecided) continue;
      expect(entry.excludesBeyond).toBe(Math.max(Math.abs(entry.low95!), Math.abs(entry.high95!)));
      expect(entry.moreSwings!.count).toBeGreaterThanOrEqual(1);
      expect(entry.moreSwings!.count).toBeLessThanOrEqual(41);
    }
  });

  test('the line about the longer club stands with the set-up', () => {
    expect(comparison.notes.some((note) => note.includes('belongs to the longer club'))).toBe(true);
  });

  test('shares of the thorax difference add up to the difference of the means of the poses', () => {
    expect(comparison.shares).toHaveLength(33);
    for (const share of comparison.shares) {
      expect(Math.abs(share.pelvis_deg + share.trunk_deg - share.total_deg)).toBeLessThan(1e-12);
      expect(share.pelvisLow95_deg).toBeLessThanOrEqual(share.pelvis_deg);
      expect(share.pelvisHigh95_deg).toBeGreaterThanOrEqual(share.pelvis_deg);
      expect(share.pelvisPercent).toBeNull();
    }
  });
});
