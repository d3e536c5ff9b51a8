import { describe, expect, it } from 'vitest';
import { readDay } from '../../../src/day/readDay.ts';

const FILES = ['s/1.c3d', 's/2.c3d', 's/3.c3d'];

function reading(rows: string, more = '') {
  const text = `swingbasis: 1\nday: d\n${more}players: [{id: wren}]\nclubs: [{id: dr, kind: driver}]\ntrials:\n${rows}`;
  return readDay(text, { file: 'day.yaml', listing: FILES });
}

const PATTERN = '  - {pattern: s/*.c3d, club: dr, set: first}\n';

describe('gate of a trial', () => {
  it('by file takes its file out of the pattern, keeps the settings and the place among the swings', () => {
    const before = reading(`  - {file: s/2.c3d, gate: accept, note: seen}\n${PATTERN}`);
    const after = reading(`${PATTERN}  - {file: s/2.c3d, gate: accept, note: seen}\n`);
    expect([before.problems, after.problems]).toEqual([[], []]);
    expect(before.plan!.trials).toEqual(after.plan!.trials);
    expect(
      after.plan!.trials.map(({ id, gate, note, club, set, order }) => [id, gate, note, club, set, order]),
    ).toEqual([
      ['s/1', undefined, '', 'dr', 'first', 0],
      ['s/2', 'accept', 'seen', 'dr', 'first', 1],
      ['s/3', undefined, '', 'dr', 'first', 2],
    ]);
  });
  it('of a pattern is that of each of its files', () => {
    const { plan } = reading('  - {pattern: s/*.c3d, club: dr, gate: reject, note: wind}\n');
    expect(plan!.trials.map(({ gate, note }) => [gate, note])).toEqual(FILES.map(() => ['reject', 'wind']));
  });
  it.each([
    ['gate: accept\n', '"gate" is not a key in a day file'],
    ['gates: {head-speed-hig: 3}\n', 'head-speed-high'],
    ['gates: {marker-noise: [1, 2]}\n', 'give a limit in mm, or off'],
    ['gates: {backswing-time: 3}\n', 'give the lowest and the highest in s, as [0.3, 2.5], or off'],
    ['gates: {backswing-time: [3, 1]}\n', 'give the lowest and the highest in s'],
    ['gates: {no-top: 3}\n', 'gates.no-top: 3 is none of off'],
  ])('%j is refused with what to write', (more, words) => {
    const { plan, problems } = reading(PATTERN, more);
    expect(plan).toBeNull();
    expect(problems.map(({ message }) => message).join('\n')).toContain(words);
    expect(problems[0]!.line).toBe(3);
  });
  it('limits are taken as they stand', () => {
    const gates = 'gates: {marker-noise: 4, backswing-time: [0.2, 3], no-top: off}\n';
    expect(reading(PATTERN, gates).plan!.gates).toEqual({
      'marker-noise': 4,
      'backswing-time': [0.2, 3],
      'no-top': 'off',
    });
    expect(reading(PATTERN).plan!.gates).toBeUndefined();
  });
});
