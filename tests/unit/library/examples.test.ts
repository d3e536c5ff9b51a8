import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const ROOT = join(import.meta.dirname, '../../..');
const EXAMPLES = join(ROOT, 'examples');
const NAMES = readdirSync(EXAMPLES).filter((name) => name.endsWith('.mjs'));
const scratch = scratchFolder();

/** In a process of its own, on what the build made: as a user of the package has it. */
function node(...args: readonly string[]): {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
} {
  return spawnSync(process.execPath, args, { cwd: scratch, encoding: 'utf8' });
}

describe('examples of the library', () => {
  it('are the three that docs/library.md names, short, and import nothing but Node and the package', () => {
    expect(NAMES).toEqual(['analyse-trial.mjs', 'compare-and-render.mjs', 'read-file.mjs']);
    const page = readFileSync(join(ROOT, 'docs/library.md'), 'utf8');
    for (const name of NAMES) {
      const text = readFileSync(join(EXAMPLES, name), 'utf8');
      expect(page).toContain(name);
      expect(text.split('\n').length).toBeLessThanOrEqual(41);
      for (const [, from] of text.matchAll(/from '([^']+)'/g)) expect(from).toMatch(/^(node:.+|swingbasis)$/);
    }
  });

  it('read-file.mjs says what is in a file, and names a file that is none', () => {
    const run = node(join(EXAMPLES, 'read-file.mjs'));
    expect(run).toMatchObject({ status: 0, stderr: '' });
    expect(run.stdout).toMatch(/^48 points, 630 frames at 240 Hz, in mm\n/);
    expect(run.stdout).toMatch(/in the first frame: (-?\d+\.\d, ){2}-?\d+\.\d\n/);
    const wrong = node(join(EXAMPLES, 'read-file.mjs'), join(ROOT, 'package.json'));
    expect(wrong.status).toBe(1);
    expect(wrong.stderr).toContain('package.json');
  });

  it('analyse-trial.mjs prints the chest at the top as the sample day has it', () => {
    const run = node(join(EXAMPLES, 'analyse-trial.mjs'));
    expect(run).toMatchObject({ status: 0, stderr: '' });
    const turn = /^thorax\.turn at P4: (-?\d+\.\d) deg$/m.exec(run.stdout);
    const bend = /^thorax\.side_bend at P4: (-?\d+\.\d) deg$/m.exec(run.stdout);
    const { trials } = JSON.parse(readFileSync(join(ROOT, 'samples/truth/wren.json'), 'utf8'));
    const truth = trials['wren/1-driver-1'].values.P4;
    // an angle at its detected moment is right to 0.5° RMS (definitions 9): twice that, and the decimal that is printed
    expect(Math.abs(Number(turn![1]) - truth['thorax.turn'])).toBeLessThan(1.05);
    expect(Math.abs(Number(bend![1]) - truth['thorax.side_bend'])).toBeLessThan(1.05);
  });

  it('compare-and-render.mjs writes what process writes', () => {
    const out = join(scratch, 'out');
    const run = node(join(EXAMPLES, 'compare-and-render.mjs'), out);
    expect(run).toMatchObject({ status: 0, stderr: '' });
    expect(run.stdout).toMatch(/^thorax\.side_bend at P4: driver less irons -?\d+\.\d deg$/m);
    const whole = join(scratch, 'process');
    const args = ['process', join(EXAMPLES, 'day.yaml'), '--data', join(ROOT, 'samples/day'), '--out', whole];
    expect(node(join(ROOT, 'bin/swingbasis'), ...args).status).toBe(0);
    const named = (folder: string): [string, string][] =>
      [...contentsOf(folder)]
        .filter(([path]) => /^(tables|trials)\//.test(path))
        .map(([path, bytes]) => [path, bytes.toString('utf8')]);
    expect(named(out).length).toBeGreaterThan(10);
    expect(named(out)).toEqual(named(whole));
  }, 240_000);

  it('are right by the types that the package ships', () => {
    const flags = [
      '--noEmit',
      '--allowJs',
      '--strict',
      '--skipLibCheck',
      '--module',
      'nodenext',
      '--target',
      'es2023',
      '--types',
      'node',
    ];
    const roots = ['--typeRoots', join(ROOT, 'node_modules/@types')];
    const tsc = join(ROOT, 'node_modules/typescript/bin/tsc');
    const run = node(tsc, '--ignoreConfig', ...flags, ...roots, ...NAMES.map((name) => join(EXAMPLES, name)));
    expect(run.stdout).toBe('');
    expect(run.status).toBe(0);
  }, 240_000);
});
