import { cpSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import { textBox } from '../../../src/report/drawing/draw.ts';
import { PAGE, type TextSize } from '../../../src/report/drawing/theme.ts';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';
import { outsidePage, overlappingPairs } from '../../support/svgText.ts';

const SAMPLES = join(import.meta.dirname, '../../../samples/day');
const scratch = scratchFolder();
const may = join(scratch, 'may', 'results');
const june = join(scratch, 'june', 'results');
const september = join(scratch, 'september', 'results');
const RADIAN = Math.PI / 180;

const DAY = `swingbasis: 1
day: one bird
date: 2026-05-16
lab: {up: +Z, target: +X, units: mm}
players: [{id: plover, hand: right, sex: male, height_m: 1.8, mass_kg: 81, static: plover/0-static}]
clubs:
  - {id: driver, kind: driver, length_m: 1.143, face_centre_mm: [46.067, -15.125, 13.003]}
  - {id: iron7, kind: iron, length_m: 0.94, face_centre_mm: [46.338, 22.305, 16.257]}
  - {id: iron5, kind: iron, length_m: 0.965, face_centre_mm: [46.338, 22.305, 16.257]}
trials:
  - {file: plover/0-static.c3d, role: static}
  - {pattern: plover/1-driver-*.c3d, club: driver}
  - {pattern: plover/2-iron7-*.c3d, club: iron7}
  - {pattern: plover/3-driver-*.c3d, club: driver}
  - {pattern: plover/4-iron5-*.c3d, club: iron5}
compare: {resamples: 100}
`;

function editRun(folder: string, change: (text: string) => string): void {
  const path = join(folder, 'run.json');
  writeFileSync(path, change(readFileSync(path, 'utf8')));
}

/** A later day made from the first: pelvis markers 4° off, and the driver's pelvis bent less by so much at the top. */
function laterDay(folder: string, date: string, less_deg: number): void {
  cpSync(may, folder, { recursive: true });
  editRun(folder, (text) => text.replace('"date":"2026-05-16"', `"date":"${date}"`));
  for (const name of readdirSync(join(folder, 'trials/plover')).filter((one) => one !== '0-static.json')) {
    const path = join(folder, 'trials/plover', name);
    const record = JSON.parse(readFileSync(path, 'utf8')) as {
      head: { kind: string };
      cells: { quantity: string; position: string; value: number | null }[];
    };
    for (const cell of record.cells) {
      if (cell.quantity !== 'pelvis.forward_bend' || cell.value === null) continue;
      cell.value += 4 * RADIAN;
      if (record.head.kind === 'driver' && cell.position === 'P4') cell.value -= less_deg * RADIAN;
    }
    writeFileSync(path, JSON.stringify(record));
  }
}

type Row = Readonly<Record<string, string>>;
function rowsOf(folder: string): readonly Row[] {
  const text = readFileSync(join(folder, 'tables/sessions.csv'), 'utf8').replace(/"[^"]*"/g, '');
  const [head, ...lines] = text.trimEnd().split('\r\n');
  return lines.map((line) => Object.fromEntries(head!.split(',').map((name, i) => [name, line.split(',')[i]!])));
}

beforeAll(async () => {
  writeFileSync(join(scratch, 'day.yaml'), DAY);
  const done = await cli('process', join(scratch, 'day.yaml'), '--data', SAMPLES, '--out', may);
  expect(done.code, done.stderr).toBe(0);
  laterDay(june, '2026-06-30', 2);
  laterDay(september, '2026-09-12', 6);
}, 120_000);

describe('several days of a player', () => {
  const out = join(scratch, 'sessions');

  it('are compared with the first by date, whatever the order of the folders', async () => {
    const done = await cli('compare', september, may, june, '--out', out);
    expect(done).toMatchObject({ code: 0, stderr: '' });
    expect([...contentsOf(out).keys()]).toEqual([
      '.store/files.json',
      'index.html',
      'players/plover-2026-05-16-2026-06-30.svg',
      'players/plover-2026-05-16-2026-09-12.svg',
      'run.json',
      'tables/datapackage.json',
      'tables/sessions.csv',
    ]);
    expect(done.stdout).toMatch(/^plover, 2026-06-30: .*\nplover, 2026-09-12: /);
    const turned = await cli('compare', may, june, september, '--out', join(scratch, 'turned'));
    expect(turned.stdout.replace('turned', 'sessions')).toBe(done.stdout);
    expect(contentsOf(join(scratch, 'turned')).get('tables/sessions.csv')).toEqual(
      contentsOf(out).get('tables/sessions.csv'),
    );
  });
  it('what was put in comes out: the gap at the top closes by 6° while markers moved both groups by 4°', () => {
    const rows = rowsOf(out).filter(
      (row) =>
        row['after'] === '2026-09-12' &&
        row['quantity'] === 'pelvis.forward_bend' &&
        row['position'] === 'P4' &&
        row['basis'] === 'value',
    );
    expect(
      rows.map(({ measure, change, margin, reapplication, verdict }) => [
        measure,
        change,
        margin,
        reapplication,
        verdict,
      ]),
    ).toEqual([
      ['group', '-2.000', '7.000', '5.000', 'matches'],
      ['reference', '4.000', '7.000', '5.000', 'matches'],
      ['gap', '-6.000', '2.000', '0.000', 'departs'],
    ]);
    const gap = rows[2]!;
    const [was, is] = [Number(gap['value_before']), Number(gap['value_after'])];
    expect(Number(gap['closed'])).toBeCloseTo((100 * (was - is)) / was, 1);
    expect(Number(gap['closed_low95'])).toBeLessThan(Number(gap['closed']));
    expect([rows[0]!['closed'], gap['n_before'], rows[0]!['n_before']]).toEqual(['', '', '8']);
    expect(rowsOf(out).length % 6).toBe(0);
  });
  it('the sheet tells it in words and numbers, no text overlaps another or leaves the page', () => {
    const svg = readFileSync(join(out, 'players/plover-2026-05-16-2026-09-12.svg'), 'utf8');
    const parsed = new JSDOM(svg, { contentType: 'image/svg+xml' }).window.document;
    const sizes: Readonly<Record<string, TextSize>> = { '14': 'large', '9': 'middle', '7': 'small' };
    const texts = [...parsed.querySelectorAll('text')].map((element) => {
      const weight = element.getAttribute('font-weight') === 'bold' ? ('bold' as const) : ('regular' as const);
      const anchor = (element.getAttribute('text-anchor') ?? 'start') as 'start';
      const style = { size: sizes[element.getAttribute('font-size')!]!, weight, anchor };
      const text = element.textContent ?? '';
      return { text, box: textBox(text, Number(element.getAttribute('x')), Number(element.getAttribute('y')), style) };
    });
    expect(texts.length).toBeGreaterThan(40);
    expect(overlappingPairs(texts, 0.02)).toEqual([]);
    expect(outsidePage(texts, PAGE.width, PAGE.height, 0)).toEqual([]);
    expect(svg).toContain('Pelvis forward bend at P4');
    expect(svg).toMatch(/% closed|gap of/);
    expect(svg).not.toMatch(/<script|href=/);
  });
  it('the page shows every sheet with its finding, and run.json the days it was made from', () => {
    const page = readFileSync(join(out, 'index.html'), 'utf8');
    expect(page).toContain('players/plover-2026-05-16-2026-06-30.svg');
    expect(page).not.toMatch(/<script|https?:\/\/(?!www\.w3\.org)/);
    const run = JSON.parse(readFileSync(join(out, 'run.json'), 'utf8')) as { days: unknown; options: unknown };
    expect(run.days).toMatchObject([
      { folder: 'results', date: '2026-09-12' },
      { folder: 'results-2', date: '2026-05-16' },
      { folder: 'results-3', date: '2026-06-30' },
    ]);
    expect(run.options).toEqual({ of: null, against: null, player: null, reapplication: null });
  });
  it('re-application is set by quantity, other groups by name', async () => {
    const set = join(scratch, 'set');
    const flags = [
      '--reapplication',
      'pelvis.forward_bend=0.5, thorax.turn=0',
      '--of',
      'iron5',
      '--against',
      'irons',
      '--player',
      'plover',
    ];
    const done = await cli('compare', may, september, ...flags, '--out', set);
    expect(done.code, done.stderr).toBe(0);
    const own = rowsOf(set).filter(({ measure }) => measure === 'group');
    expect(new Set(own.map(({ group, reference }) => `${group} / ${reference}`))).toEqual(
      new Set(['iron5 / other irons']),
    );
    const of = (quantity: string) => own.find((row) => row['quantity'] === quantity)!;
    expect([of('pelvis.forward_bend')['margin'], of('thorax.turn')['margin'], of('pelvis.turn')['margin']]).toEqual([
      '2.500',
      '2.000',
      '5.000',
    ]);
  });
  it('re-application of the last day’s file holds, what the command says goes before it', async () => {
    const own = join(scratch, 'own', 'results');
    cpSync(september, own, { recursive: true });
    editRun(own, (text) =>
      text.replace('"attackBand_deg":', '"reapplication":{"pelvis.turn":1,"thorax.turn":1},"attackBand_deg":'),
    );
    const set = join(scratch, 'from file');
    const done = await cli('compare', may, own, '--reapplication', 'thorax.turn=4', '--out', set);
    expect(done.code, done.stderr).toBe(0);
    const margin = (quantity: string) => rowsOf(set).find((row) => row['quantity'] === quantity)!['margin'];
    expect([margin('pelvis.turn'), margin('thorax.turn'), margin('thorax.side_bend')]).toEqual([
      '3.000',
      '6.000',
      '5.000',
    ]);
  });
  describe('with a static trial each', () => {
    const zeroed = join(scratch, 'zeroed', 'results');
    const still = join(zeroed, 'trials/plover/0-static.json');
    /** What the second day's static trial shows: its own file, the same 4° as the swings, and a head that moves. */
    const write = (): void => {
      const record = JSON.parse(readFileSync(join(may, 'trials/plover/0-static.json'), 'utf8')) as {
        sha256: string;
        angles: { quantity: string; value: number; range: number; flags: string[] }[];
      };
      record.sha256 = 'of another file';
      for (const angle of record.angles) {
        if (angle.quantity === 'pelvis.forward_bend') angle.value += 4 * RADIAN;
        if (angle.quantity === 'head.side_bend') Object.assign(angle, { range: 5 * RADIAN, flags: ['moves'] });
      }
      writeFileSync(still, JSON.stringify(record));
    };
    const lines = (folder: string, quantity: string, position = 'P4') =>
      rowsOf(folder)
        .filter((row) => row['quantity'] === quantity && row['position'] === position && row['basis'] === 'value')
        .map(({ measure, change, margin, reapplication, zero }) => [measure, change, margin, reapplication, zero]);
    const sheetOf = (folder: string): string =>
      readFileSync(join(folder, 'players/plover-2026-05-16-2026-09-12.svg'), 'utf8').replace(
        /<\/text>\s*<text[^>]*>/g,
        ' ',
      );
    beforeAll(() => {
      cpSync(september, zeroed, { recursive: true });
      write();
    });

    it('angles of the trunk and head are zeroed on them, with the plain margin; gaps are what they were', async () => {
      const told = join(scratch, 'told');
      const done = await cli('compare', may, zeroed, '--out', told);
      expect(done).toMatchObject({ code: 0, stderr: '' });
      expect(lines(told, 'pelvis.forward_bend')).toEqual([
        ['group', '-6.000', '2.000', '0.000', 'static trials'],
        ['reference', '0.000', '2.000', '0.000', 'static trials'],
        ['gap', '-6.000', '2.000', '0.000', ''],
      ]);
      const [row] = rowsOf(told).filter((one) => one['quantity'] === 'pelvis.forward_bend' && one['position'] === 'P4');
      const [was, is] = ['static_before', 'static_after'].map((name) => Number(row![name]));
      expect(is! - was!).toBeCloseTo(4, 2);
      // which way a player faces in a static trial is not fixed; a head that moves there is no zero
      for (const quantity of ['pelvis.turn', 'head.side_bend', 'thorax.inclination', 'lead_knee.flexion']) {
        expect(lines(told, quantity)[1]!.slice(2), quantity).toEqual(['5.000', '3.000', '']);
      }
      const gaps = (folder: string) =>
        rowsOf(folder).filter(({ measure, after }) => measure === 'gap' && after === '2026-09-12');
      expect(gaps(told)).toEqual(gaps(out));
      expect(sheetOf(told)).toContain('angles of the trunk and head zeroed on the static trials of both days');
      expect(sheetOf(told)).toContain('head side bend (moves by 5.0° in that of 2026-09-12)');
      const page = readFileSync(join(told, 'index.html'), 'utf8');
      expect(page).toContain('zeroed on the static trials of both days');
    });
    it('a re-application that is set holds in place of the zero', async () => {
      const set = join(scratch, 'set beside zero');
      await cli('compare', may, zeroed, '--reapplication', 'pelvis.forward_bend=1', '--out', set);
      expect(lines(set, 'pelvis.forward_bend')[1]).toEqual(['reference', '4.000', '3.000', '1.000', '']);
      expect(lines(set, 'thorax.forward_bend')[1]!.slice(2)).toEqual(['2.000', '0.000', 'static trials']);
    });
    it.each<[string, () => void, string, string]>([
      ['that the results do not hold', () => rmSync(still), '', 'the results of 2026-09-12 hold no angles of one'],
      [
        'whose record is damaged',
        () => writeFileSync(still, readFileSync(still).subarray(0, 200)),
        'trials/plover/0-static.json: it is damaged: no whole JSON text; nothing is zeroed on it',
        'the results of 2026-09-12 hold no angles of one',
      ],
      [
        'of another player',
        () => writeFileSync(still, readFileSync(still, 'utf8').replace('"player":"plover"', '"player":"dunlin"')),
        '',
        'the results of 2026-09-12 hold no angles of one',
      ],
      [
        'that is the file of the first day',
        () => cpSync(join(may, 'trials/plover/0-static.json'), still),
        '',
        'both days rest on one file',
      ],
      [
        'with other landmarks than the swings',
        () => writeFileSync(still, readFileSync(still, 'utf8').replace('ASIS and PSIS', 'ASIS and sacrum')),
        '',
        'rests on other landmarks than that of the static trials',
      ],
    ])(
      'a static trial %s zeroes nothing: the margin stays enlarged, and that is said',
      async (name, change, error, why) => {
        write();
        change();
        const told = join(scratch, `not zeroed ${name}`);
        const done = await cli('compare', may, zeroed, '--out', told);
        expect(done.code).toBe(error === '' ? 0 : 1);
        expect(done.stderr).toContain(error);
        expect(lines(told, 'pelvis.forward_bend')[1]).toEqual(['reference', '4.000', '7.000', '5.000', '']);
        expect(sheetOf(told)).toContain('not zeroed on static trials');
        expect(sheetOf(told)).toContain(why);
      },
    );
  });
  it('days of unlike versions and margins are compared, and that is said on the screen and the sheet', async () => {
    const other = join(scratch, 'other', 'results');
    cpSync(september, other, { recursive: true });
    editRun(other, (text) =>
      text.replace(/"version":"[^"]*"/, '"version":"9.9.9"').replace('"margins":{}', '"margins":{"pelvis.turn":4}'),
    );
    const mixed = join(scratch, 'mixed');
    const done = await cli('compare', may, other, '--out', mixed);
    expect(done.code).toBe(0);
    expect(done.stderr).toContain('The days differ in the version of the program');
    expect(done.stderr).toContain('The days differ in margins');
    const sheet = readFileSync(join(mixed, 'players/plover-2026-05-16-2026-09-12.svg'), 'utf8');
    expect(sheet.replace(/<\/text>\s*<text[^>]*>/g, ' ')).toContain('The days differ in the version of the program');
    expect(rowsOf(mixed).find((row) => row['quantity'] === 'pelvis.turn')!['margin']).toBe('7.000');
  });
  it.each<[string, () => readonly string[], string]>([
    ['one folder twice', () => [may, may], 'is named twice'],
    ['the output is a folder that is read', () => [may, june, '--out', june], 'is a folder that is read'],
    ['no such folder', () => [may, join(scratch, 'nowhere')], 'there is no folder'],
    [
      'nobody of that name',
      () => [may, june, '--player', 'heron'],
      '--player: heron is not in two of the days; these are: plover',
    ],
    [
      'names nothing',
      () => [may, june, '--of', 'drivr', '--against', 'irons'],
      '--of: "drivr" is no club, kind or set of these swings; did you mean driver?',
    ],
    ['half of a pair', () => [may, june, '--of', 'driver'], '--of driver needs --against NAME'],
    [
      'unknown quantity',
      () => [may, june, '--reapplication', 'pelvis.trn=3'],
      '--reapplication: no quantity is called "pelvis.trn"; did you mean pelvis.turn?',
    ],
    [
      'no number',
      () => [may, june, '--reapplication', 'pelvis.turn'],
      '"pelvis.turn" needs a number from 0 up, such as pelvis.turn=2',
    ],
    ['a share', () => [may, june, '--reapplication', 'club.head_speed=1'], 'is a share of the mean'],
    ['one day', () => [may, '--reapplication', 'pelvis.turn=3'], '--reapplication belongs to several folders'],
    ['columns of a table', () => [may, june, '--by', 'view'], '--by belongs to --table FILE'],
  ])('%s: exit code 2', async (_, args, message) => {
    const flags = args().includes('--out') ? args() : [...args(), '--out', join(scratch, 'none')];
    const { code, stdout, stderr } = await cli('compare', ...flags);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
  });
  it('a day without a date, two of one date, and days without a player in common are refused', async () => {
    const odd = join(scratch, 'odd', 'results');
    cpSync(june, odd, { recursive: true });
    editRun(odd, (text) => text.replace('"date":"2026-06-30"', '"date":null'));
    const none = await cli('compare', may, odd, '--out', join(scratch, 'none'));
    expect(none).toMatchObject({
      code: 2,
      stderr: expect.stringContaining('has no date: set date in its day file') as string,
    });
    editRun(odd, (text) => text.replace('"date":null', '"date":"2026-05-16"'));
    const twice = await cli('compare', may, odd, '--out', join(scratch, 'none'));
    expect(twice).toMatchObject({ code: 2, stderr: expect.stringContaining('are both of 2026-05-16') as string });
    editRun(odd, (text) => text.replace('"2026-05-16"', '"2026-07-01"').replaceAll('"id":"plover"', '"id":"dunlin"'));
    const nobody = await cli('compare', may, odd, '--out', join(scratch, 'none'));
    expect(nobody).toMatchObject({
      code: 2,
      stderr: expect.stringContaining('no player is in two of the days') as string,
    });
  });
});
