import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { DataPackage } from '../../../src/tables/dataPackage.ts';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';
import { SAMPLE_DATA, SMALL_DAY } from '../../support/smallDay.ts';

const scratch = scratchFolder();
const dayFile = join(scratch, 'day.yaml');
writeFileSync(dayFile, SMALL_DAY);

describe('--tables parquet', () => {
  it('puts a Parquet file beside every CSV, byte for byte alike from compare, and goes with the next run without it', async () => {
    const out = join(scratch, 'results');
    const process = ['process', dayFile, '--data', SAMPLE_DATA, '--out', out];
    expect((await cli(...process, '--tables', 'parquet,xlsx', '--curves')).code).toBe(0);
    const made = contentsOf(out);
    const tables = [...made.keys()].filter((path) => path.startsWith('tables/'));
    const csv = tables.filter((path) => path.endsWith('.csv'));
    expect(csv).toContain('tables/curves.csv');
    expect(tables.filter((path) => path.endsWith('.parquet'))).toEqual(
      csv.map((path) => path.replace('.csv', '.parquet')),
    );
    // both ends of a Parquet file: Apache Parquet format, "File format"
    expect(tables).toContain('tables/tables.xlsx');
    const parquet = made.get('tables/angles.parquet')!;
    expect([parquet.toString('latin1', 0, 4), parquet.toString('latin1', parquet.length - 4)]).toEqual([
      'PAR1',
      'PAR1',
    ]);
    const run = JSON.parse(made.get('run.json')!.toString('utf8')) as { options: object };
    expect(run.options).toMatchObject({ tables: ['csv', 'parquet', 'xlsx'] });

    const { resources } = JSON.parse(made.get('tables/datapackage.json')!.toString('utf8')) as DataPackage;
    const described = resources.map(({ path }) => `tables/${path}`);
    expect(described.toSorted()).toEqual(tables.filter((path) => !/\.(json|xlsx)$/.test(path)));
    for (const { path, schema } of resources.filter(({ format }) => format === 'csv')) {
      const [header] = made.get(`tables/${path}`)!.toString('utf8').split('\r\n');
      expect(header).toBe(schema.fields.map(({ name }) => name).join(','));
    }

    const compared = join(scratch, 'compared');
    expect((await cli('compare', out, '--out', compared, '--tables', 'parquet')).code).toBe(0);
    const again = contentsOf(compared);
    for (const name of ['comparison', 'checkpoints']) {
      const path = `tables/${name}.parquet`;
      expect(again.get(path)!.equals(made.get(path)!), path).toBe(true);
    }

    expect((await cli(...process)).code).toBe(0);
    const after = contentsOf(out);
    expect([...after.keys()].filter((path) => /\.(parquet|xlsx)$/.test(path))).toEqual([]);
    expect(JSON.parse(after.get('run.json')!.toString('utf8')).options).not.toHaveProperty('tables');
    // two runs of a day: longer than the usual limit on a busy machine
  }, 240_000);

  it('copies of trials are refused where there are comparisons alone', async () => {
    const run = await cli('compare', 'results', '--tables', 'c3d');
    expect(run).toMatchObject({ code: 2 });
    expect(run.stderr).toContain('--tables: "c3d" copies the trials of a day: process writes it');
  });

  it('is refused where a format is unknown, before any work', async () => {
    const run = await cli('process', 'no-such-day.yaml', '--tables', 'parket');
    expect(run).toMatchObject({ code: 2 });
    expect(run.stderr).toContain(
      '--tables: "parket" is none of the formats csv, parquet, xlsx, c3d, bids; did you mean parquet?',
    );
  });
});
