import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { afterAll } from 'vitest';

/** A new folder that is gone when the file's tests are done. Its name has a space and a letter outside ASCII. */
export function scratchFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'swingbasis ü-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Every file below a folder with its bytes, `/` between folders. */
export function contentsOf(folder: string): ReadonlyMap<string, Buffer> {
  const files = readdirSync(folder, { withFileTypes: true, recursive: true }).filter((entry) => entry.isFile());
  const paths = files.map((entry) => relative(folder, join(entry.parentPath, entry.name)).replaceAll('\\', '/')).sort();
  return new Map(paths.map((path) => [path, readFileSync(join(folder, path))]));
}
