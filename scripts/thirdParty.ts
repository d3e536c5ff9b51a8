import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

interface LockPackage {
  readonly version?: string;
  readonly dev?: boolean;
  readonly optional?: boolean;
  readonly license?: string;
}

const ROOT = join(import.meta.dirname, '..');

/** THIRD-PARTY.md: every package that is installed with the program, with its version and licence, from the lock file. */
export function thirdPartyPage(): string {
  const lock = JSON.parse(readFileSync(join(ROOT, 'package-lock.json'), 'utf8')) as {
    packages: Record<string, LockPackage>;
  };
  const rows: string[] = [];
  for (const [path, info] of Object.entries(lock.packages)) {
    if (path === '' || info.dev === true || info.optional === true) continue;
    const name = path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length);
    const manifest = join(ROOT, path, 'package.json');
    const stated = existsSync(manifest)
      ? (JSON.parse(readFileSync(manifest, 'utf8')) as { license?: string }).license
      : undefined;
    rows.push(`| ${name} | ${info.version ?? ''} | ${info.license ?? stated ?? 'see its package'} |`);
  }
  rows.sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
  return [
    '# Third-party packages',
    '',
    'Installed with swingbasis, unchanged, each under its own licence. Generated from `package-lock.json` by `npm run docs`.',
    'The licence texts are in `node_modules/<package>` after installation.',
    '',
    '| package | version | licence |',
    '| --- | --- | --- |',
    ...rows,
    '',
  ].join('\n');
}

export function writeThirdPartyPage(): void {
  writeFileSync(join(ROOT, 'THIRD-PARTY.md'), thirdPartyPage());
}
