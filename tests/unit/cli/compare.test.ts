import { cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const SAMPLES = join(import.meta.dirname, '../../../samples/day');
const scratch = scratchFolder();
const results = join(scratch, 'results');

/** Two players of the sample day, one left-handed, one with gaps; each with swings before and after of the driver. */
const DAY = `swingbasis: 1
day: two birds
date: 2026-05-16
lab: {up: +Z, target: +X, units: mm}
players:
  - {id: heron, hand: left, sex: male, height_m: 1.83, mass_kg: 84, static: heron/0-static, notes: {P4: stays down}, practice: [half swings]}
  - {id: osprey, hand: right, sex: male, height_m: 1.77, mass_kg: 78, static: osprey/0-static}
clubs:
  - {id: driver, kind: driver, length_m: 1.143, face_centre_mm: [46.067, -15.125, 13.003]}
  - {id: iron7, kind: iron, length_m: 0.94, face_centre_mm: [46.338, 22.305, 16.257]}
  - {id: iron5, kind: iron, length_m: 0.965, face_centre_mm: [46.338, 22.305, 16.257]}
  - {id: driver-left, kind: driver, length_m: 1.143, face_centre_mm: [46.067, -15.125, -13.003]}
  - {id: iron7-left, kind: iron, length_m: 0.94, face_centre_mm: [46.338, 22.305, -16.257]}
  - {id: iron5-left, kind: iron, length_m: 0.965, face_centre_mm: [46.338, 22.305, -16.257]}
trials:
${['heron', 'osprey']
  .flatMap((id) => [
    `{file: ${id}/0-static.c3d, player: ${id}, role: static}`,
    ...['1-driver-*, set: before', '2-iron7-*', '3-driver-*, set: after', '4-iron5-*'].map((row) => {
      const [pattern, set = ''] = row.split(', ');
      const club = `${pattern!.split('-')[1]}${id === 'heron' ? '-left' : ''}`;
      return `{pattern: ${id}/${pattern}.c3d, player: ${id}, club: ${club}${set === '' ? '' : `, ${set}`}}`;
    }),
    ...(id === 'osprey'
      ? [
          '{file: osprey/5-practice.c3d, player: osprey, club: driver, use: no, note: practice}',
          '{file: osprey/1-driver-2.c3d, player: osprey, gate: accept, note: seen by eye}',
          '{file: osprey/4-iron5-4.c3d, player: osprey, gate: reject, note: topped}',
        ]
      : []),
  ])
  .map((row) => `  - ${row}`)
  .join('\n')}
gates: {marker-noise: 1, tempo-ratio: off}
report: {speed: mph}
compare:
  resamples: 200
  checkpoints: rules.yaml
  groups:
    - {of: "driver,after", against: "driver,before", name: work}
    - {of: "iron5,iron5-left", against: irons}
`;

const RULES = `swingbasis: 1
checkpoints:
  - {name: up, quantity: club.attack, band: {low: -2, high: 3, severe_high: 5}, clubs: [driver]}
  - {name: back over the ball, quantity: thorax.forward_bend, change: [P1, P5.5], against: reference}
  - {name: head, quantity: head.side_bend, change: [P4, P7], without_turn: yes, band: {high: 2}}
  - {name: late, quantity: thorax.forward_bend, begins_to_fall: [P4, P8], band: {low: 5.5, high: 6.5}}
`;

const FIELDS = ['player', 'group', 'reference', 'quantity', 'position', 'basis', 'difference', 'verdict'] as const;
type Row = Readonly<Record<(typeof FIELDS)[number], string>>;

/** Rows of a comparison table whose texts hold no comma or quote in the fields read. */
function rowsOf(folder: string): readonly Row[] {
  const [head, ...lines] = readFileSync(join(folder, 'tables/comparison.csv'), 'utf8').trimEnd().split('\r\n');
  const names = head!.split(',');
  return lines.map((line) => {
    const cells = [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].map((match) => match[1]!.replace(/^"|"$/g, ''));
    return Object.fromEntries(FIELDS.map((field) => [field, cells[names.indexOf(field)]!])) as Row;
  });
}

beforeAll(async () => {
  mkdirSync(scratch, { recursive: true });
  writeFileSync(join(scratch, 'day.yaml'), DAY);
  writeFileSync(join(scratch, 'rules.yaml'), RULES);
  const done = await cli('process', join(scratch, 'day.yaml'), '--data', SAMPLES);
  // one swing is rejected by hand
  expect(done.code, done.stderr).toBe(1);
}, 120_000);

describe('a day compared again from what is stored', () => {
  it('gives the sheets, the page and the tables of process, byte by byte, without the captures', async () => {
    const out = join(scratch, 'again');
    const done = await cli('compare', results, '--out', out);
    expect(done).toMatchObject({ code: 0, stderr: '' });
    const first = contentsOf(results);
    const again = contentsOf(out);
    const shown = [...first.keys()].filter((path) =>
      /^(index\.html|players\/|tables\/(comparison|checkpoints)\.)/.test(path),
    );
    expect(shown.length).toBe(21);
    const checkpoints = first.get('tables/checkpoints.csv')!.toString().trimEnd().split('\r\n');
    expect(checkpoints).toHaveLength(1 + 4 * 6);
    expect(checkpoints.filter((line) => line.includes(',the rule is for driver only,'))).toHaveLength(2);
    const descriptor = 'tables/datapackage.json';
    const kept = [...again.keys()].filter((path) => !/^(run\.json|\.store)/.test(path));
    expect(kept).toEqual([...shown, descriptor].toSorted());
    // the page names the tables beside it: a comparison has fewer
    const withItsTables = (page: Buffer): string =>
      page
        .toString()
        .replace(/<li><a href="(tables\/[^"]+)">[^<]*<\/a>[^<]*<\/li>/g, (line, table: string) =>
          again.has(table) ? line : '',
        );
    const index = 'index.html';
    expect(again.get(index)!.toString()).toBe(withItsTables(first.get(index)!));
    for (const path of shown.filter((path) => path !== index))
      expect(again.get(path)!.equals(first.get(path)!), path).toBe(true);
    expect(done.stdout).toContain('heron: ');
    expect(done.stdout).toContain('osprey, work: ');
    // what the gates say stands in the sheets, and is kept
    const words = (path: string): string =>
      again
        .get(path)!
        .toString()
        .replaceAll(/<[^>]*>/g, '\n');
    expect(words('players/osprey-details.svg')).toMatch(/accepted by hand: seen by eye \(found: marker noise 1\.\d mm/);
    expect(words('players/osprey-details.svg')).toContain('rejected: rejected by hand: topped');
    expect(words('players/osprey.svg')).toMatch(/ · \d+ for review \(details\)/);
    expect(words('players/heron.svg')).not.toContain('for review');
    expect(words('players/osprey.svg')).toContain('Head speed, mph');
    for (const path of ['players/heron.svg', 'players/heron-details.svg', 'players/heron.html']) {
      expect(words(path)).toContain('“stays down” (from the day file)');
      expect(words(path)).toContain('“half swings”');
    }
    expect(done.stdout).toContain('again/index.html');
  });
  it('says in run.json what it was made from, and nothing of where', async () => {
    const out = join(scratch, 'again');
    const text = readFileSync(join(out, 'run.json'), 'utf8');
    const run = JSON.parse(text) as Record<string, unknown>;
    expect(Object.keys(run)).toEqual([
      'program',
      'version',
      'tables',
      'command',
      'days',
      'options',
      'inputs',
      'libraries',
    ]);
    expect(run).toMatchObject({
      command: 'compare',
      days: [{ folder: 'results', day: 'two birds', date: '2026-05-16' }],
      options: { of: null, against: null, player: null },
    });
    expect((run['inputs'] as { path: string }[]).map(({ path }) => path)).toContain(
      'results/trials/heron/1-driver-1.json',
    );
    expect(text).not.toContain(scratch);
  });
});

