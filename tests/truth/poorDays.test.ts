// Days on which much is missing, from files to comparison: each gives all that can be given and says of the rest what it needs.
import { beforeAll, describe, expect, it } from 'vitest';
import type { Cell } from '../../src/model/swingRecord.ts';
import type { DayResult } from '../../src/pipeline/analyseDay.ts';
import { cellsOf, HEAD_POINT, JOINT_CENTRES, type UserDay, userDay } from '../support/userDay.ts';

const EVENTS = [
  { label: 'Top', context: 'General', time_s: 1.4 },
  { label: 'Impact', context: 'General', time_s: 1.66 },
];

const ANGLES = (segment: string): string[] => ['turn', 'side_bend', 'forward_bend'].map((part) => `${segment}.${part}`);
const JOINT = (joint: string): string[] => ['flexion', 'side_bend', 'axial'].map((part) => `${joint}.${part}`);
const MOVES = (segment: string): string[] => ['to_target', 'to_ball', 'rise'].map((part) => `${segment}.${part}`);

const TRUNK = [
  ...ANGLES('pelvis'),
  ...ANGLES('thorax'),
  ...JOINT('trunk'),
  'turn_difference',
  'thorax.inclination',
  'pelvis.turn_rate',
];
const HEAD = [...ANGLES('head'), ...JOINT('neck'), ...MOVES('head'), 'head_line.tilt', 'eyes_line.tilt'];
const TRUNK_PLACES = [...MOVES('pelvis'), ...MOVES('thorax'), 'pelvis_line.tilt', 'axis_tilt'];
const SHOULDERS = ['shoulder_line.tilt', 'lead_shoulder.rise', 'trail_shoulder.rise', 'shoulder_line.alignment'];
const STANCE = ['stance.width', 'stance.alignment'];
const FEET = ['stance.toe_alignment', 'lead_foot.flare', 'trail_foot.flare'];
const BALL = ['ball.from_lead_ankle', 'ball.stance_share'];
const BODY = [...MOVES('body'), 'body.speed', 'body.speed_to_target'];
const CLUB = ['club.head_speed', 'club.attack', 'club.path', 'tempo.ratio'];
const FORCES = ['vertical', 'vertical_share', 'lead_share', 'pressure_along', 'pressure_across'].map(
  (part) => `force.${part}`,
);
const REDUCED = ['pelvis_line.turn', 'shoulder_line.turn', 'trunk_axis.to_ball', 'trunk_axis.to_trail'];

interface Case {
  readonly name: string;
  readonly day: UserDay;
  /** Positions of the table; the first that a quantity is tabulated at must hold a value. */
  readonly at: readonly string[];
  readonly given: readonly string[];
  /** Quantities, and what each of their cells at the positions says it needs. */
  readonly missing: readonly (readonly [readonly string[], RegExp])[];
}

const FULL_HEIGHT = ['lead_shoulder.rise_share', 'trail_shoulder.rise_share'];
const EVERY_DAY: Case['missing'] = [
  [FORCES, /force platforms in the recording/],
  [FULL_HEIGHT, /height|AC|SJC|P1/],
];

