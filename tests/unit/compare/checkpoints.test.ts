import { describe, expect, it } from 'vitest';
import { bendsByTurnAlone } from '../../../src/compare/checkpointTurn.ts';
import { type ComparePlan, compareRecords } from '../../../src/compare/compareRecords.ts';
import type { Checkpoint, CheckpointBand, CheckpointReading, CheckpointResult } from '../../../src/model/checkpoint.ts';
import { DEFAULT_CHECKPOINTS } from '../../../src/model/checkpointDefaults.ts';
import { storedCheckpoints } from '../../../src/model/checkpointStored.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { PositionId } from '../../../src/model/positions.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { fromDisplay } from '../../../src/model/units.ts';
import { rotationFromAngles } from '../../../src/numeric/eulerAngles.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { clubPlan } from '../../support/plans.ts';
import { slowMean, slowSd } from '../../support/slowStatistics.ts';
import { allMoments, cellOf, momentOf, notFound, swingRecord, twoGroups } from '../../support/swingRecords.ts';

const CLUBS = [
  clubPlan(),
  clubPlan({ id: 'iron7', kind: 'iron', length_m: 0.94 }),
  clubPlan({ id: 'iron8', kind: 'iron', length_m: 0.925 }),
];
const RAD = Math.PI / 180;

const at = (position: PositionId | 'swing'): CheckpointReading => ({ kind: 'value', position });
const change = (from: PositionId, to: PositionId, withoutTurn = false): CheckpointReading => ({
  kind: 'change',
  from,
  to,
  withoutTurn,
});
const band = (
  low: number | null,
  high: number | null,
  severe: readonly [number, number] | null = null,
): CheckpointBand => ({
  kind: 'band',
  low,
  high,
  severeLow: severe?.[0] ?? null,
  severeHigh: severe?.[1] ?? null,
});

function ruleOf(
  quantity: string,
  reading: CheckpointReading,
  rule: Checkpoint['rule'],
  more: Partial<Checkpoint> = {},
): Checkpoint {
  return { name: quantity, quantity, reading, rule, clubs: null, note: '', source: '', ...more };
}

/** The results of these rules on the records. */
function check(
  records: readonly SwingRecord[],
  rules: readonly Checkpoint[],
  plan: Partial<ComparePlan> = {},
): readonly CheckpointResult[] {
  const options = { ...DEFAULT_COMPARE, checkpoints: { file: 'rules.yaml', checkpoints: rules } };
  return compareRecords(records, { player: { id: 'wren', hand: 'right' }, clubs: CLUBS, options, ...plan }).checkpoints;
}

type Values = Readonly<Record<string, number | null>>;

/** Swings with columns of values: `quantity@position` → one value a driver swing, one an iron swing. */
function swings(
  driver: Readonly<Record<string, readonly (number | null)[]>>,
  irons: Readonly<Record<string, readonly (number | null)[]>>,
  changes: (trial: string) => Partial<SwingRecord> = () => ({}),
): SwingRecord[] {
  const rows = (columns: Readonly<Record<string, readonly (number | null)[]>>): Values[] => {
    const n = Math.max(0, ...Object.values(columns).map((column) => column.length));
    return Array.from({ length: n }, (_, i) =>
      Object.fromEntries(
        Object.entries(columns).flatMap(([key, column]) => (i < column.length ? [[key, column[i]!]] : [])),
      ),
    );
  };
  return twoGroups(rows(driver), rows(irons), changes);
}

const ATTACK = 'club.attack@swing';
const SIX = [1, 2, 3, 4, 5, 3];
const SEVEN = [-4, -4.5, -3, -5, -4, -3.5, -4];

