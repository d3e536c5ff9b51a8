import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const ROOT = join(import.meta.dirname, '../..');
const EXAMPLE = join(ROOT, 'reports/example');
const scratch = mkdtempSync(join(tmpdir(), 'swingbasis-golden-'));
const OUT = join(scratch, 'a day with späces');

function filesUnder(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).replaceAll('\\', '/'))
    .filter((path) => !path.startsWith('.store/'))
    .sort();
}

let status: number | null = null;
let stderr = '';

beforeAll(() => {
  const run = spawnSync(process.execPath, [join(ROOT, 'bin/swingbasis'), 'demo', '--out', OUT], {
    encoding: 'utf8',
    cwd: scratch,
  });
  status = run.status;
  stderr = run.stderr;
});

afterAll(() => {
  rmSync(scratch, { recursive: true, force: true });
});

describe('the sample day', () => {
  it('is processed with exit code 0: no trial is rejected', () => {
    expect(stderr.split('\n').slice(-6).join('\n') && status).toBe(0);
  });

  it('makes the committed example again, byte for byte, on this version of Node', () => {
    expect(filesUnder(OUT)).toEqual(filesUnder(EXAMPLE));
    const changed = filesUnder(OUT).filter(
      (path) => !readFileSync(join(OUT, path)).equals(readFileSync(join(EXAMPLE, path))),
    );
    expect(changed, 'run `npm run example`, look at the difference, and name moved numbers in the changelog').toEqual(
      [],
    );
  });

  it('has all four verdicts', () => {
    const table = readFileSync(join(OUT, 'tables/comparison.csv'), 'utf8');
    for (const verdict of ['departs', 'matches', 'differs-slightly', 'undecided'])
      expect(table).toMatch(new RegExp(`,${verdict},`));
  });
});
