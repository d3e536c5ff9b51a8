import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, it } from 'vitest';
import type { TrendPoint } from '../../../src/model/trend.ts';
import { PAGE } from '../../../src/report/drawing/theme.ts';
import { renderTrendSheet } from '../../../src/report/trendSheet.ts';
import { type MadeDay, madeSwings, makeStoredDay } from '../../support/archiveDays.ts';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';
import { outsidePage, overlappingPairs, parseSvg, textsOf } from '../../support/svgText.ts';

const scratch = scratchFolder();
const archive = join(scratch, 'season');
const out = join(scratch, 'trend-wren');
type Row = Readonly<Record<string, string>>;

/** The gap shrinks from day to day while everything rises; the third day has no static trial. */
const SEASON = ['2026-03-01', '2026-03-20', '2026-05-16', '2026-06-30', '2026-09-12'].map((date, i) => ({
  day: `day ${i + 1}`,
  date,
  players: i === 1 ? ['wren', 'plover'] : ['wren'],
  seed: i + 1,
  swings: 8,
  gap: 12 - 2 * i,
  level: 20 + i,
  ...(i === 2 ? {} : { still_deg: 3 + i }),
}));
const folderOf = ({ date }: MadeDay): string => join(scratch, `results ${date}`);

function rowsOf(path: string): readonly Row[] {
  return parse(readFileSync(path, 'utf8'), { columns: true }) as Row[];
}

async function season(name: string, days: readonly MadeDay[], where = archive): Promise<void> {
  for (const made of days) {
    const folder = makeStoredDay(join(scratch, name, made.date ?? ''), made);
    const done = await cli('archive', 'add', folder, '--archive', where);
    expect(done.code, done.stderr).toBe(0);
  }
}

beforeAll(async () => {
  for (const made of SEASON) makeStoredDay(folderOf(made), made);
  await season('a', SEASON);
  const names = join(scratch, 'names.csv');
  writeFileSync(names, 'code,name\nwren,Jenny Wren\n');
  const done = await cli('archive', 'trend', 'wren', '--archive', archive, '--names', names);
  expect(done.code, done.stderr).toBe(0);
  expect(done.stdout).toMatch(
    /^wren \(Jenny Wren\): At the top \(P4\) the gap of pelvis forward bend to the irons went from/,
  );
});

