import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderIndex } from '../../src/report/indexPage.ts';
import { renderPlayerSheet } from '../../src/report/playerSheet.ts';
import { hasChromium, launchChromium } from '../support/chromium.ts';
import { damagedRecord, riddledRecord, viewWith } from '../support/qualityFixture.ts';
import { fixtureDay } from '../support/reportFixture.ts';
import { overlappingPairs, type PlacedText } from '../support/svgText.ts';

const there = hasChromium();

let browser: Browser;
let page: Page;
let folder: string;
const requests: string[] = [];

beforeAll(async () => {
  if (!there) return;
  folder = mkdtempSync(join(tmpdir(), 'swingbasis-quality-'));
  mkdirSync(join(folder, 'players'));
  const day = fixtureDay();
  const records = [damagedRecord(), riddledRecord()];
  const players = day.players.map((view, i) => (records[i] === undefined ? view : viewWith(view, records[i])));
  for (const view of players) {
    writeFileSync(join(folder, 'players', `${view.comparison.player}.svg`), renderPlayerSheet(view));
  }
  writeFileSync(join(folder, 'index.html'), renderIndex({ ...day, players }));
  browser = await launchChromium();
  page = await browser.newPage({ viewport: { width: 1123, height: 794 } });
  page.on('request', (request) => requests.push(request.url()));
});

afterAll(async () => {
  if (!there) return;
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

async function openUnfolded(width: number): Promise<void> {
  requests.length = 0;
  await page.setViewportSize({ width, height: 794 });
  await page.goto(pathToFileURL(join(folder, 'index.html')).href);
  await page.evaluate(() => {
    for (const details of document.querySelectorAll('details')) details.open = true;
  });
}

function placed(): Promise<PlacedText[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll('.quality text')].map((element) => {
      const { x, y, width, height } = element.getBoundingClientRect();
      return { text: element.textContent ?? '', box: { x, y, width, height } };
    }),
  );
}

describe.skipIf(!there)('quality figures in a browser', () => {
  it.each([1280, 1024, 390])(
    '%i pixels wide: no text overlaps another, the page does not scroll sideways',
    async (width) => {
      await openUnfolded(width);
      const texts = await placed();
      expect(texts.length).toBeGreaterThan(250);
      // half a pixel: browsers round glyph boxes to whole pixels of their raster
      expect(overlappingPairs(texts, 0.5)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
      expect(requests.every((url) => url.startsWith(pathToFileURL(folder).href))).toBe(true);
    },
  );

  it('has no serious or critical finding of axe-core', async () => {
    await openUnfolded(390);
    await page.evaluate(readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'));
    const found = await page.evaluate(async () => {
      const { axe } = globalThis as unknown as {
        axe: { run(): Promise<{ violations: { id: string; impact: string }[] }> };
      };
      return (await axe.run()).violations.map(({ id, impact }) => `${impact} ${id}`);
    });
    expect(found.filter((text) => /^(serious|critical)/.test(text))).toEqual([]);
  });

  it('prints what is unfolded, and nothing of it where nothing is', async () => {
    const pages = async (): Promise<number> =>
      (await page.pdf({ preferCSSPageSize: true })).toString('latin1').match(/\/Type \/Page\b/g)?.length ?? 0;
    await openUnfolded(1123);
    // overview, three sheets, trials not used; a page of figures under each of two players
    expect(await pages()).toBe(7);
    await page.goto(pathToFileURL(join(folder, 'index.html')).href);
    expect(await pages()).toBe(5);
  });
});
