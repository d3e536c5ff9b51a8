import { beforeAll, describe, expect, it } from 'vitest';
import type { DayResult } from '../../../src/pipeline/analyseDay.ts';
import { cellsOf, JOINT_CENTRES, type UserDay, userDay, written } from '../../support/userDay.ts';

/** Largest difference of a value from that of the whole recording: another marker or method moves a moment by a millisecond or so, at which the chest turns up to 0.8°/ms. */
const NEAR: Readonly<Record<string, number>> = {
  deg: 1.2 * (Math.PI / 180),
  mm: 0.006,
  s: 0.003,
  'm/s': 0.6,
  'deg/s': 45 * (Math.PI / 180),
  ratio: 0.15,
  // of the stance (0.45 m) or of standing height: 6 mm as of places
  '%': 0.015,
};

/** Forearms and hands turn by up to 1,400°/s at release, arms and legs more slowly: 2.5 times the chest’s angle in the same millisecond (a choice of this test). */
const LIMB = /^\S+ (lead|trail)_(shoulder|elbow|wrist|hip|knee|ankle|arm)\./;
/** A peak of speed is flat and noisy: half the samples move it by as much as its own ± says. */
const PEAK = /^\S+ order\./;
/** A millisecond turns the attack angle by 1.3°, and the lowest point lies 30 to 45 mm from where it was; 120 Hz leave five samples after impact. */
const LOW_POINT = /^\S+ club\.low_point/;
const nearOf = (key: string, unit: string): number =>
  (LIMB.test(key) ? 2.5 : LOW_POINT.test(key) ? 5 : 1) * NEAR[unit]!;

const FIVE = { driver: 5, irons: 5 };
const swingsOnly =
  (what: NonNullable<UserDay['of']>): NonNullable<UserDay['of']> =>
  (trial) =>
    trial === '0-static' ? {} : what(trial);

interface Case {
  readonly name: string;
  readonly day: UserDay;
  /** Keys of quantities at positions that must have a value in every swing. */
  readonly given: readonly string[];
  /** Keys that must be missing, and what their reason or flag must say. */
  readonly missing: Readonly<Record<string, RegExp>>;
}