describe('groups of the day file', () => {
  it('have sheets and rows of their own beside driver against irons', () => {
    const pairs = new Set(rowsOf(results).map(({ player, group, reference }) => `${player}: ${group} / ${reference}`));
    expect([...pairs]).toEqual(
      ['heron', 'osprey'].flatMap((id) => [
        `${id}: driver / irons`,
        `${id}: driver, set after / driver, set before`,
        `${id}: iron5, iron5-left / other irons`,
      ]),
    );
    const names = [...contentsOf(results).keys()].filter((path) => path.startsWith('players/heron'));
    expect(names).toEqual(
      [
        '-details',
        '-iron5-iron5-lef-against-irons-details',
        '-iron5-iron5-lef-against-irons',
        '-work-details',
        '-work',
        '',
      ]
        .map((ending) => `players/heron${ending}.svg`)
        .concat(['-iron5-iron5-lef-against-irons', '-work', ''].map((ending) => `players/heron${ending}.html`))
        .sort(),
    );
  });
  it('are called by their own names: no irons where there are none, no longer club where it is the same', () => {
    const sheets = contentsOf(results);
    const work =
      sheets.get('players/heron-work.svg')!.toString() + sheets.get('players/heron-work-details.svg')!.toString();
    expect(work).toContain('driver, set before');
    expect(work.replaceAll('by default those with irons', '')).not.toMatch(/\birons?\b/);
    expect(work).not.toContain('belongs to the longer club');
    expect(sheets.get('players/heron.svg')!.toString()).toContain('belongs to the longer club');
    expect(sheets.get('index.html')!.toString()).toContain('heron: driver, set after against driver, set before');
  });
});

