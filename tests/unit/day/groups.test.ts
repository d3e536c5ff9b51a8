import { describe, expect, it } from 'vitest';
import { readDay } from '../../../src/day/readDay.ts';

function day(groups: string, players = '[{id: wren}]') {
  const text = `swingbasis: 1
day: d
players: ${players}
clubs: [{id: driver, kind: driver}, {id: iron5, kind: iron}, {id: 7, kind: iron}]
trials:
  - {file: a.c3d, player: wren, club: driver, set: before}
  - {file: b.c3d, player: wren, club: driver, set: 2}
  - {file: c.c3d, player: wren, club: iron5}
  - {file: d.c3d, player: wren, club: 7}
  - {file: e.c3d, player: wren, club: iron5, set: omitted, use: no}
compare:
  groups:
${groups}
`;
  return readDay(text, { file: 'day.yaml', listing: ['a.c3d', 'b.c3d', 'c.c3d', 'd.c3d', 'e.c3d'] });
}

describe('compare.sessions of a day file', () => {
  const sessions = (reapplication: string) =>
    readDay(
      `swingbasis: 1\nday: d\nplayers: [{id: wren}]\ncompare:\n  margins: {club.head_speed: 1}\n  sessions:\n    reapplication: ${reapplication}\ntrials: [{file: a.c3d}]\n`,
      { file: 'day.yaml', listing: ['a.c3d'] },
    );
  it('sets what markers put on again may move; nothing is stored where it is not set', () => {
    expect(sessions('{pelvis.turn: 2, club.head_speed: 0.5}').plan!.compare.reapplication).toEqual({
      'pelvis.turn': 2,
      'club.head_speed': 0.5,
    });
    expect(Object.hasOwn(day('    []').plan!.compare, 'reapplication')).toBe(false);
  });
  it.each([
    ['{pelvis.trn: 2}', 'no quantity is called pelvis.trn; did you mean pelvis.turn?'],
    ['{pelvis.turn: -1}', '0'],
    ['{body.speed: 1}', 'the margin of body.speed is a share of the mean; markers put on again add nothing to it'],
  ])('%s is refused at its line', (text, message) => {
    const { plan, problems } = sessions(text);
    expect(plan).toBeNull();
    expect(problems.map(({ line }) => line)).toEqual([7]);
    expect(problems[0]!.message).toContain(message);
  });
});

describe('compare.groups of a day file', () => {
  it('names comparisons by clubs, kinds and sets, numbers as text', () => {
    const { plan, problems } = day(
      '    - {of: 7, against: irons}\n    - {of: "driver,2", against: "driver,before", name: Main}',
    );
    expect(problems).toEqual([]);
    expect(plan!.groups).toEqual([
      {
        name: '7-against-irons',
        of: { label: '7', clubs: ['7'] },
        against: { label: 'other irons', kinds: ['iron'], except: { label: '7', clubs: ['7'] } },
      },
      {
        name: 'main',
        of: { label: 'driver, set 2', kinds: ['driver'], sets: ['2'] },
        against: { label: 'driver, set before', kinds: ['driver'], sets: ['before'] },
      },
    ]);
  });
  it('is empty where the day file has none', () => {
    expect(day('    []').plan!.groups).toEqual([]);
  });
  it.each([
    ['{of: irn5, against: irons}', '13:12', '"irn5" is no club, kind or set of these swings; did you mean iron5?'],
    ['{of: iron5, against: omitted}', '13:28', '"omitted" is no club, kind or set'],
    ['{of: iron5, against: iron5}', '13:28', 'names the same swings'],
    ['{of: iron5, against: 7, name: details}', '13:37', 'belongs to sheets of another kind; choose another'],
    ['{of: iron5, against: 7, name: sensors-2}', '13:37', 'belongs to sheets of another kind; choose another'],
    ['{of: iron5, against: 7, name: "a b"}', '13:37', 'an id is 1 to 40 letters'],
    ['{of: iron5, agianst: 7}', '13:19', 'did you mean against?'],
  ])('%s has its problem at its place', (group, place, message) => {
    const { plan, problems } = day(`    - ${group}`);
    expect(plan).toBeNull();
    expect(problems.map((problem) => `${problem.line}:${problem.column} ${problem.message}`)).toContainEqual(
      expect.stringMatching(new RegExp(`^${place} .*${message.replace(/[.*+?^$(){}|[\]\\]/g, '\\$&')}`)),
    );
  });
  it('two comparisons of one name, and a sheet named like that of another player, are told', () => {
    const twice = day('    - {of: iron5, against: 7, name: one}\n    - {of: 7, against: driver, name: ONE}');
    expect(twice.problems.map(({ message }) => message)).toEqual(['the name ONE is taken; choose another']);
    const shared = day('    - {of: iron5, against: 7, name: late}', '[{id: wren}, {id: wren-late}]');
    expect(shared.problems.map(({ message }) => message)).toEqual([
      'with the name late a sheet would share a file with that of the player wren-late; choose another',
    ]);
  });
});

describe('placement of a day file', () => {
  const placed = (placement: string) =>
    readDay(`swingbasis: 1\nday: d\nplayers: [{id: wren}]\nplacement: ${placement}\ntrials: [{file: a.c3d}]\n`, {
      file: 'day.yaml',
      listing: ['a.c3d'],
    });
  it('sets allowances by quantity or by segment for every trial', () => {
    expect(placed('{pelvis: 4, lead_knee.rotation: 6}').plan!.trials[0]!.placement).toEqual({
      pelvis: 4,
      'lead_knee.rotation': 6,
    });
  });
  it('a name that is neither is refused at its line', () => {
    const { plan, problems } = placed('{pelvs: 4}');
    expect(plan).toBeNull();
    expect(problems.map(({ line }) => line)).toEqual([4]);
    expect(problems[0]!.message).toContain('no quantity or segment is called pelvs; did you mean pelvis?');
  });
});