const CASES: readonly Case[] = [
  {
    name: 'no club markers',
    day: { swings: FIVE, of: () => ({ drop: /^CLUB/ }) },
    given: ['pelvis.forward_bend@P4(arm)', 'thorax.turn@P7', 'pelvis.rise@P7'],
    missing: {
      'pelvis.forward_bend@P4': /club’s shaft/,
      'pelvis.forward_bend@P6': /club’s shaft/,
      'club.attack@swing': /club head/,
    },
  },
  {
    name: 'no arms',
    day: { of: () => ({ drop: /_(AC|EL|EM|RS|US|MC\d)$/ }) },
    given: ['pelvis.forward_bend@P4', 'thorax.side_bend@P7', 'club.attack@swing'],
    missing: { 'pelvis.turn@P3': /lead arm/, 'pelvis.turn@P9': /trail arm/, 'shoulder_line.tilt@P4': /AC/ },
  },
  {
    name: 'pelvis, thorax and club alone',
    day: { of: () => ({ keep: /^(._[AP]SIS|IJ|PX|C7|T8|CLUB.*|BALL)$/ }) },
    given: ['pelvis.forward_bend@P4', 'thorax.side_bend@P7', 'pelvis.to_target@P7', 'club.path@swing'],
    missing: { 'head.turn@P4': /left EAR/, 'pelvis.turn@P5': /lead arm/ },
  },
  {
    name: 'pelvis and thorax alone, events tell the moments',
    day: {
      of: swingsOnly(() => ({
        keep: /^(._[AP]SIS|IJ|PX|C7|T8)$/,
        events: [
          { label: 'Top', context: 'General', time_s: 1.4 },
          { label: 'Impact', context: 'General', time_s: 1.66 },
        ],
      })),
    },
    given: ['pelvis.forward_bend@P4', 'thorax.side_bend@P7'],
    missing: { 'club.attack@swing': /club head/, 'pelvis.turn@P6': /club’s shaft/ },
  },
  {
    name: 'no static trial',
    day: { swings: FIVE, static: false },
    given: ['pelvis.forward_bend@P4', 'pelvis.to_target@P7', 'head.to_target@P7'],
    missing: {},
  },
  {
    name: 'a static trial without the PSIS',
    day: { of: (trial) => (trial === '0-static' ? { drop: /_PSIS$/ } : {}) },
    given: ['pelvis.forward_bend@P4', 'pelvis.to_target@P7', 'pelvis_line.tilt@P7'],
    missing: {},
  },
  {
    name: 'the recording begins in the backswing',
    day: { of: swingsOnly(() => ({ from_s: 1 })) },
    given: ['pelvis.forward_bend@P4', 'thorax.forward_bend@P7', 'club.attack@swing'],
    missing: {
      'pelvis.turn@P1': /before the takeaway/,
      'pelvis.to_target@P7': /P1/,
      'tempo.ratio@swing': /before the takeaway/,
    },
  },
  {
    name: 'no ball marker and no event',
    day: { of: () => ({ drop: /^BALL$/ }) },
    given: ['pelvis.forward_bend@P7', 'club.attack@swing', 'club.path@swing'],
    missing: {},
  },
  {
    name: 'a head marker is missing, so there is no face centre',
    day: { of: () => ({ drop: /^CLUB_HEAD_3$/ }) },
    given: ['pelvis.forward_bend@P7'],
    missing: {},
  },
  {
    name: '120 Hz',
    day: { of: swingsOnly(() => ({ every: 2 })) },
    given: ['pelvis.forward_bend@P4', 'thorax.turn@P7', 'club.attack@swing'],
    missing: {},
  },
  {
    name: 'the shaft is hidden around the top',
    day: {
      of: swingsOnly(() => ({
        drop: /^CLUB_SHAFT$/,
        made: {
          CLUB_SHAFT: (get, frame) =>
            frame > 320 && frame < 365 ? [Number.NaN, Number.NaN, Number.NaN] : get('CLUB_SHAFT', frame),
        },
      })),
    },
    given: [
      'pelvis.forward_bend@P7',
      'club.attack@swing',
      'pelvis.turn@P1',
      'pelvis.turn@P4(arm)',
      'pelvis.to_target@P7',
    ],
    missing: { 'pelvis.turn@P4': /the shaft in view around the top; it is hidden from \d/ },
  },
  {
    name: 'the target is not set',
    day: { lab: 'lab: {up: +Z, units: mm}' },
    given: ['pelvis.turn@P4', 'club.attack@swing'],
    missing: { 'club.path@swing': /target line that is set/ },
  },
];

/** The moments of this day are its events, wherever the swing itself has them. */
const OTHER_MOMENTS = 'pelvis and thorax alone, events tell the moments';

/** Readings of a head point or of a chest that is another one by the case itself, not to be compared with the whole day. */
const OTHER: Readonly<Record<string, RegExp>> = {
  // The ball lies 0.8 m from the ankles: a line half a degree off moves it by 7 mm along the line.
  'the target is not set': /^\S+ ball\./,
  'a head marker is missing, so there is no face centre': /^\S+ club\./,
  'no static trial': /^\S+ (head|neck)\.(turn|side_bend|forward_bend|flexion|axial)/,
};

let whole: DayResult;
beforeAll(async () => {
  whole = await userDay({ swings: FIVE });
});

/** What a day writes; the code of a page's script is the program's own and left out. */
async function textsOf(result: DayResult): Promise<string> {
  const texts = [...(await written(result)).values()];
  return texts.map((text) => text.replace(/<script>.*?<\/script>/gs, '')).join('\n');
}