describe('--of and --against', () => {
  it('give one iron against the others, of the player who is named', async () => {
    const out = join(scratch, 'one iron');
    const done = await cli(
      'compare',
      results,
      '--of',
      'iron5-left',
      '--against',
      'irons',
      '--player',
      'heron',
      '--out',
      out,
    );
    expect(done.code, done.stderr).toBe(0);
    const rows = rowsOf(out);
    expect(new Set(rows.map(({ player, group, reference }) => `${player}: ${group} / ${reference}`))).toEqual(
      new Set(['heron: iron5-left / other irons']),
    );
    const page = readFileSync(join(out, 'index.html'), 'utf8');
    expect(page).toContain('What differs: iron5-left against other irons');
    expect(page).not.toContain('driver against irons');
  });
  it('turned round flip the sign of every difference and no verdict, for a left-hander and one with gaps', async () => {
    const turned = join(scratch, 'turned');
    const done = await cli('compare', results, '--of', 'irons', '--against', 'driver', '--out', turned);
    expect(done.code, done.stderr).toBe(0);
    const first = rowsOf(results).filter(({ group, reference }) => group === 'driver' && reference === 'irons');
    const back = rowsOf(turned);
    expect(back.length).toBe(first.length);
    const negative = (text: string): string =>
      text === '' || Number(text) === 0 ? text.replace('-', '') : text.startsWith('-') ? text.slice(1) : `-${text}`;
    back.forEach((row, index) => {
      const { difference, ...other } = first[index]!;
      expect(row).toEqual({ ...other, difference: negative(difference), group: 'irons', reference: 'driver' });
    });
    expect(new Set(first.map(({ verdict }) => verdict))).toEqual(
      new Set(['departs', 'matches', 'differs-slightly', 'undecided', 'none']),
    );
  });
  it('with words of kinds reach a left-hander’s clubs too', async () => {
    const done = await cli('compare', results, '--of', 'driver', '--against', 'irons', '--out', join(scratch, 'kinds'));
    expect(done.stdout).toContain('heron: ');
    expect(done.stdout).toContain('osprey: ');
  });
  it.each([
    [
      ['--of', 'irn5', '--against', 'irons'],
      '--of: "irn5" is no club, kind or set of these swings; did you mean iron5?; there are clubs driver,',
    ],
    [
      ['--of', 'driver', '--against', 'later'],
      '--against: "later" is no club, kind or set of these swings; there are clubs driver, iron7, iron5, driver-left, iron7-left, iron5-left; sets after, before; kinds driver,',
    ],
    [['--of', 'driver'], '--of driver needs --against NAME'],
    [['--against', 'driver'], '--against driver needs --of NAME'],
    [['--player', 'herno'], '--player: '],
    [['--player', 'herno'], 'has no player herno; did you mean heron?; there are heron, osprey'],
    [['--of', 'iron7', '--against', 'iron5', '--player', 'heron'], 'heron has no swings of iron7 or iron5'],
  ])('%j: exit code 2 and what there is', async (flags, message) => {
    const { code, stdout, stderr } = await cli('compare', results, ...flags, '--out', join(scratch, 'none'));
    expect(code).toBe(2);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
  });
  it('one side without a swing of the player is said, not refused', async () => {
    const flags = ['--of', 'iron7', '--against', 'driver', '--player', 'heron'];
    const done = await cli('compare', results, ...flags, '--out', join(scratch, 'one side'));
    expect(done).toMatchObject({ code: 0, stderr: '' });
    expect(done.stdout).toContain('heron: no comparison: no swing of the iron7');
  });
});