describe('a band', () => {
  const one = (values: readonly (number | null)[], rule: CheckpointBand): CheckpointResult =>
    check(swings({ [ATTACK]: values }, { [ATTACK]: SEVEN }), [ruleOf('club.attack', at('swing'), rule)])[0]!;

  it('is met where the mean lies in it, the limits included, and says how many swings meet it by themselves', () => {
    const result = one(SIX, band(-2, 3));
    expect([result.state, result.value, result.n, result.swingsMet]).toEqual(['met', 3, 6, 4]);
    expect(result.sd).toBeCloseTo(slowSd(SIX), 12);
    expect([result.valueReference, result.nReference]).toEqual([slowMean(SEVEN), 7]);
    expect(result.unit).toBe('deg');
  });

  it.each([
    [band(-2, 2.9), 'not-met', false],
    [band(3.1, null), 'not-met', false],
    [band(3, 3), 'met', false],
    [band(-9, 2, [-9, 2.9]), 'not-met', true],
    [band(4, null, [3.1, 9]), 'not-met', true],
    [band(-2, 2.9, [-5, 3]), 'not-met', false],
    [band(null, 5), 'met', false],
  ] as const)('%o', (rule, state, severe) => {
    const result = one(SIX, rule);
    expect([result.state, result.severe]).toEqual([state, severe]);
  });

  it('says within the scatter where the 95 % interval of the mean, by t, reaches across a limit', () => {
    // t(0.975, 5) = 2.570582 (table of t quantiles); SD √2 over √6 swings
    const half = (2.570582 * Math.SQRT2) / Math.sqrt(6);
    const result = one(SIX, band(-2, 3 + half - 0.001));
    expect(result.high95).toBeCloseTo(3 + half, 5);
    expect(result.low95).toBeCloseTo(3 - half, 5);
    expect([result.state, result.withinScatter]).toEqual(['met', true]);
    expect(one(SIX, band(-2, 3 + half + 0.001)).withinScatter).toBe(false);
    expect(one(SIX, band(3 + half - 0.001, 9))).toMatchObject({ state: 'not-met', withinScatter: true });
    expect(one(SIX, band(3 + half + 0.001, 9))).toMatchObject({ state: 'not-met', withinScatter: false });
  });

  it('of few swings says so; of one gives no scatter', () => {
    expect(one([2], band(0, 3))).toMatchObject({ state: 'met', sd: null, low95: null, withinScatter: false });
    expect(one([2], band(0, 3)).remarks).toEqual(['one swing: its scatter is not known']);
    expect(one([2, 3], band(0, 3)).remarks).toEqual(['only 2 swings']);
    expect(one([1, 2, 3, 2, 1], band(0, 3)).remarks).toEqual([]);
  });

  it('leaves out swings without the value and counts them', () => {
    const result = one([1, null, 3, null, 2, 2, 2], band(0, 3));
    expect([result.n, result.value, result.swingsMet]).toEqual([5, 2, 5]);
    expect(result.remarks).toEqual(['2 of 7 swings lack it']);
  });

  it('without any value is not measured, with what was needed', () => {
    const result = one([null, null, null], band(0, 3));
    expect([result.state, result.value, result.swingsMet, result.n]).toEqual(['not-measured', null, null, 0]);
    expect(result.reason).toContain('needs the left and right PSIS');
  });

  it('of a quantity that no recording has is not measured', () => {
    const [result] = check(swings({ [ATTACK]: SIX }, { [ATTACK]: SEVEN }), [
      ruleOf('lead_knee.bend', at('P4'), band(0, 3)),
    ]);
    expect([result!.state, result!.reason]).toEqual([
      'not-measured',
      'lead_knee.bend at P4 is in none of these recordings',
    ]);
  });

  it('for other clubs than those swung is not measured', () => {
    const rule = ruleOf('club.attack', at('swing'), band(-6, 0), { clubs: ['driver', 'wood'] });
    const records = swings({ [ATTACK]: SIX }, { [ATTACK]: SEVEN });
    expect(check(records, [rule])[0]!.state).toBe('not-met');
    const iron = check(records, [rule], {
      group: { label: '7-iron', clubs: ['iron7'] },
      reference: { label: '8-iron', clubs: ['iron8'] },
    })[0]!;
    expect([iron.state, iron.reason]).toEqual(['not-measured', 'the rule is for driver, wood only']);
  });

  it('does not need irons: a player with the driver alone has checkpoints, one without a driver has none', () => {
    const rules = [
      ruleOf('club.attack', at('swing'), band(-2, 3)),
      ruleOf('club.attack', at('swing'), { kind: 'reference' }),
    ];
    const alone = check(swings({ [ATTACK]: SIX }, {}), rules);
    expect(alone.map(({ state }) => state)).toEqual(['met', 'not-measured']);
    expect(alone[0]).toMatchObject({ value: 3, valueReference: null, nReference: 0 });
    expect(alone[1]!.reason).toBe('no comparison with the irons');
    expect(check(swings({}, { [ATTACK]: SEVEN }), rules)).toEqual([]);
  });

  it('is that of a left-hander too: lead and trail are settled before', () => {
    const records = swings({ [ATTACK]: SIX }, { [ATTACK]: SEVEN });
    const left = records.map((record): SwingRecord => {
      const facts = { ...record.head.facts, hand: { ...record.head.facts.hand, value: 'left' as const } };
      return { ...record, head: { ...record.head, facts } };
    });
    const rules = [...DEFAULT_CHECKPOINTS];
    expect(check(left, rules, { player: { id: 'wren', hand: 'left' } })).toEqual(check(records, rules));
  });
});