const CASES: readonly Case[] = [
  {
    name: 'everything',
    day: {},
    at: ['P1', 'P4', 'P7', 'swing'],
    given: [...TRUNK, ...HEAD, ...TRUNK_PLACES, ...SHOULDERS, ...STANCE, ...FEET, ...BALL, ...BODY, ...CLUB],
    missing: [],
  },
  {
    name: 'no club markers and no ball',
    day: { of: () => ({ drop: /^(CLUB|BALL)/ }) },
    at: ['P1', 'P4(arm)'],
    given: [...TRUNK, ...HEAD, ...TRUNK_PLACES, ...SHOULDERS, ...STANCE, ...FEET, ...BODY],
    missing: [
      [BALL, /BALL; or a club head marker or CLUB_SHAFT/],
      [CLUB, /club|shaft/],
    ],
  },
  {
    name: 'no arms',
    day: { of: () => ({ drop: /_(AC|EL|EM|RS|US|MC\d)$/ }) },
    at: ['P1', 'P4', 'P7', 'swing'],
    // Without arms 90.1 % of a man's mass are there: enough for a centre, which says that it is one without arms.
    given: [...TRUNK, ...HEAD, ...TRUNK_PLACES, ...STANCE, ...FEET, ...BALL, ...BODY, ...CLUB],
    missing: [[SHOULDERS, /AC/]],
  },
  {
    name: 'joint centres alone',
    day: { static: false, of: () => ({ keep: /^(CLUB.*|BALL)$/, made: { ...HEAD_POINT, ...JOINT_CENTRES } }) },
    at: ['P1', 'P4', 'P7', 'swing'],
    given: [
      ...REDUCED,
      ...MOVES('pelvis'),
      ...MOVES('head'),
      'pelvis_line.tilt',
      ...SHOULDERS,
      'pelvis_line.alignment',
      ...STANCE,
      ...BALL,
      ...BODY,
      ...CLUB,
    ],
    missing: [
      [[...ANGLES('pelvis'), ...JOINT('trunk')], /ASIS/],
      [[...ANGLES('thorax'), ...MOVES('thorax'), 'axis_tilt'], /IJ|PX/],
      [['head_line.tilt'], /left EAR, right EAR/],
      [['eyes_line.tilt'], /left ORBIT, right ORBIT/],
      [['lead_foot.flare', 'trail_foot.flare'], /HEEL/],
      [['stance.toe_alignment'], /left TOE/],
    ],
  },
  {
    name: 'pelvis and thorax alone, events tell top and impact',
    day: { of: (trial) => (trial === '0-static' ? {} : { keep: /^(._[AP]SIS|IJ|PX|C7|T8)$/, events: EVENTS }) },
    at: ['P4', 'P7'],
    given: [...TRUNK, 'pelvis_line.tilt', 'shoulder_line.tilt', 'axis_tilt'],
    missing: [
      [[...ANGLES('head'), ...JOINT('neck'), ...MOVES('head'), 'head_line.tilt'], /EAR/],
      [['eyes_line.tilt'], /ORBIT/],
      [TRUNK_PLACES.filter((id) => id.includes('.to_') || id.endsWith('.rise')), /P1/],
      [STANCE, /LM|P1/],
      [BALL, /BALL|P1/],
      [BODY, /what is there is \d\d % of the body's mass, at least 90 % are needed/],
      [CLUB, /club|shaft|P1|position/],
    ],
  },
];

function at(cells: ReadonlyMap<string, Cell>, trial: string, quantity: string, positions: readonly string[]): Cell[] {
  return positions.flatMap((position) => cells.get(`${trial} ${quantity}@${position}`) ?? []);
}

describe.each(CASES)('$name', ({ day, at: positions, given, missing }) => {
  let result: DayResult;
  let cells: ReadonlyMap<string, Cell>;
  beforeAll(async () => {
    result = await userDay(day);
    cells = cellsOf(result);
  });

  it('loses no recording, and every gap has a code and says what it needs', () => {
    expect(result.records).toHaveLength(4);
    for (const { status, reason } of result.outcomes) expect(`${status} ${reason}`).toBe('used ');
    for (const [key, { value, why }] of cells) {
      expect(value === null, key).toBe(why !== null);
      if (why !== null)
        expect([why.code.length > 3, why.needed.length > 1], `${key} ${why.needed}`).toEqual([true, true]);
    }
  });

  it('gives all that can be given', () => {
    for (const { head } of result.records) {
      for (const quantity of given) {
        const found = at(cells, head.trial, quantity, positions);
        expect(found.length, `${head.trial} ${quantity}`).toBeGreaterThan(0);
        for (const { value, position, why } of found) {
          expect(value, `${head.trial} ${quantity}@${position} ${why?.needed ?? ''}`).toBeTypeOf('number');
        }
      }
    }
  });

  it('says what is missing', () => {
    for (const { head } of result.records) {
      for (const [quantities, words] of [...EVERY_DAY, ...missing]) {
        for (const quantity of quantities) {
          const found = at(cells, head.trial, quantity, ['P1', 'P4', 'P7', 'swing']);
          expect(found.length, `${head.trial} ${quantity}`).toBeGreaterThan(0);
          for (const { value, position, why } of found) {
            expect(value, `${head.trial} ${quantity}@${position}`).toBeNull();
            // P4 is that of the shaft: without it the position itself is missing.
            if (/^the club’s shaft|CLUB_GRIP/.test(why!.needed)) continue;
            expect(why!.needed, `${head.trial} ${quantity}@${position}`).toMatch(words);
          }
        }
      }
    }
  });
});

it('without arms the centre of mass says so in every value, and is not compared with a whole one', async () => {
  const drop = /_(EL|EM|RS|US|MC\d)$/;
  const of = (trial: string) => (trial.includes('iron') ? { drop } : {});
  const result = await userDay({ swings: { driver: 2, irons: 2 }, of });
  const cells = cellsOf(result);
  expect(cells.get('1-driver-1 body.to_target@P7')!.rule).not.toContain('without');
  expect(cells.get('2-iron7-1 body.to_target@P7')!.rule).toContain('without lead upper arm');
  const row = result.comparisons[0]!.rows.find(
    ({ quantity, position }) => `${quantity}@${position}` === 'body.to_target@P7',
  )!;
  expect([row.nGroup, row.nReference, row.verdict]).toEqual([0, 0, 'none']);
  expect(row.reason).toContain('unlike rules');
});
