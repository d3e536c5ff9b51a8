import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The folder of the package, from src/disk as from dist/disk. */
export const PACKAGE_FOLDER = fileURLToPath(new URL('../..', import.meta.url));

interface Manifest {
  readonly name: string;
  readonly version: string;
  readonly dependencies?: Readonly<Record<string, string>>;
}

function manifest(): Manifest {
  return JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as Manifest;
}

export function programFacts(): { readonly name: string; readonly version: string } {
  const { name, version } = manifest();
  return { name, version };
}

/** The libraries that the program names, with the exact versions it names. */
export function libraryFacts(): Readonly<Record<string, string>> {
  return manifest().dependencies ?? {};
}
