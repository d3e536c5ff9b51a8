import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderIndex } from '../../src/report/indexPage.ts';
import { renderPlayerPage } from '../../src/report/page/playerPage.ts';
import { renderPlayerSheet } from '../../src/report/playerSheet.ts';
import { renderSessionPage, sessionSheetFile } from '../../src/report/sessionPage.ts';
import { renderSessionSheet } from '../../src/report/sessionSheet.ts';
import { renderTrendPage } from '../../src/report/trendPage.ts';
import { renderTrendSheet, trendSheetFile } from '../../src/report/trendSheet.ts';
import type { PlayerView } from '../../src/report/views.ts';
import { hasChromium, launchChromium } from '../support/chromium.ts';
import { textsOf } from '../support/pageText.ts';
import { damagedRecord, viewWith } from '../support/qualityFixture.ts';
import { REPORT_CASES } from '../support/reportCases.ts';
import { fixtureDay, fixtureView } from '../support/reportFixture.ts';
import { fullSession, fullTrend } from '../support/sessionFixture.ts';
import { overlappingPairs } from '../support/svgText.ts';

const there = hasChromium();
const settings = { speed: 'm/s', length: 'mm', language: 'de' } as const;
const german = (view: PlayerView): PlayerView => ({ ...view, settings });

/** Players whose pages hold the most: every figure of the club and notes; a comparison that failed; two sets. */
const PAGES: Readonly<Record<string, PlayerView>> = {
  full: german(fixtureView({ face: true, ...REPORT_CASES['notes at positions and a practice list'] })),
  nothing: german(fixtureView(REPORT_CASES['no irons'])),
  sets: german(fixtureView(REPORT_CASES['assumed target, two sets'])),
};

let browser: Browser;
let page: Page;
let folder: string;

beforeAll(async () => {
  if (!there) return;
  folder = mkdtempSync(join(tmpdir(), 'swingbasis-german-'));
  mkdirSync(join(folder, 'players'));
  for (const [name, view] of Object.entries(PAGES)) writeFileSync(join(folder, `${name}.html`), renderPlayerPage(view));
  const day = fixtureDay();
  const players = day.players.map((view, i) => german(i === 0 ? viewWith(view, damagedRecord()) : view));
  for (const view of players)
    writeFileSync(join(folder, 'players', `${view.comparison.player}.svg`), renderPlayerSheet(view));
  writeFileSync(join(folder, 'index.html'), renderIndex({ ...day, players, settings }));
  writeDays();
  browser = await launchChromium();
  page = await browser.newPage();
});

afterAll(async () => {
  if (!there) return;
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

/** The pages of two days and of a season with their sheets. */
function writeDays(): void {
  const session = { ...fullSession(), settings };
  const season = { trend: fullTrend(), programVersion: session.programVersion, settings };
  writeFileSync(join(folder, sessionSheetFile(session)), renderSessionSheet(session));
  writeFileSync(join(folder, 'days.html'), renderSessionPage([session], session.notes, session.programVersion));
  writeFileSync(join(folder, trendSheetFile(season.trend)), renderTrendSheet(season));
  writeFileSync(join(folder, 'season.html'), renderTrendPage(season));
}

async function open(file: string, width: number, view = ''): Promise<void> {
  await page.setViewportSize({ width, height: 900 });
  await page.goto('about:blank');
  await page.goto(pathToFileURL(join(folder, file)).href + view);
}

/** Fails where two texts overlap or the page is wider than its window. */
async function expectRoom(width: number, least: number): Promise<void> {
  const texts = await textsOf(page);
  expect(texts.length).toBeGreaterThan(least);
  // a pixel: boxes of glyphs are rounded, and lines of a paragraph touch
  expect(overlappingPairs(texts, 1)).toEqual([]);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
}

describe.skipIf(!there)('pages in German', () => {
  it.each([1280, 1024, 390])('of players: no text lies over another at %i pixels, nothing is wider', async (width) => {
    for (const name of Object.keys(PAGES))
      for (const view of ['', '#coach']) {
        await open(`${name}.html`, width, view);
        expect(await page.evaluate(() => document.documentElement.lang)).toBe('de');
        // a page without comparison has 18 texts for the player
        await expectRoom(width, 15);
      }
  });

  it.each([1280, 1024, 390])('of the day: no text lies over another at %i pixels, nothing is wider', async (width) => {
    await open('index.html', width);
    expect(await page.evaluate(() => document.documentElement.lang)).toBe('de');
    await expectRoom(width, 40);
    await page.evaluate(() => {
      for (const details of document.querySelectorAll('details')) details.open = true;
    });
    await expectRoom(width, 200);
  });

  it.each([1280, 1024, 390])('of days: no text lies over another at %i pixels, nothing is wider', async (width) => {
    for (const name of ['days', 'season']) {
      await open(`${name}.html`, width);
      expect(await page.evaluate(() => document.documentElement.lang)).toBe('de');
      await expectRoom(width, 10);
    }
    // the tables of a season can be moved sideways where the window is narrow
    const cut = await page.evaluate(
      () => [...document.querySelectorAll('.rows')].filter((one) => one.scrollWidth > one.clientWidth).length,
    );
    expect(cut > 0).toBe(width < 1280);
  });

  it('would be seen to overlap', async () => {
    await open('full.html', 1280);
    await page.evaluate(() => {
      document.querySelector<HTMLElement>('.headline')!.style.marginBottom = '-3rem';
    });
    expect(overlappingPairs(await textsOf(page), 1)).not.toEqual([]);
  });
});