describe('a change between two positions', () => {
  const FORWARD = { 'thorax.forward_bend@P1': [41, 40, 42, 41, 40], 'thorax.forward_bend@P4': [5, 6, 4, 5, 7] };

  it('is of each swing, later less earlier', () => {
    const [result] = check(swings(FORWARD, {}), [ruleOf('thorax.forward_bend', change('P1', 'P4'), band(null, -34))]);
    const own = [-36, -34, -38, -36, -33];
    expect(result!.value).toBeCloseTo(slowMean(own), 12);
    expect(result!.sd).toBeCloseTo(slowSd(own), 12);
    expect([result!.state, result!.swingsMet, result!.from, result!.position]).toEqual(['met', 4, 'P1', 'P4']);
  });

  it('leaves out a swing that lacks one of the two', () => {
    const columns = { ...FORWARD, 'thorax.forward_bend@P1': [41, null, 42, 41, 40] };
    const [result] = check(swings(columns, {}), [ruleOf('thorax.forward_bend', change('P1', 'P4'), band(null, 0))]);
    expect([result!.n, result!.remarks[0]]).toEqual([4, '1 of 5 swings lack it']);
  });

  it('of a head zeroed at P1 is its change, though its values say nothing', () => {
    const records = swings({}, {}).concat(
      [0, 1, 2, 3, 4].map((i) =>
        swingRecord(
          { trial: `wren-d${i}`, club: 'driver', kind: 'driver', order: i, values: {} },
          {
            cells: (['P1', 'P4', 'P7'] as const).map((position, k) =>
              cellOf(`head.side_bend@${position}`, [0, 8, 11][k]! + i * k, { flags: ['zeroed-at-P1'] }),
            ),
          },
        ),
      ),
    );
    const results = check(records, [
      ruleOf('head.side_bend', change('P4', 'P7'), band(null, 6)),
      ruleOf('head.side_bend', change('P1', 'P7'), band(null, 6)),
      ruleOf('head.side_bend', at('P7'), band(null, 6)),
    ]);
    expect(results.map(({ value }) => value)).toEqual([expect.closeTo(5, 9), expect.closeTo(15, 9), null]);
    expect(results.map(({ state }) => state)).toEqual(['met', 'not-met', 'not-measured']);
  });

  it('reads P4(arm) where that stands in for the top, and says so', () => {
    const moments = { ...allMoments(), P4: notFound('the shaft'), 'P4(arm)': momentOf('P4(arm)') };
    const columns = {
      'pelvis.forward_bend@P1': [20, 21, 20, 19, 20],
      'pelvis.forward_bend@P4(arm)': [14, 14, 15, 13, 12],
    };
    const [result] = check(
      swings(columns, columns, () => ({ moments })),
      [ruleOf('pelvis.forward_bend', change('P1', 'P4'), band(null, 0))],
    );
    expect([result!.state, result!.position]).toEqual(['met', 'P4(arm)']);
    expect(result!.value).toBeCloseTo(-6.4, 12);
    expect(result!.remarks).toContain('the top is that of the lead arm, P4(arm)');
  });
});

