import { existsSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium } from 'playwright-core';
import { QUIET } from '../../src/print/browser.ts';

export const CHROMIUM_PATH = '/usr/bin/chromium';

let told = false;

/** True where the system's Chromium is there; otherwise says so in one line, and the tests that need it are skipped. */
export function hasChromium(): boolean {
  if (existsSync(CHROMIUM_PATH)) return true;
  if (!told) {
    told = true;
    process.stdout.write(`${CHROMIUM_PATH} not found: browser tests are skipped\n`);
  }
  return false;
}

/** A browser that talks to nobody by itself. Close it. */
export function launchChromium(): Promise<Browser> {
  return chromium.launch({
    executablePath: CHROMIUM_PATH,
    args: ['--no-sandbox', ...QUIET],
  });
}

/** Pictures of an SVG or HTML file at twice the size of the screen; whole page, at least A4 landscape wide. */
export async function screenshot(svgOrHtmlPath: string, pngPath: string): Promise<void> {
  const browser = await launchChromium();
  try {
    const page = await browser.newPage({ viewport: { width: 1123, height: 794 }, deviceScaleFactor: 2 });
    await page.goto(pathToFileURL(svgOrHtmlPath).href);
    if (svgOrHtmlPath.endsWith('.svg')) {
      const height = await page.evaluate(() => Math.ceil(document.documentElement.getBoundingClientRect().height));
      await page.setViewportSize({ width: 1123, height });
    }
    await page.screenshot({ path: pngPath, fullPage: svgOrHtmlPath.endsWith('.html') });
  } finally {
    await browser.close();
  }
}
