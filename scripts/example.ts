/**
 * Rewrites reports/example from the sample day: the committed golden output and the picture in the README.
 * Of the stored records one a player is kept; CHECKSUMS lists every file that the run made, kept or not.
 */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';

const ROOT = join(import.meta.dirname, '..');
const OUT = join(ROOT, 'reports', 'example');

/** Files below a folder, `/` between names, in code-unit order; the cache is none of them. */
export function outputFiles(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).replaceAll('\\', '/'))
    .filter((path) => !path.startsWith('.store/'))
    .sort();
}

/** `sha256  path` of every file below a folder. */
export function checksums(folder: string): string {
  return outputFiles(folder)
    .map(
      (path) =>
        `${createHash('sha256')
          .update(readFileSync(join(folder, path)))
          .digest('hex')}  ${path}\n`,
    )
    .join('');
}

if (process.argv[1] === import.meta.filename) {
  rmSync(OUT, { recursive: true, force: true });
  const run = spawnSync(process.execPath, [join(ROOT, 'bin', 'swingbasis'), 'demo', '--out', OUT], {
    stdio: 'inherit',
  });
  const list = checksums(OUT);
  rmSync(join(OUT, '.store'), { recursive: true, force: true });
  for (const path of outputFiles(OUT)) {
    if (path.startsWith('trials/') && !path.endsWith('/1-driver-1.json')) rmSync(join(OUT, path));
  }
  writeFileSync(join(OUT, 'CHECKSUMS'), list);
  process.exit(run.status ?? 2);
}