describe('rules stored in run.json', () => {
  const set = { file: 'rules.yaml', checkpoints: DEFAULT_CHECKPOINTS };
  const stored = JSON.parse(JSON.stringify(set)) as typeof set;

  it('come back as they were', () => expect(storedCheckpoints.parse(stored)).toEqual(set));

  it.each([
    { quantity: 'club.atack' },
    { reading: { kind: 'value', position: 'P44' } },
    { rule: { kind: 'band', low: '1', high: null, severeLow: null, severeHigh: null } },
  ])('that no file can have given are refused: %o', (change) => {
    const checkpoints = [{ ...stored.checkpoints[0]!, ...change }];
    expect(storedCheckpoints.safeParse({ ...stored, checkpoints }).success).toBe(false);
  });
});

describe('against the reference', () => {
  const BEND = 'thorax.inclination@P5.5';
  const six = [30, 31, 29, 30, 30.5, 29.5];
  const rules = [ruleOf('thorax.inclination', at('P5.5'), { kind: 'reference' })];
  const shifted = (by: number, spread = 1) => six.map((value) => 30 + by + (value - 30) * spread);
  const one = (driver: readonly number[], irons: readonly number[] = six) =>
    check(swings({ [BEND]: driver }, { [BEND]: irons }), rules)[0]!;

  it('departs: not met', () =>
    expect(one(shifted(-8))).toMatchObject({ state: 'not-met', reason: '', swingsMet: null }));
  it('matches: met', () => expect(one(shifted(0.2))).toMatchObject({ state: 'met', remarks: [] }));
  it('differs slightly: met, and said', () => {
    expect(one(shifted(2.1, 0.6), shifted(0, 0.6))).toMatchObject({ state: 'met', remarks: ['differs slightly'] });
  });
  it('undecided: not measured, with the value', () => {
    expect(one(shifted(2, 4))).toMatchObject({
      state: 'not-measured',
      value: expect.closeTo(32, 9),
      reason: 'these swings cannot tell it from the irons yet',
    });
  });
  it('fewer than five swings: not measured', () => {
    expect(one(six.slice(0, 4)).reason).toContain('fewer than 5 swings');
    expect(one(six.slice(0, 4)).state).toBe('not-measured');
  });
  it('of a change since P1 reads the row of the change, not of the value', () => {
    const driver = { [BEND]: shifted(-8), 'thorax.inclination@P1': shifted(2) };
    const irons = { [BEND]: six, 'thorax.inclination@P1': shifted(10) };
    const both = [...rules, ruleOf('thorax.inclination', change('P1', 'P5.5'), { kind: 'reference' })];
    expect(check(swings(driver, irons), both).map(({ state }) => state)).toEqual(['not-met', 'met']);
  });
});

