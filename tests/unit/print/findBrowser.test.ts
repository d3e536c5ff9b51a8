import { describe, expect, it } from 'vitest';
import { type BrowserSearch, findBrowser } from '../../../src/print/findBrowser.ts';

/** A machine on which only these files are. */
function machine(
  platform: string,
  files: readonly string[],
  environment: BrowserSearch['environment'] = {},
): BrowserSearch {
  return { platform, environment, isFile: (path) => files.includes(path) };
}

describe('the browser that prints', () => {
  it.each([
    // where Debian, snaps, the packages of the browser itself and the installers of the two other systems put it: from memory
    ['linux', '/usr/bin/chromium', {}],
    ['linux', '/snap/bin/chromium', {}],
    ['linux', '/opt/google/chrome/chrome', {}],
    ['linux', '/home/wren/bin/chromium', { PATH: '/bin:/home/wren/bin' }],
    ['darwin', '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome', {}],
    ['darwin', '/Users/wren/Applications/Chromium.app/Contents/MacOS/Chromium', { HOME: '/Users/wren' }],
    ['darwin', '/opt/homebrew/bin/chromium', { PATH: '/opt/homebrew/bin' }],
    ['win32', 'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe', { ProgramFiles: 'C:\\Program Files' }],
    ['win32', 'C:\\Users\\w\\Local\\Chromium\\Application\\chrome.exe', { LocalAppData: 'C:\\Users\\w\\Local' }],
  ])('%s: is found at %s', (platform, path, environment) => {
    expect(findBrowser(machine(platform, [path], environment))).toBe(path);
  });

  it('is the one that SWINGBASIS_BROWSER names, by its path or by its name in PATH', () => {
    const files = ['/usr/bin/chromium', '/home/wren/own', '/home/wren/bin/own'];
    expect(findBrowser(machine('linux', files, { SWINGBASIS_BROWSER: '/home/wren/own' }))).toBe('/home/wren/own');
    expect(findBrowser(machine('linux', files, { SWINGBASIS_BROWSER: 'own', PATH: '/home/wren/bin' }))).toBe(
      '/home/wren/bin/own',
    );
  });

  it('is not replaced by another where the one that is named is not there', () => {
    const search = machine('linux', ['/usr/bin/chromium'], { SWINGBASIS_BROWSER: '/gone/chrome', PATH: '/usr/bin' });
    expect(() => findBrowser(search)).toThrow(
      'SWINGBASIS_BROWSER is /gone/chrome, and there is no such file; set it to the program file of an installed Chromium or Chrome',
    );
  });

  it.each(['linux', 'darwin', 'win32', 'freebsd'])('%s without one: says what to install', (platform) => {
    expect(() => findBrowser(machine(platform, []))).toThrow(
      /need an installed Chromium or Chrome, and none was found; install one \(.+\), or name its program file in the environment variable SWINGBASIS_BROWSER/,
    );
  });
});
