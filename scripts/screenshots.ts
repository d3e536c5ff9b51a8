/**
 * Pictures of the report of the sample day for the README and the docs, taken in an installed Chromium or Chrome: npm run screenshots.
 * A browser test takes the same pictures of another report.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium } from 'playwright-core';
import { findBrowser } from '../src/print/findBrowser.ts';

const ROOT = join(import.meta.dirname, '..');
const PICTURES = join(ROOT, 'docs', 'pictures');
/** Of the players of the sample day the one with a departure in the swing. */
const PLAYER = 'plover';

/** A page of a report and how much of it is shown, CSS pixels. */
interface Picture {
  readonly name: string;
  readonly page: (player: string) => string;
  readonly width: number;
  readonly height: number;
}

export const SCREENSHOTS: readonly Picture[] = [
  { name: 'day', page: () => 'index.html', width: 1280, height: 860 },
  { name: 'player', page: (player) => `players/${player}.html`, width: 1280, height: 860 },
];

/** Takes every picture of a report into a folder; the browser stays open. Returns what the pages wrote to their consoles as errors. */
export async function takeScreenshots(
  browser: Browser,
  report: string,
  player: string,
  into: string,
): Promise<string[]> {
  mkdirSync(into, { recursive: true });
  const context = await browser.newContext({ offline: true, deviceScaleFactor: 2, reducedMotion: 'reduce' });
  const page = await context.newPage();
  const errors: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text());
  });
  page.on('pageerror', (error) => errors.push(error.message));
  for (const picture of SCREENSHOTS) {
    await page.setViewportSize({ width: picture.width, height: picture.height });
    await page.goto(pathToFileURL(join(report, picture.page(player))).href);
    await page.screenshot({ path: join(into, `${picture.name}.png`) });
  }
  await context.close();
  return errors;
}

if (process.argv[1] === import.meta.filename) {
  const isFile = (path: string): boolean => statSync(path, { throwIfNoEntry: false })?.isFile() ?? false;
  const executablePath = findBrowser({ platform: process.platform, environment: process.env, isFile });
  const report = mkdtempSync(join(tmpdir(), 'swingbasis-screenshots-'));
  const run = spawnSync(process.execPath, [join(ROOT, 'bin', 'swingbasis'), 'demo', '--out', report], {
    stdio: 'inherit',
  });
  const browser = await chromium.launch({ executablePath });
  const errors = await takeScreenshots(browser, report, PLAYER, PICTURES);
  await browser.close();
  rmSync(report, { recursive: true, force: true });
  for (const error of errors) process.stderr.write(`${error}\n`);
  process.exitCode = run.status === 0 && errors.length === 0 ? 0 : 1;
}