describe('read with the turn', () => {
  it('a spine 35° toward the ball under a chest turned by −90°: forward bend 0°, side bend −35° (definitions 2)', () => {
    const { forward, side } = bendsByTurnAlone(35 * RAD, 0, -90 * RAD);
    expect(forward / RAD).toBeCloseTo(0, 9);
    expect(side / RAD).toBeCloseTo(-35, 9);
    // and 10° of turn at the top change forward bend by 5.7°
    expect(Math.abs(bendsByTurnAlone(35 * RAD, 0, -80 * RAD).forward / RAD)).toBeCloseTo(5.7, 1);
  });

  it('keeps the long axis where it was in the room, for any bends and turns', () => {
    const random = createRandom(5);
    const before = new Float64Array(9);
    const after = new Float64Array(9);
    for (let i = 0; i < 200; i++) {
      const [start, end, side, forward] = [2, 2, 0.4, 0.4].map((sd) => sd * random.normal()) as [
        number,
        number,
        number,
        number,
      ];
      rotationFromAngles(start, side, -forward, 'YXZ', before);
      const turned = bendsByTurnAlone(forward, side, end - start);
      rotationFromAngles(end, turned.side, -turned.forward, 'YXZ', after);
      for (const row of [1, 4, 7]) expect(after[row]).toBeCloseTo(before[row]!, 9);
    }
  });

  const columns = {
    'thorax.forward_bend@P1': [35, 35, 35, 35, 35],
    'thorax.side_bend@P1': [0, 0, 0, 0, 0],
    'thorax.turn@P1': [0, 0, 0, 0, 0],
    'thorax.forward_bend@P4': [3, 4, 5, 3, 5],
    'thorax.turn@P4': [-90, -90, -90, -90, -90],
    'pelvis.turn@P4': [-45, -45, -45, -45, -45],
    'pelvis.forward_bend@P4': [14, 14, 14, 14, 14],
  };
  const rules = [
    ruleOf('thorax.forward_bend', change('P1', 'P4'), band(null, 0)),
    ruleOf('thorax.forward_bend', change('P1', 'P4', true), band(null, 0)),
    ruleOf('thorax.forward_bend', at('P4'), band(null, 0)),
    ruleOf('pelvis.forward_bend', at('P4'), band(null, 0)),
    ruleOf('thorax.turn', at('P4'), band(null, 0)),
  ];

  it('each bend has the turn of its own segment beside it, a change what turning alone would give', () => {
    const [plain, off, value, pelvis, turn] = check(swings(columns, columns), rules);
    expect(plain!.turn).toEqual({
      quantity: 'thorax.turn',
      at: expect.closeTo(-90, 9),
      from: expect.closeTo(0, 9),
      referenceAt: expect.closeTo(-90, 9),
      alone: expect.closeTo(-35, 9),
    });
    // −31° is nearly all turn; what the chest did itself is +4°
    expect([plain!.value, plain!.state]).toEqual([expect.closeTo(-31, 9), 'met']);
    expect([off!.value, off!.state]).toEqual([expect.closeTo(4, 9), 'not-met']);
    expect(value!.turn).toMatchObject({ quantity: 'thorax.turn', at: expect.closeTo(-90, 9), from: null, alone: null });
    expect(pelvis!.turn).toMatchObject({ quantity: 'pelvis.turn', at: expect.closeTo(-45, 9) });
    expect(turn!.turn).toBeNull();
  });

  it('a turn that is missing is said, and where it must be taken off nothing is measured', () => {
    const without = { ...columns, 'thorax.turn@P4': [null, null, null, null, null] };
    const [plain, off, value] = check(swings(without, without), rules);
    expect(plain).toMatchObject({ state: 'met', turn: { at: null, alone: null } });
    for (const result of [plain, value]) {
      expect(result!.remarks).toContain('its turn is not measured: a bend alone may be turn');
    }
    expect(off).toMatchObject({ state: 'not-measured', reason: 'its bends at P1 and its turn are needed' });
  });

  it('the turn is that of the swings read: one without the bend is left out of it', () => {
    const some = {
      ...columns,
      'thorax.forward_bend@P4': [3, 4, 5, 3, null],
      'thorax.turn@P4': [-90, -90, -90, -90, -10],
    };
    expect(check(swings(some, some), rules)[2]!.turn!.at).toBeCloseTo(-90, 9);
  });
});

