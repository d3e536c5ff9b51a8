import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { cli } from '../support/cli.ts';
import { scratchFolder } from '../support/folders.ts';
import { openData } from '../support/openData.ts';
import { slowMean, slowSd } from '../support/slowStatistics.ts';

const file = openData('shots/shots-2d-features.csv');
const scratch = scratchFolder();
const PHASES = '0-*,1-*,2-*,3-*,4-*,5-*,6-*,7-*';

/** Rows of a table without quotes in it, by name. */
function plainRows(text: string): Readonly<Record<string, string>>[] {
  const [head, ...lines] = text.trimEnd().split(/\r?\n/);
  const names = head!.split(',');
  return lines.map((line) => {
    const fields = line.split(',');
    return Object.fromEntries(names.map((name, i) => [name, fields[i] ?? '']));
  });
}

/** Open data: 1,757 shots of eight golfers by two cameras, blanks where a feature is not seen from that side. */
describe.skipIf(file === null)(
  '2D features of shots: each golfer’s driver against that golfer’s own irons, per view',
  () => {
    const shots = file === null ? [] : plainRows(readFileSync(file, 'utf8'));
    const features = Object.keys(shots[0] ?? {}).filter((name) => /^[0-7]-/.test(name));
    let done: Awaited<ReturnType<typeof cli>>;
    let rows: Readonly<Record<string, string>>[];

    beforeAll(async () => {
      const out = join(scratch, 'out');
      const columns = ['--player', 'GolferId', '--group', 'ClubType', '--by', 'View', '--values', PHASES];
      done = await cli(
        'compare',
        '--table',
        file!,
        ...columns,
        '--of',
        'W1',
        '--against',
        'I*',
        '--margin',
        '2',
        '--out',
        out,
      );
      // reasons hold commas in quotes: only fields before them and the last are read
      rows = plainRows(readFileSync(join(out, 'tables/comparison.csv'), 'utf8').replace(/"[^"]*"/g, ''));
    });

    it('golfers 1 to 5 are compared in both views, 6 to 8 said to have no iron', () => {
      const compared = new Set(rows.map(({ player, by }) => `${player} ${by}`));
      expect([...compared]).toEqual(['1', '2', '3', '4', '5'].flatMap((id) => [`${id} DTL`, `${id} FACEON`]));
      for (const id of ['6', '7', '8']) {
        for (const view of ['DTL', 'FACEON']) {
          const n = shots.filter((s) => s['GolferId'] === id && s['View'] === view && s['ClubType'] === 'W1').length;
          expect(done.stdout).toContain(`${id}, ${view}: No comparison: no swing of I* (W1 ${n} swings, I* 0 swings).`);
        }
      }
    });
    it('cells that hold no number (inf, #NAME?) are told by line and left out: exit code 1', () => {
      expect(done.code).toBe(1);
      const bad = features.filter((name) =>
        shots.some((shot) => shot[name] !== '' && !Number.isFinite(Number(shot[name]))),
      );
      for (const name of bad) expect(done.stderr).toMatch(new RegExp(`csv:\\d+: ${name}: ".*" is no number; left out`));
      expect(done.stderr.match(/is no number/g)?.length).toBe(bad.length);
    });
    it('every count, mean and SD is that of the column, computed here from the file; blanks are what is missing of the swings', () => {
      expect(rows.length).toBe(10 * features.length);
      let blanks = 0;
      for (const row of rows) {
        const of = (isOurs: (club: string) => boolean): number[] => {
          const side = shots.filter(
            (s) => s['GolferId'] === row['player'] && s['View'] === row['by'] && isOurs(s['ClubType']!),
          );
          const texts = side.map((shot) => shot[row['quantity']!]!);
          const numbers = texts
            .filter((text) => text !== '')
            .map(Number)
            .filter(Number.isFinite);
          blanks += side.length - numbers.length;
          return numbers;
        };
        const driver = of((club) => club === 'W1');
        const irons = of((club) => club.startsWith('I'));
        const label = `${row['player']} ${row['by']} ${row['quantity']}`;
        expect([row['n_group'], row['n_reference']], label).toEqual([`${driver.length}`, `${irons.length}`]);
        // six decimals in the table
        const same = (text: string, value: number) =>
          expect(text === '' ? Number.NaN : Math.abs(Number(text) - value), label).toBeLessThanOrEqual(
            Math.max(5.1e-7, 1e-12 * Math.abs(value)),
          );
        if (driver.length > 0) same(row['mean_group']!, slowMean(driver));
        else expect(row['mean_group']).toBe('');
        if (irons.length > 1) same(row['sd_reference']!, slowSd(irons));
        if (driver.length > 1) same(row['sd_group']!, slowSd(driver));
        if (driver.length > 0 && irons.length > 0) same(row['difference']!, slowMean(driver) - slowMean(irons));
        if (Math.min(driver.length, irons.length) < 5) expect(row['verdict'], label).toBe('none');
      }
      expect(blanks).toBeGreaterThan(10_000);
      const page = readFileSync(join(scratch, 'out/index.html'), 'utf8');
      const said = [...page.matchAll(/(\d+) of \d+ values missing/g)].slice(0, 10).map((match) => Number(match[1]));
      expect(said.reduce((sum, n) => sum + n, 0)).toBe(blanks);
    });
  },
);