describe.each(CASES)('$name', ({ name, day, given, missing }) => {
  let result: DayResult;
  beforeAll(async () => {
    result = await userDay(day);
  });
  it('every recording is used, and nothing written holds NaN, Infinity or undefined', async () => {
    for (const { status, reason } of result.outcomes) expect(`${status} ${reason}`).toBe('used ');
    expect(await textsOf(result)).not.toMatch(/\bNaN\b|Infinity|undefined|\[object/);
  });
  it('what can be had is there, what cannot says why', () => {
    const cells = cellsOf(result);
    for (const { head } of result.records) {
      for (const key of given)
        expect(cells.get(`${head.trial} ${key}`)?.value, `${head.trial} ${key}`).toBeTypeOf('number');
      for (const [key, why] of Object.entries(missing)) {
        const cell = cells.get(`${head.trial} ${key}`)!;
        expect(cell.value, `${head.trial} ${key}`).toBeNull();
        expect(cell.why!.needed).toMatch(why);
      }
    }
  });
  if (name === OTHER_MOMENTS) return;
  it('no value is another one than the whole recording gives', () => {
    const known = cellsOf(whole);
    let compared = 0;
    for (const [key, cell] of cellsOf(result)) {
      const before = known.get(key)?.value;
      // values by unlike rules are other values: a body without arms, a club head for the ball
      if (known.get(key)?.rule !== cell.rule) continue;
      // a player comes to rest slowly: P10 has no sharp time
      if (cell.value === null || typeof before !== 'number' || cell.position === 'P10' || OTHER[name]?.test(key))
        continue;
      compared += 1;
      const noise = PEAK.test(key) ? (cell.plusMinus ?? 0) + (known.get(key)!.plusMinus ?? 0) : 0;
      expect(Math.abs(cell.value - before), key).toBeLessThan(nearOf(key, cell.unit) + noise);
    }
    expect(compared).toBeGreaterThan(100);
  });
});

describe('what is compared on such days', () => {
  const rowsOf = (result: DayResult, quantity: string) =>
    result.comparisons[0]!.rows.filter((row) => row.quantity === quantity);

  it('without a club the top is that of the lead arm, and no row stands at P4, P6 or P8 with a verdict', async () => {
    const { rows, notes } = (await userDay(CASES[0]!.day)).comparisons[0]!;
    expect(notes.join(' ')).toContain('P4(arm)');
    expect(rows.filter(({ position }) => position === 'P4')).toEqual([]);
    for (const { position, verdict } of rows) if (position === 'P6' || position === 'P8') expect(verdict).toBe('none');
    expect(rows.filter(({ family }) => family === 'primary')).toHaveLength(9);
    expect(rows.filter(({ family }) => family === 'change-primary')).toHaveLength(6);
  });
  it('without a static trial the head is compared by its changes since P1 alone', async () => {
    const rows = rowsOf(await userDay({ swings: FIVE, static: false }), 'head.turn');
    for (const { basis, verdict, reason } of rows) {
      expect(verdict === 'none', `${basis} ${reason}`).toBe(basis === 'value');
      if (basis === 'value') expect(reason).toContain('no static trial zeroes the head');
    }
  });
  it('one swing with T10 for T8 is left out and named; it does not cost the day', async () => {
    const of = (trial: string) => (trial === '2-iron7-2' ? { rename: { T8: 'T10' } } : {});
    const [withStatic] = (await userDay({ swings: FIVE, of })).comparisons;
    expect(withStatic!.reference.trials).toContain('2-iron7-2'); // its T8 is rebuilt from the rest of the thorax
    const [comparison] = (await userDay({ swings: FIVE, of, static: false })).comparisons;
    expect(comparison!.reason).toBe('');
    expect(comparison!.reference.trials).not.toContain('2-iron7-2');
    expect(comparison!.notes.join(' ')).toContain('1 of 5 swings of the irons left out (2-iron7-2)');
  });
  it('without face centres figures of the club are given for each swing and compared between no two clubs', async () => {
    const clubs = '\n  - {id: driver, kind: driver}\n  - {id: iron7, kind: iron}\n  - {id: iron5, kind: iron}';
    const result = await userDay({ swings: { driver: 5, irons: 4 }, clubs });
    for (const [key, cell] of cellsOf(result)) {
      // A driver that rises through the ball may have been lowest too far before it.
      if (!/ club\./.test(key) || (/low_point_after/.test(key) && cell.value === null)) continue;
      const isOfFace = / club\.(face|loft)/.test(key);
      const isOfAnyPoint = isOfFace || / club\.(lie|shaft_lean)/.test(key);
      expect(cell.value === null, key).toBe(isOfFace);
      expect(cell.flags.includes('of-that-marker'), key).toBe(!isOfAnyPoint);
      if (isOfFace) expect(cell.why!.needed, key).toMatch(/face_normal/);
    }
    for (const quantity of ['club.head_speed', 'club.attack', 'club.path']) {
      const [row] = rowsOf(result, quantity);
      expect(row).toMatchObject({ verdict: 'none', difference: null, p: null });
      expect(row!.reason).toContain('share no head point');
    }
    expect(result.comparisons[0]!.marks.map(({ quantity }) => quantity)).not.toContain('club.attack');
    // Every point of a rigid club leans alike.
    expect(rowsOf(result, 'club.shaft_lean')[0]).toMatchObject({
      difference: expect.any(Number),
      p: expect.any(Number),
    });
  });
  it('one swing with an iron: values, a reason, no p-value', async () => {
    const result = await userDay({ swings: { driver: 5, irons: 1 } });
    expect(result.comparisons[0]!.reason).toBe('only 1 swing of the irons');
    for (const { p, verdict } of result.comparisons[0]!.rows) expect([p, verdict]).toEqual([null, 'none']);
    expect(await textsOf(result)).not.toMatch(/\bNaN\b|Infinity|undefined/);
  });
  it('a wood, a wedge and a putter beside: used, and none of them is an iron or a driver', async () => {
    const other: Readonly<Record<string, string>> = { '2-iron7-3': 'wood3', '2-iron7-4': 'wedge', '4-iron5-1': 'putt' };
    const clubs =
      '\n  - {id: driver, kind: driver}\n  - {id: iron7, kind: iron}\n  - {id: wood3, kind: wood}\n  - {id: wedge, kind: wedge}\n  - {id: putt, kind: putter}';
    // an iron swing under the name of a putter is too fast for one, which a person accepts here
    const more = (trial: string): string => (other[trial] === 'putt' ? ', gate: accept, note: an iron swing' : '');
    const result = await userDay({ swings: FIVE, clubs, club: (trial) => other[trial] ?? null, more });
    expect(result.records).toHaveLength(10);
    expect(result.outcomes.flatMap(({ gate }) => gate?.reasons.map(({ rule }) => rule) ?? [])).toEqual([
      'head-speed-high',
    ]);
    const [comparison] = result.comparisons;
    expect(comparison!.reference).toMatchObject({ clubs: ['iron7'], trials: ['2-iron7-1', '2-iron7-2'] });
    expect(comparison!.group.clubs).toEqual(['driver']);
    expect(comparison!.notes.join(' ')).toContain('2 swings of the irons: fewer than 5');
  });
  it('two sets of a day keep their names in every table and are one comparison', async () => {
    const more = (trial: string): string =>
      trial === '0-static' ? '' : `, set: ${/-[12]$/.test(trial) ? 'before' : 'after'}`;
    const result = await userDay({ swings: FIVE, more });
    expect(new Set(result.records.map(({ head }) => head.set))).toEqual(new Set(['before', 'after']));
    expect(result.comparisons[0]!.group.trials).toHaveLength(5);
  });
  it('joint centres alone: the reduced form, its quantities, and no angle of a segment that has no frame', async () => {
    const keep = /^(CLUB.*|BALL|._HEEL|._TOE|._EAR)$/;
    const result = await userDay({ static: false, of: () => ({ keep, made: JOINT_CENTRES }) });
    const cells = cellsOf(result);
    for (const { head, form, datum } of result.records) {
      expect([form, datum.id]).toEqual(['reduced', 'joint centres']);
      for (const key of ['pelvis_line.turn@P4', 'trunk_axis.to_ball@P7', 'pelvis.to_target@P7', 'club.attack@swing']) {
        expect(cells.get(`${head.trial} ${key}`)!.value, key).toBeTypeOf('number');
      }
      expect(cells.get(`${head.trial} pelvis.turn@P4`)).toMatchObject({
        value: null,
        why: { code: 'landmark-missing' },
      });
    }
    expect(await textsOf(result)).not.toMatch(/\bNaN\b|Infinity|undefined/);
  });
});
