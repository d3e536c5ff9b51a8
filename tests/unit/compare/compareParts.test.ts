import { describe, expect, it } from 'vitest';
import { compareParts } from '../../../src/compare/compareParts.ts';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { fullDay } from '../../support/swingRecords.ts';

const PLAN = {
  player: { id: 'wren', hand: 'right', static: 'wren/on a stand' },
  clubs: [],
  options: DEFAULT_COMPARE,
} as const;

const MARKERS = fullDay(createRandom(1), 6, 6, 1, () => 0);

/** The same swings as sensors see them, calibrated in a still pose; angles 20° off, as another zero makes them. */
function sensorsOf(still: string, from: number, on = ''): SwingRecord[] {
  return MARKERS.map((record) => ({
    ...record,
    head: {
      ...record.head,
      source: 'sensors' as const,
      trial: `${still}-${record.head.trial}`,
      order: from + record.head.order,
    },
    datum: { kind: 'calibration' as const, id: `calibration ${still}${on}` },
    headPoint: null,
    cells: record.cells.map((cell) => ({ ...cell, value: cell.value! + 20 })),
  }));
}

const FIRST = sensorsOf('wren/still', 100, ' on wren/on a stand');
const SECOND = sensorsOf('again', 50);

describe('the comparisons of one player', () => {
  const parts = compareParts([...FIRST, ...MARKERS, ...SECOND], PLAN);

  it('markers alone are one part, the comparison as it was without parts', () => {
    const [only, ...others] = compareParts(MARKERS, PLAN);
    expect(others).toEqual([]);
    expect(only).toEqual(compareRecords(MARKERS, PLAN));
    expect(only!.part).toEqual({
      source: 'markers',
      datum: { kind: 'anatomical', id: 'anatomical' },
      calibration: null,
      label: '',
      suffix: '',
    });
  });

  it('markers come first, then each calibration in the order of the day, each with a name of its own', () => {
    expect(parts.map(({ part }) => [part.source, part.label, part.suffix])).toEqual([
      ['markers', 'markers', ''],
      ['sensors', 'sensors calibrated in again', '-sensors'],
      ['sensors', 'sensors calibrated in wren/still', '-sensors-2'],
    ]);
  });

  it('the datum says which poses the zero is made of, also where names of trials hold the word "on"', () => {
    expect(parts.map(({ part }) => part.calibration)).toEqual([
      null,
      { still: 'again', anatomicalFrom: null, headings: 'address' },
      { still: 'wren/still', anatomicalFrom: 'wren/on a stand', headings: 'address' },
    ]);
    const tied = sensorsOf('again', 0, ', headings of the file');
    expect(compareParts(tied, PLAN)[0]!.part.calibration).toMatchObject({ still: 'again', headings: 'file' });
  });

  it('sensors say within which calibration they are compared, and nothing of a target line; markers say neither', () => {
    const said = parts.map(({ notes }) => notes.filter((note) => /calibration|target line/.test(note)));
    expect(said).toEqual([
      [],
      ['Angles of sensors are compared within one calibration only (calibration again).'],
      ['Angles of sensors are compared within one calibration only (calibration wren/still on wren/on a stand).'],
    ]);
  });

  it('swings without a calibration are a part of their own', () => {
    const loose = SECOND.map((record) => ({
      ...record,
      datum: { kind: 'calibration' as const, id: 'not calibrated' },
    }));
    const [one, other] = compareParts([...loose, ...FIRST], PLAN);
    expect(one!.part).toMatchObject({ label: 'sensors not calibrated', suffix: '', calibration: null });
    expect(other!.part).toMatchObject({ label: 'sensors calibrated in wren/still', suffix: '-sensors-2' });
  });

  it('a turn that is zero at P1 by definition is not called a match there, its values later are compared', () => {
    const verdictOf = (part: (typeof parts)[number], quantity: string, position: string) =>
      part.rows.find((row) => row.quantity === quantity && row.position === position && row.basis === 'value')!;
    expect(verdictOf(parts[0]!, 'thorax.turn', 'P1').verdict).not.toBe('none');
    for (const quantity of ['pelvis.turn', 'thorax.turn', 'turn_difference']) {
      expect(verdictOf(parts[1]!, quantity, 'P1')).toMatchObject({
        verdict: 'none',
        reason: expect.stringMatching(/zero by definition/) as string,
      });
      expect(verdictOf(parts[1]!, quantity, 'P4').verdict).not.toBe('none');
    }
    expect(verdictOf(parts[1]!, 'thorax.side_bend', 'P1').verdict).not.toBe('none');
    const tied = compareParts(sensorsOf('again', 0, ', headings of the file'), PLAN)[0]!;
    expect(verdictOf(tied, 'pelvis.turn', 'P1').verdict).toBe('none');
    expect(verdictOf(tied, 'thorax.turn', 'P1').verdict).not.toBe('none');
    expect(verdictOf(tied, 'turn_difference', 'P1').verdict).not.toBe('none');
  });

  it('no swing stands in two parts, and no part mixes zeros: each has the differences of its own swings', () => {
    const trials = parts.map(({ group, reference }) => [...group.trials, ...reference.trials]);
    expect(trials.map((list) => list.length)).toEqual([12, 12, 12]);
    expect(new Set(trials.flat()).size).toBe(36);
    for (const part of parts.slice(1)) {
      for (const row of part.rows.filter(({ difference, basis }) => difference !== null && basis === 'value')) {
        const own = parts[0]!.rows.find(
          (one) => one.quantity === row.quantity && one.position === row.position && one.basis === row.basis,
        )!;
        // both sides are moved alike, so a difference stays; mixed zeros would add 20 units to one side
        expect(row.difference!).toBeCloseTo(own.difference!, 6);
      }
    }
  });

  it('sensors alone have the plain name of the player', () => {
    expect(compareParts(FIRST, PLAN).map(({ part }) => [part.source, part.label, part.suffix])).toEqual([
      ['sensors', '', ''],
    ]);
    expect(compareParts([...FIRST, ...SECOND], PLAN).map(({ part }) => part.suffix)).toEqual(['', '-sensors-2']);
  });

  it('a driver with sensors is not compared with irons with markers', () => {
    const mixed = [
      ...FIRST.filter(({ head }) => head.kind === 'driver'),
      ...MARKERS.filter(({ head }) => head.kind === 'iron'),
    ];
    expect(compareParts(mixed, PLAN).map(({ reason, rows }) => [reason, rows.length])).toEqual([
      ['no swing of the driver', 0],
      ['no swing of the irons', 0],
    ]);
  });

  it('a player without any swing has one part, which says so; other players are passed over', () => {
    const others = MARKERS.map((record) => ({ ...record, head: { ...record.head, player: 'lark' } }));
    const [only, ...more] = compareParts(others, PLAN);
    expect(more).toEqual([]);
    expect(only).toMatchObject({ reason: 'no swing of the driver', part: { label: '', suffix: '', datum: null } });
  });
});
