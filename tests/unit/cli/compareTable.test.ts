import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
const path = join(scratch, 'range ü.csv');
const COLUMNS = ['--table', path, '--player', 'bird', '--group', 'club', '--values', 'spine*,h*'];
const SIDES = ['--of', 'driver', '--against', 'iron*'];

/** Two birds, six swings of driver and irons each; heron has no irons. The numbers need no chance: only words are looked at. */
const TABLE = [
  'bird;club;spine <b>;hip;head',
  ...[0, 1, 2, 3, 4, 5].flatMap((i) => [
    `wren;driver;${30 + i / 10};${3 * (i % 3)};=1+${i}`,
    `wren;iron${5 + (i % 2)};${20 + (i % 4) / 10};${3 * ((i + 1) % 3)};`,
    `heron;driver;1;1;${i}`,
  ]),
].join('\r\n');

beforeAll(() => writeFileSync(path, TABLE.replaceAll('.', ',')));

describe('compare --table', () => {
  it('writes page, table and run record, says what was recognised, and exits 1 where values are no numbers', async () => {
    const out = join(scratch, 'out');
    const done = await cli('compare', ...COLUMNS, ...SIDES, '--margin', '1', '--out', out);
    expect(done.code).toBe(1);
    expect(done.stderr).toContain('range ü.csv: 18 rows, UTF-8, semicolons, CRLF line ends, decimal comma\n');
    expect(done.stderr).not.toContain('passed over');
    expect(done.stderr).toContain('range ü.csv:2: head: "=1+0" is no number; left out, and 5 more of this column');
    expect(done.stdout).toContain('heron: No comparison: no swing of iron* (driver 6 swings, iron* 0 swings).');
    expect(done.stdout).toMatch(/wren: Of 2 columns 1 departs \(spine <b> \+10\.\d+\)/);
    expect([...contentsOf(out).keys()]).toEqual([
      '.store/files.json',
      'index.html',
      'run.json',
      'tables/comparison.csv',
      'tables/datapackage.json',
    ]);
    const run = JSON.parse(readFileSync(join(out, 'run.json'), 'utf8')) as Record<string, unknown>;
    expect(run).toMatchObject({
      command: 'compare',
      days: [],
      options: {
        player: 'bird',
        group: 'club',
        values: 'spine*,h*',
        of: 'driver',
        against: 'iron*',
        margin: '1',
        by: null,
      },
      inputs: [{ path: 'range ü.csv' }],
    });
    expect(JSON.stringify(run)).not.toContain(scratch);
  });
  it('its page is text alone: names are escaped, nothing is fetched, no script runs; undecided columns are counted, not listed', async () => {
    const page = readFileSync(join(scratch, 'out/index.html'), 'utf8');
    expect(page).toContain('spine &lt;b&gt;');
    expect(page).not.toMatch(/<b>|<script|https?:\/\/(?!www\.w3\.org\/2000\/svg)|src=/);
    const names = [...page.matchAll(/<td class="name">([^<]*)/g)].map((match) => match[1]);
    expect(names).toEqual(['spine &lt;b&gt;']);
    expect(page).toContain('1 of 2 columns can’t be told yet');
    expect(page).toContain('1 column has fewer than five values on a side');
    const again = await cli('compare', ...COLUMNS, ...SIDES, '--margin', '1', '--out', join(scratch, 'again'));
    expect(again.code).toBe(1);
    expect(readFileSync(join(scratch, 'again/index.html'), 'utf8')).toBe(page);
  });
  it('without a margin says so wherever a column differs', async () => {
    const out = join(scratch, 'bare');
    const done = await cli('compare', ...COLUMNS.slice(0, -1), 'spine*', ...SIDES, '--out', out);
    expect(done.code).toBe(0);
    expect(done.stdout).toContain('wren: Of 1 column 1 differs (no margin set) (spine <b> +10.');
    const [head, ...rows] = readFileSync(join(out, 'tables/comparison.csv'), 'utf8').trimEnd().split('\r\n');
    const row = Object.fromEntries(head!.split(',').map((name, i) => [name, rows[0]!.split(',')[i]]));
    expect(rows.length).toBe(1);
    expect(row).toMatchObject({
      unit: 'none',
      position: 'swing',
      margin: '',
      margin_rule: 'none',
      p_beyond: '',
      p_within: '',
      verdict: 'differs-slightly',
      mean_group: '30.250000',
    });
    expect(head!.endsWith(',by')).toBe(true);
  });
  it('goes to comparison beside the table, and never onto the results of a day', async () => {
    const done = await cli('compare', ...COLUMNS.slice(0, -1), 'spine*', ...SIDES);
    expect(done.stdout).toContain(join('comparison', 'index.html'));
    expect(contentsOf(join(scratch, 'comparison')).has('run.json')).toBe(true);
  });
  it.each([
    [['--table', 'nowhere.csv', '--group', 'club', '--values', 'a', ...SIDES], 'there is no table nowhere.csv'],
    [['--table', scratch, '--group', 'club', '--values', 'a', ...SIDES], 'is a folder; --table names a file'],
    [['--table', path, '--values', 'a', ...SIDES], '--table needs --group COLUMN'],
    [['--table', path, '--group', 'club', ...SIDES], '--table needs --values COLUMNS'],
    [['--table', path, '--group', 'club', '--values', 'a', '--against', 'x'], '--table needs --of NAMES'],
    [['--table', path, '--group', 'club', '--values', 'a', '--of', 'x'], '--table needs --against NAMES'],
    [['results', '--table', path], 'give folders or --table FILE, not both (results)'],
    [[], 'name folders that process wrote, or a table with --table FILE'],
    [['results', '--margin', '2'], '--margin belongs to --table FILE'],
    [['results', '--by', 'view'], '--by belongs to --table FILE'],
    [
      [...COLUMNS, '--of', 'drivr', '--against', 'iron*'],
      '--of: no row has drivr in the column club; did you mean driver?',
    ],
  ])('%j: exit code 2, and the message says what to do', async (args, message) => {
    const { code, stdout, stderr } = await cli('compare', ...args, '--out', join(scratch, 'none'));
    expect(code).toBe(2);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
  });
});
