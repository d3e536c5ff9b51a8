import { existsSync } from 'node:fs';
import { join } from 'node:path';

const ROOT = process.env['SWINGBASIS_OPEN_DATA'] ?? new URL('../../../shared/open-data', import.meta.url).pathname;

let told = false;

/** Absolute path of a file of the open data, or null where it is not there: the test that needs it then skips with one line. */
export function openData(path: string): string | null {
  const full = join(ROOT, path);
  if (existsSync(full)) return full;
  if (!told) {
    told = true;
    process.stdout.write(`open data not found in ${ROOT} (set SWINGBASIS_OPEN_DATA): tests that need it are skipped\n`);
  }
  return null;
}