describe('archive trend', () => {
  it('writes a sheet, a page, the numbers and a run record beside the archive, without a name or a script', () => {
    const files = contentsOf(out);
    expect([...files.keys()]).toEqual([
      '.store/files.json',
      'index.html',
      'players/wren-trend.svg',
      'run.json',
      'tables/datapackage.json',
      'tables/trend.csv',
    ]);
    for (const [path, bytes] of files) {
      expect(bytes.toString('utf8'), path).not.toMatch(/Jenny|plover|<script/);
      expect(bytes.toString('utf8'), path).not.toContain(scratch);
    }
    expect(files.get('index.html')!.toString('utf8')).toMatch(/Content-Security-Policy" content="default-src 'none'/);
  });

  it('says of every day what compare says of the same folders, digit for digit', async () => {
    const compared = join(scratch, 'compared');
    const done = await cli('compare', ...SEASON.map(folderOf), '--player', 'wren', '--out', compared);
    expect(done.code, done.stderr).toBe(0);
    const sessions = rowsOf(join(compared, 'tables/sessions.csv')).filter(
      (row) => row['family'] === 'primary' && row['basis'] === 'value',
    );
    const trend = new Map(
      rowsOf(join(out, 'tables/trend.csv')).map((row) => [
        `${row['date']} ${row['measure']} ${row['quantity']}@${row['position']}`,
        row,
      ]),
    );
    expect(sessions).toHaveLength(4 * 3 * 3);
    for (const row of sessions) {
      const own = trend.get(`${row['after']} ${row['measure']} ${row['quantity']}@${row['position']}`)!;
      const same: readonly (readonly [string, string])[] = [
        ['change', 'change'],
        ['change_low95', 'low95'],
        ['change_high95', 'high95'],
        ['margin', 'margin'],
        ['reapplication', 'reapplication'],
        ['p', 'p'],
        ['p_adjusted', 'p_adjusted'],
        ['p_beyond_adjusted', 'p_beyond_adjusted'],
        ['verdict_change', 'verdict'],
        ['verdict', 'verdict_after'],
        ['closed', 'closed'],
        ['closed_low95', 'closed_low95'],
        ['closed_high95', 'closed_high95'],
        ['n', 'n_after'],
        ['sd', 'sd_after'],
        ['reason', 'reason'],
      ];
      expect(same.map(([name]) => own[name])).toEqual(same.map(([, name]) => row[name]));
      // in the trend a value stands on the zero of the first day, in sessions each day's static angle is taken off
      const onFirst = Number(row['value_after']) + Number(row['static_before'] || 0);
      expect(Number(own['value'])).toBeCloseTo(onFirst, 2);
    }
  });

  it('the gap of a day with its interval is that of the day by itself, for the first day, too', async () => {
    const rows = rowsOf(join(out, 'tables/trend.csv')).filter(({ measure }) => measure === 'gap');
    const { stdout } = await cli(
      'archive',
      'query',
      "SELECT day::VARCHAR AS date, quantity, position, difference, low95, high95, verdict FROM comparison WHERE player = 'wren' AND family = 'primary' AND basis = 'value'",
      '--archive',
      archive,
    );
    const own = parse(stdout, { columns: true }) as Row[];
    expect(rows).toHaveLength(5 * 3);
    for (const row of rows) {
      const day = own.find(
        ({ date, quantity, position }) =>
          date === row['date'] && quantity === row['quantity'] && position === row['position'],
      )!;
      for (const [name, other] of [
        ['value', 'difference'],
        ['low95', 'low95'],
        ['high95', 'high95'],
      ] as const) {
        expect(Number(row[name])).toBeCloseTo(Number(day[other]), 2);
      }
      expect(row['verdict']).toBe(day['verdict']);
    }
  });

  it('the interval of a mean is that of Student for eight swings (t 0.975 with 7 degrees of freedom: 2.365, NIST/SEMATECH e-Handbook 1.3.6.7.2; the digits behind from memory)', () => {
    const [first] = SEASON;
    const values = madeSwings('wren', first!)
      .filter(({ head }) => head.kind === 'driver')
      .map(
        ({ cells }) =>
          cells.find(({ quantity, position }) => quantity === 'thorax.side_bend' && position === 'P7')!.value!,
      )
      .map((value) => (value * 180) / Math.PI);
    const mean = values.reduce((a, b) => a + b) / 8;
    const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) * (value - mean), 0) / 7);
    const half = (2.364624 * sd) / Math.sqrt(8);
    const row = rowsOf(join(out, 'tables/trend.csv')).find(
      ({ date, measure, quantity }) => date === '2026-03-01' && measure === 'group' && quantity === 'thorax.side_bend',
    )!;
    expect([row['value'], row['low95'], row['high95'], row['n']]).toEqual([
      mean.toFixed(3),
      (mean - half).toFixed(3),
      (mean + half).toFixed(3),
      '8',
    ]);
  });

  it('has the same bytes whatever the order in which days came', async () => {
    const other = join(scratch, 'other');
    await season('b', SEASON.toReversed(), other);
    await cli('archive', 'trend', 'wren', '--archive', other, '--out', join(scratch, 'again'));
    expect(contentsOf(join(scratch, 'again'))).toEqual(contentsOf(out));
  });

  it('days without both sides, of other versions and other tables are named and not mixed in silence', async () => {
    const mixed = join(scratch, 'mixed');
    const onlyIrons = (record: Parameters<NonNullable<MadeDay['change']>>[0]) => ({
      ...record,
      head: { ...record.head, club: 'iron7', kind: 'iron' as const },
    });
    const days: readonly MadeDay[] = [
      { ...SEASON[0]!, change: onlyIrons },
      SEASON[1]!,
      { ...SEASON[2]!, change: onlyIrons },
      { ...SEASON[3]!, version: '0.2.0' },
      SEASON[4]!,
    ];
    await season('c', days, mixed);
    const path = join(mixed, 'days.json');
    const state = JSON.parse(readFileSync(path, 'utf8')) as { days: { tables: number }[] };
    state.days[4]!.tables = 0;
    writeFileSync(path, JSON.stringify(state));
    const to = join(scratch, 'mixed-trend');
    const { code, stderr } = await cli('archive', 'trend', 'wren', '--archive', mixed, '--out', to);
    expect(code).toBe(1);
    expect(stderr).toContain('2026-03-01 is not in the series: no swing of the driver on 2026-03-01\n');
    expect(stderr).toContain('2026-05-16 is not in the series: no swing of the driver on 2026-05-16\n');
    expect(stderr).toContain('left out, since other tables made them: 2026-09-12 "day 5"');
    const page = readFileSync(join(to, 'index.html'), 'utf8');
    expect(page).toContain('Processed by version 0.1.0 until 2026-05-16, 0.2.0 from 2026-06-30');
    const rows = rowsOf(join(to, 'tables/trend.csv'));
    expect([...new Set(rows.map(({ date, program }) => `${date} ${program}`))]).toEqual([
      '2026-03-20 0.1.0',
      '2026-06-30 0.2.0',
    ]);
    expect(
      parseSvg(readFileSync(join(to, 'players/wren-trend.svg'), 'utf8')).querySelectorAll('[stroke-dasharray="2 2"]'),
    ).toHaveLength(3);
  });

  it('of one day says so, and an unknown player is told who there is', async () => {
    const one = await cli('archive', 'trend', 'plover', '--archive', archive, '--out', join(scratch, 'one'));
    expect(one).toMatchObject({ code: 0 });
    expect(one.stdout).toContain('plover: One day so far, 2026-03-20: a trend needs a second one.');
    const none = await cli('archive', 'trend', 'wern', '--archive', archive);
    expect(none.code).toBe(2);
    expect(none.stderr).toContain('has no player wern; did you mean wren?; there are plover, wren');
  });
});

