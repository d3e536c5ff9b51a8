import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { contentsOf, scratchFolder } from '../support/folders.ts';

const ROOT = join(import.meta.dirname, '../..');
const CHILD = join(ROOT, 'scripts/swingbasis.ts');

function demo(name: string, env: Readonly<Record<string, string>>): ReadonlyMap<string, Buffer> {
  const out = join(scratchFolder(), name);
  const run = spawnSync(process.execPath, ['--import', 'tsx', CHILD, 'demo', '--out', out], {
    cwd: ROOT,
    env: { ...process.env, ...env },
    encoding: 'utf8',
  });
  expect(run.status, run.stderr).toBe(0);
  return new Map([...contentsOf(out)].filter(([path]) => !path.startsWith('.store/')));
}

it('the whole sample day twice, in other places, time zones and languages, gives the same bytes', () => {
  const first = demo('one', { TZ: 'Pacific/Auckland', LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8' });
  const second = demo('another place', { TZ: 'America/St_Johns', LANG: 'C', LC_ALL: 'C' });
  expect(first.size).toBeGreaterThan(60);
  expect([...second.keys()]).toEqual([...first.keys()]);
  for (const [path, bytes] of second) expect(bytes.equals(first.get(path)!), path).toBe(true);
});