describe('a beginning', () => {
  const BEGINS: CheckpointReading = { kind: 'begins', way: 'falls', from: 'P4', to: 'P8' };
  const times = Float64Array.from({ length: 81 }, (_, step) => 0.1 * (1 + step / 10));
  // P1 … P9 at 0.1 s … 0.9 s, P5.5 by time not halfway
  const moments = Object.fromEntries(
    (['P1', 'P2', 'P3', 'P4', 'P5', 'P6', 'P7', 'P8', 'P9'] as const).map((position, i) => [
      position,
      momentOf(position, { time_s: 0.1 * (i + 1) }),
    ]),
  );
  const withHalf = { ...moments, 'P5.5': momentOf('P5.5', { time_s: 0.57 }) };

  const withCurve = (peak_s: number, shape = -400, found: SwingRecord['moments'] = withHalf): Partial<SwingRecord> => ({
    moments: found,
    curveBase: { times_s: times, shared: [] },
    curves: [
      {
        quantity: 'thorax.forward_bend',
        unit: 'deg',
        order: 'YXZ',
        values: times.map((time) => fromDisplay(30 + shape * (time - peak_s) * (time - peak_s), 'deg')),
      },
    ],
  });
  const one = (changes: Partial<SwingRecord>, reading: CheckpointReading = BEGINS): CheckpointResult =>
    check(
      swings({ [ATTACK]: SIX }, {}, () => changes),
      [ruleOf('thorax.forward_bend', reading, band(5.5, 6.5))],
    )[0]!;

  it.each([
    [0.62, 6.2, 'met'], // a fifth of the way from P6 to P7
    [0.583, 5.5 + (0.5 * 0.013) / 0.03, 'met'], // between P5.5 and P6, counted from P5.5’s own time
    [0.535, 5.25, 'not-met'],
    [0.68, 6.8, 'not-met'],
    [0.3, 4, 'not-met'], // falls from the start
    [0.9, 8, 'not-met'], // not before the end
  ])('with the largest value at %f s lies at %f: %s', (peak_s, place, state) => {
    const result = one(withCurve(peak_s));
    expect(result.value).toBeCloseTo(place, 6); // a parabola is met exactly
    expect([result.state, result.unit, result.n, result.from, result.position]).toEqual([
      state,
      'position',
      6,
      'P4',
      'P8',
    ]);
  });

  it('counts through P5 to P6 where P5.5 is missing', () => {
    expect(one(withCurve(0.583, -400, moments)).value).toBeCloseTo(5.83, 6);
  });

  it('of what rises is where it is smallest', () => {
    expect(one(withCurve(0.62, 400), { ...BEGINS, way: 'rises' } as CheckpointReading).value).toBeCloseTo(6.2, 6);
  });

  it('is not measured without the ends, with a gap, or without the curve', () => {
    const gap = withCurve(0.62);
    gap.curves![0]!.values[55] = Number.NaN;
    expect(one(gap)).toMatchObject({ state: 'not-measured', reason: 'the curve has a gap between P4 and P8' });
    const noTop = withCurve(0.62, -400, { ...withHalf, P4: notFound('the shaft') });
    expect(one(noTop)).toMatchObject({ state: 'not-measured', reason: 'P4 not found (needs the shaft)' });
    expect(one({ ...withCurve(0.62), curves: [] }).reason).toBe('no curve of thorax.forward_bend');
    const lost = { ...withCurve(0.62), cells: [cellOf('thorax.forward_bend@P4', null)] };
    expect(one(lost).reason).toBe('needs the left and right PSIS');
    const reversed = withCurve(0.62, -400, { ...withHalf, P5: momentOf('P5', { time_s: 0.65 }) });
    expect(one(reversed).reason).toBe('positions between P4 and P8 are not in order');
  });
});