describe('the sheet of a season', () => {
  it.each([
    ['as it is', 1, 1],
    ['with 30 panels on three pages', 10, 1],
    ['of 80 days', 1, 16],
  ])('%s has no text over another or beside the page', async (_, panels, times) => {
    const { runTrend } = await import('../../../src/archive/runTrend.ts');
    const { trend } = await runTrend(
      { archive, player: 'wren', out: join(scratch, 'sheet'), tables: ['csv'] },
      async () => {},
    );
    const dateOf = (date: string, round: number): string => `${Number(date.slice(0, 4)) + round}${date.slice(4)}`;
    const rounds = Array.from({ length: times }, (__, round) => round);
    const series = Array.from({ length: panels }, () => trend.series).flat();
    const long = {
      ...trend,
      days: rounds.flatMap((round) => trend.days.map((day) => ({ ...day, date: dateOf(day.date, round) }))),
      series: series.map((one) => ({
        ...one,
        points: rounds.flatMap((round) =>
          one.points.map((point): TrendPoint => ({ ...point, date: dateOf(point.date, round) })),
        ),
      })),
    };
    const svg = renderTrendSheet({ trend: long, programVersion: 'swingbasis 0' });
    const sheet = parseSvg(svg);
    const texts = textsOf(sheet);
    expect(texts.length).toBeGreaterThan(30);
    expect(overlappingPairs(texts, 0.02)).toEqual([]);
    expect(outsidePage(texts, PAGE.width, PAGE.height, 0)).toEqual([]);
    // every mark of the series: circles of driver and gap, squares of the irons
    expect(sheet.querySelectorAll('circle')).toHaveLength(3 * panels * 5 * times * 2 + 2);
    const pages = Number(/viewBox="0 0 \S+ (\S+)"/.exec(svg)![1]) / PAGE.height;
    expect(pages).toBeCloseTo(panels === 10 ? 3 : 1, 3);
  });
});
