import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { compareCodeUnits } from '../base/text.ts';
import { PACKAGE_FOLDER } from '../disk/packageFacts.ts';
import { TABLES_VERSION } from '../pipeline/tablesVersion.ts';

/** The folder that this program runs from: dist, or src in development. */
const CODE_FOLDER = fileURLToPath(new URL('..', import.meta.url));
const IS_CODE = /(?<!\.d)\.(?:js|ts)$/;

/** SHA-256 of the program as it runs: every file of code, the libraries it names, the version of its tables; of a module of tests its path. */
export function programSum(analysis?: string): string {
  const hash = createHash('sha256').update(`tables ${TABLES_VERSION}\n${analysis ?? ''}\n`);
  hash.update(readFileSync(join(PACKAGE_FOLDER, 'package.json')));
  const files = readdirSync(CODE_FOLDER, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && IS_CODE.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name));
  for (const path of files.sort(compareCodeUnits)) {
    hash.update(`${relative(CODE_FOLDER, path)}\n`).update(readFileSync(path));
  }
  return hash.digest('hex');
}
