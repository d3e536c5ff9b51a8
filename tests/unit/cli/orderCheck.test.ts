import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';
import { SAMPLE_DATA, SMALL_DAY } from '../../support/smallDay.ts';

const scratch = scratchFolder();
const dayFile = join(scratch, 'day.yaml');
// five swings of each club: enough for verdicts
const MORE = ['1-driver-3', '1-driver-4', '3-driver-1', '2-iron7-3', '2-iron7-4', '4-iron5-1'];
const lines = MORE.map((name) => `  - {file: osprey/${name}.c3d, player: osprey, club: ${name.slice(2, -2)}}\n`);
writeFileSync(
  dayFile,
  SMALL_DAY.replace('trials:', '  - {id: iron5, kind: iron, length_m: 0.965}\ntrials:').replace(
    'compare:',
    `${lines.join('')}compare:`,
  ),
);
const OURS = new Set(['tables/orders.csv', 'tables/order_verdicts.csv', 'figures/osprey-orders.svg']);

type Rows = readonly Readonly<Record<string, string>>[];
const rowsOf = (contents: ReadonlyMap<string, Buffer>, table: string): Rows =>
  parse(contents.get(`tables/${table}.csv`)!, { columns: true }) as Rows;
const textsOf = (contents: ReadonlyMap<string, Buffer>, keep: (path: string) => boolean): [string, string][] =>
  [...contents].filter(([path]) => keep(path)).map(([path, bytes]) => [path, bytes.toString('utf8')]);

describe('--order-check', () => {
  it('adds its tables and figure, changes no other result, and analyses nothing again for the thorax', async () => {
    const out = join(scratch, 'results');
    const process = ['process', dayFile, '--data', SAMPLE_DATA, '--out', out];
    expect((await cli(...process)).code).toBe(0);
    const plain = contentsOf(out);
    const run = await cli(...process, '--order-check', 'thorax');
    expect(run.code).toBe(0);
    expect(run.stderr).toContain('11 of 11 trials unchanged');
    expect(run.stdout).toMatch(
      /^osprey: order of axes of thorax: \d+ of 33 verdicts at the positions \(Y-X-Z\) would be another/m,
    );
    const checked = contentsOf(out);
    const isSame = (path: string): boolean =>
      !OURS.has(path) &&
      !path.startsWith('.store/') &&
      !/^(run\.json|index\.html|tables\/datapackage\.json)$/.test(path);
    expect(textsOf(checked, isSame)).toEqual(textsOf(plain, isSame));
    expect([...checked.keys()].filter((path) => !plain.has(path)).sort()).toEqual([...OURS].sort());
    expect(checked.get('index.html')!.toString()).toContain('href="figures/osprey-orders.svg"');
    expect(JSON.parse(checked.get('run.json')!.toString()).options.order_check).toEqual(['thorax']);

    const orders = rowsOf(checked, 'orders');
    expect(orders).toHaveLength(10 * 11 * 12);
    const angles = rowsOf(checked, 'angles');
    const main = angles.find((row) => row['quantity'] === 'thorax.side_bend' && row['position'] === 'P4')!;
    const own = orders.find(
      (row) => row['trial'] === main['trial'] && row['position'] === 'P4' && row['order'] === 'YXZ',
    )!;
    expect(own['second']).toBe(main['value']);
    const verdicts = rowsOf(checked, 'order_verdicts');
    expect(verdicts).toHaveLength(12 * 3 * 21);
    const comparison = rowsOf(checked, 'comparison');
    for (const row of verdicts.filter(({ order }) => order === 'YXZ')) {
      const same = comparison.find(
        (one) =>
          one['quantity'] === row['in_place_of'] &&
          one['position'] === row['position'] &&
          one['basis'] === row['basis'],
      )!;
      expect([row['verdict'], row['main_verdict'], row['changes']]).toEqual([
        same['verdict'],
        same['verdict'],
        same['verdict'] === 'none' ? '' : 'no',
      ]);
    }

    const refused = await cli('compare', out, '--out', join(scratch, 'no'), '--order-check', 'lead_hip');
    expect(refused).toMatchObject({ code: 2 });
    expect(refused.stderr).toContain(
      'holds no rotations of lead_hip; process the day again with --order-check lead_hip',
    );

    const compared = join(scratch, 'compared');
    expect((await cli('compare', out, '--out', compared, '--order-check', 'thorax')).code).toBe(0);
    const again = contentsOf(compared);
    for (const path of ['tables/order_verdicts.csv', 'figures/osprey-orders.svg']) {
      expect(again.get(path)!.equals(checked.get(path)!)).toBe(true);
    }
    // three runs of a day: longer than the usual limit on a busy machine
  }, 240_000);

  it('stores the rotations of a joint and compares them from what is stored', async () => {
    const out = join(scratch, 'hip');
    const process = [
      'process',
      dayFile,
      '--data',
      SAMPLE_DATA,
      '--out',
      out,
      '--order-check',
      'lead_hip,trunk',
      '--tables',
      'xlsx',
    ];
    const run = await cli(...process);
    expect(run.code).toBe(0);
    expect(run.stdout).toContain('osprey: order of axes of lead hip:');
    const made = contentsOf(out);
    const record = JSON.parse(made.get('trials/osprey/1-driver-1.json')!.toString());
    expect(Object.keys(record.rotations)).toEqual(['lead_hip']);
    const compared = join(scratch, 'hip-compared');
    expect((await cli('compare', out, '--out', compared, '--order-check', 'lead_hip,trunk')).code).toBe(0);
    const path = 'tables/order_verdicts.csv';
    expect(contentsOf(compared).get(path)!.equals(made.get(path)!)).toBe(true);
  }, 240_000);
});