describe('results that cannot be used', () => {
  it.each([
    ['a folder that is not there', () => join(scratch, 'nowhere'), 'there is no folder'],
    ['a file', () => join(scratch, 'day.yaml'), 'is a file; name the folder that process wrote'],
    [
      'captures',
      () => join(SAMPLES, 'heron'),
      'is no results of a processed day: run.json cannot be read: it does not exist',
    ],
    [
      'a comparison',
      () => join(scratch, 'again'),
      'holds a comparison, not a processed day; name the folder that process wrote',
    ],
  ])('%s: exit code 2', async (_, folder, message) => {
    const { code, stderr } = await cli('compare', folder(), '--out', join(scratch, 'none'));
    expect(code).toBe(2);
    expect(stderr).toContain(message);
  });
  it('the folder that is read is never written, and a processed day never replaced', async () => {
    const same = await cli('compare', results, '--out', results);
    expect(same).toMatchObject({ code: 2, stderr: expect.stringContaining('is the folder that is read') as string });
    const other = join(scratch, 'other day');
    cpSync(results, other, { recursive: true });
    const refused = await cli('compare', results, '--out', other);
    expect(refused.code).toBe(2);
    expect(refused.stderr).toContain('holds the results of a day, which stays; choose another with --out');
    const turned = await cli('process', join(scratch, 'day.yaml'), '--data', SAMPLES, '--out', join(scratch, 'again'));
    expect(turned.code).toBe(2);
    expect(turned.stderr).toContain('holds a comparison, which stays');
  });
  it('a damaged record, one under another name and one that is gone cost a line each; the rest is compared, exit code 1', async () => {
    const hurt = join(scratch, 'hurt');
    cpSync(results, hurt, { recursive: true });
    const at = (name: string): string => join(hurt, 'trials/heron', `${name}.json`);
    writeFileSync(at('1-driver-1'), readFileSync(at('1-driver-1')).subarray(0, 500));
    writeFileSync(at('1-driver-2'), readFileSync(at('1-driver-3')));
    const wrong = JSON.parse(readFileSync(at('2-iron7-1'), 'utf8')) as { cells: { unit: string }[] };
    wrong.cells[3]!.unit = 'furlong';
    writeFileSync(at('2-iron7-1'), JSON.stringify(wrong));
    rmSync(at('4-iron5-1'));
    const done = await cli('compare', hurt, '--out', join(scratch, 'from hurt'));
    expect(done.code).toBe(1);
    for (const message of [
      '1-driver-1.json: it is damaged: no whole JSON text; left out',
      '1-driver-2.json: it is the record of heron/1-driver-3 under another name; left out',
      '2-iron7-1.json: it does not hold what a stored record holds (cells.3.unit); left out',
      '1 of 31 stored records are not there any more',
    ])
      expect(done.stderr).toContain(message);
    expect(done.stdout).toContain('osprey: ');
  });
  it('a day of other tables, and a run record that is none, are told: exit code 2', async () => {
    const later = join(scratch, 'later');
    cpSync(join(results, 'run.json'), join(later, 'run.json'));
    const text = readFileSync(join(results, 'run.json'), 'utf8');
    for (const [changed, message] of [
      [
        text.replace('"tables":1', '"tables":2'),
        'with tables 2, and this program reads tables 1; process the day again',
      ],
      ['{"program":"other","version":"1","tables":1}', 'this is no run record of this program'],
      [text.replace(/"margins":\{\}/, '"margins":{"pelvis.turn":-1}'), 'comparison.options.margins.pelvis.turn'],
      [text, 'holds no stored record of a swing that can be used'],
    ] as const) {
      writeFileSync(join(later, 'run.json'), changed);
      const { code, stderr } = await cli('compare', later, '--out', join(scratch, 'none'));
      expect(code).toBe(2);
      expect(stderr).toContain(message);
    }
  });
});
