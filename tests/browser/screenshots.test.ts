import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { SCREENSHOTS, takeScreenshots } from '../../scripts/screenshots.ts';
import { renderReport } from '../../src/pipeline/renderReport.ts';
import { hasChromium, launchChromium } from '../support/chromium.ts';
import { fixtureDay } from '../support/reportFixture.ts';

const there = hasChromium();
const folder = mkdtempSync(join(tmpdir(), 'swingbasis-screenshots-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe.skipIf(!there)('the pictures for the README', () => {
  it('are taken of every page named, at twice its pixels, without an error in any page', async () => {
    for await (const { path, text } of renderReport(fixtureDay(), [])) {
      mkdirSync(dirname(join(folder, path)), { recursive: true });
      writeFileSync(join(folder, path), [...text].join(''));
    }
    const browser = await launchChromium();
    const errors = await takeScreenshots(browser, folder, 'Wren', join(folder, 'pictures'));
    await browser.close();
    expect(errors).toEqual([]);
    for (const { name, width, height } of SCREENSHOTS) {
      const png = readFileSync(join(folder, 'pictures', `${name}.png`));
      // PNG 2nd edition, 11.2.2: width and height are the first two words of IHDR
      expect([png.readUInt32BE(16), png.readUInt32BE(20)], name).toEqual([2 * width, 2 * height]);
      // an empty page of the largest of these sizes has 17 kB (measured)
      expect(png.length, name).toBeGreaterThan(40_000);
    }
  });
});
