/** Where an installed browser is that can print: Chromium, or a browser made from it that takes the same orders. */
import { posix, win32 } from 'node:path';
import { FileError } from '../disk/fileSource.ts';

/** Names a browser to use before all others. */
export const BROWSER_VARIABLE = 'SWINGBASIS_BROWSER';

export interface BrowserSearch {
  /** As `process.platform`. */
  readonly platform: string;
  readonly environment: Readonly<Record<string, string | undefined>>;
  /** True where a file is at a path. */
  readonly isFile: (path: string) => boolean;
}

const UNIX_NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];
/** Looked through after PATH. */
const UNIX_FOLDERS = ['/usr/bin', '/usr/local/bin', '/snap/bin', '/opt/google/chrome'];
const MAC_PROGRAMS = ['Chromium.app/Contents/MacOS/Chromium', 'Google Chrome.app/Contents/MacOS/Google Chrome'];
const WINDOWS_PROGRAMS = ['Chromium\\Application\\chrome.exe', 'Google\\Chrome\\Application\\chrome.exe'];

/** Path of the browser. @throws FileError where there is none, with what to install */
export function findBrowser(search: BrowserSearch): string {
  const named = search.environment[BROWSER_VARIABLE] ?? '';
  if (named !== '') return namedBrowser(named, search);
  const found = usualPaths(search).find(search.isFile);
  if (found !== undefined) return found;
  throw new FileError(
    `--pdf and --png need an installed Chromium or Chrome, and none was found; install one (${howToInstall(search.platform)}), or name its program file in the environment variable ${BROWSER_VARIABLE}`,
  );
}

/** A path, or a bare name that is looked for in PATH. */
function namedBrowser(named: string, search: BrowserSearch): string {
  if (search.isFile(named)) return named;
  const inPath = /[/\\]/.test(named) ? undefined : inFolders(pathFolders(search), [named], search).find(search.isFile);
  if (inPath !== undefined) return inPath;
  throw new FileError(
    `${BROWSER_VARIABLE} is ${named}, and there is no such file; set it to the program file of an installed Chromium or Chrome, or unset it to look in the usual places`,
  );
}

/** The usual places, the likeliest first. */
export function usualPaths(search: BrowserSearch): readonly string[] {
  const { platform, environment } = search;
  if (platform === 'win32') {
    const roots = ['ProgramFiles', 'ProgramFiles(x86)', 'LocalAppData'].map((name) => environment[name] ?? '');
    return inFolders(roots.filter(Boolean), WINDOWS_PROGRAMS, search);
  }
  if (platform === 'darwin') {
    const home = environment['HOME'] ?? '';
    const roots = ['/Applications', ...(home === '' ? [] : [`${home}/Applications`])];
    return [...inFolders(roots, MAC_PROGRAMS, search), ...inFolders(pathFolders(search), UNIX_NAMES, search)];
  }
  return inFolders([...pathFolders(search), ...UNIX_FOLDERS], UNIX_NAMES, search);
}

function inFolders(folders: readonly string[], names: readonly string[], { platform }: BrowserSearch): string[] {
  const { join } = platform === 'win32' ? win32 : posix;
  return names.flatMap((name) => folders.map((folder) => join(folder, name)));
}

function pathFolders({ platform, environment }: BrowserSearch): string[] {
  const { delimiter } = platform === 'win32' ? win32 : posix;
  return (environment['PATH'] ?? '').split(delimiter).filter((folder) => folder !== '');
}

function howToInstall(platform: string): string {
  if (platform === 'linux') return 'such as: apt install chromium';
  return 'from its maker’s page';
}
