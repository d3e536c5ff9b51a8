import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checksums, outputFiles } from '../../scripts/example.ts';
import { looseUnits } from '../support/looseUnits.ts';

const ROOT = join(import.meta.dirname, '../..');
const EXAMPLE = join(ROOT, 'reports/example');
const scratch = mkdtempSync(join(tmpdir(), 'swingbasis-golden-'));
const OUT = join(scratch, 'a day with späces');
const WAY_OUT = 'run `npm run example`, look at the difference, and name moved numbers in the changelog';

let status: number | null = null;

beforeAll(() => {
  const run = spawnSync(process.execPath, [join(ROOT, 'bin/swingbasis'), 'demo', '--out', OUT], { cwd: scratch });
  status = run.status;
});

afterAll(() => {
  rmSync(scratch, { recursive: true, force: true });
});

describe('the sample day', () => {
  it('is processed with exit code 0: no trial is rejected', () => {
    expect(status).toBe(0);
  });

  it('makes the committed example again, byte for byte, on this version of Node', () => {
    const kept = outputFiles(EXAMPLE).filter((path) => path !== 'CHECKSUMS');
    expect(kept.length).toBeGreaterThan(15);
    const text = (folder: string, path: string): string => readFileSync(join(folder, path), 'utf8');
    expect(
      kept.filter((path) => text(OUT, path) !== text(EXAMPLE, path)),
      WAY_OUT,
    ).toEqual([]);
    expect(checksums(OUT), WAY_OUT).toBe(text(EXAMPLE, 'CHECKSUMS'));
  });

  it('breaks no line of a page between a number and its unit', () => {
    const pages = outputFiles(OUT).filter((path) => path.endsWith('.html'));
    expect(pages.length).toBeGreaterThan(4);
    for (const path of pages) expect(looseUnits(readFileSync(join(OUT, path), 'utf8')), path).toEqual([]);
  });

  it('has all four verdicts', () => {
    const table = readFileSync(join(OUT, 'tables/comparison.csv'), 'utf8');
    for (const verdict of ['departs', 'matches', 'differs-slightly', 'undecided'])
      expect(table).toMatch(new RegExp(`,${verdict},`));
  });

  it('the README shows rows of the example as they are', () => {
    const table = readFileSync(join(EXAMPLE, 'tables/comparison.csv'), 'utf8')
      .split('\r\n')
      .map((line) => line.split(','));
    const header = table[0]!;
    const readme = readFileSync(join(ROOT, 'README.md'), 'utf8').split('\n');
    const head = readme.findIndex((line) => line.startsWith('| player | quantity | position |'));
    const columns = readme[head]!.slice(2, -2).split(' | ');
    const rows = readme
      .slice(head + 2)
      .filter((_line, i, all) => all.slice(0, i + 1).every((one) => one.startsWith('|')));
    expect(rows.length).toBeGreaterThan(2);
    for (const row of rows) {
      const cells = row.slice(2, -2).split(' | ');
      const found = table.some((line) => columns.every((column, i) => line[header.indexOf(column)] === cells[i]));
      expect(found, row).toBe(true);
    }
  });
});
