import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

interface LockPackage {
  readonly version?: string;
  readonly dev?: boolean;
  readonly optional?: boolean;
  /** Of a build for some machines. */
  readonly cpu?: readonly string[];
  readonly license?: string;
}

const ROOT = join(import.meta.dirname, '..');

/** THIRD-PARTY.md: every package that is installed with the program, with its version and licence, from the lock file. */
export function thirdPartyPage(): string {
  const lock = JSON.parse(readFileSync(join(ROOT, 'package-lock.json'), 'utf8')) as {
    packages: Record<string, LockPackage>;
  };
  const rows = (wanted: (info: LockPackage) => boolean): readonly string[] =>
    Object.entries(lock.packages)
      .filter(([path, info]) => path !== '' && info.dev !== true && wanted(info))
      .map(([path, info]) => rowOf(path, info))
      .sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
  const head = ['| package | version | licence |', '| --- | --- | --- |'];
  return [
    '# Third-party packages',
    '',
    'Installed with swingbasis, unchanged, each under its own licence. Generated from `package-lock.json` by `npm run docs`.',
    'The licence texts are in `node_modules/<package>` after installation.',
    '',
    ...head,
    ...rows(({ optional }) => optional !== true),
    '',
    'Optional, left out by `npm install --omit=optional` (for some, one build for each kind of machine comes beside):',
    '',
    ...head,
    ...rows(({ optional, cpu }) => optional === true && cpu === undefined),
    '',
  ].join('\n');
}

function rowOf(path: string, info: LockPackage): string {
  const name = path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length);
  const manifest = join(ROOT, path, 'package.json');
  const stated = existsSync(manifest)
    ? (JSON.parse(readFileSync(manifest, 'utf8')) as { license?: string }).license
    : undefined;
  return `| ${name} | ${info.version ?? ''} | ${info.license ?? stated ?? 'see its package'} |`;
}

export function writeThirdPartyPage(): void {
  writeFileSync(join(ROOT, 'THIRD-PARTY.md'), thirdPartyPage());
}
