import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderIndex } from '../../src/report/indexPage.ts';
import { renderPlayerSheet } from '../../src/report/playerSheet.ts';
import type { DayView } from '../../src/report/views.ts';
import { hasChromium, launchChromium } from '../support/chromium.ts';
import { fixtureDay, fixtureView } from '../support/reportFixture.ts';

const there = hasChromium();
const day = fixtureDay();
const earlier = fixtureView({ player: 'Bunting', seed: 3 });
/** The same day with a player more, who comes first: everything below moves down. */
const later: DayView = {
  ...day,
  players: [earlier, ...day.players],
  outcomes: [...earlier.outcomes, ...day.outcomes],
};

let browser: Browser;
let folder: string;

beforeAll(async () => {
  if (!there) return;
  folder = mkdtempSync(join(tmpdir(), 'swingbasis-watched-'));
  mkdirSync(join(folder, 'players'));
  for (const view of later.players) {
    writeFileSync(join(folder, 'players', `${view.comparison.player}.svg`), renderPlayerSheet(view));
  }
  browser = await launchChromium();
});

afterAll(async () => {
  if (!there) return;
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

function write(view: DayView, reload_s: number | null): void {
  writeFileSync(join(folder, 'index.html'), renderIndex(view, [], reload_s));
}

/** The page as the reader opens it, and what its policy or its script complains about. */
async function opened(options: { readonly javaScriptEnabled: boolean }) {
  const context = await browser.newContext({ ...options, viewport: { width: 1123, height: 794 } });
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('console', (message) => complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(error.message));
  await page.goto(pathToFileURL(join(folder, 'index.html')).href);
  return { page, complaints, close: () => context.close() };
}

const sheets = (page: Page) => page.locator('section.sheet');
const siskin = 'section.sheet#player-Siskin';
const topOf = (page: Page): Promise<number> =>
  page.locator(siskin).evaluate((section) => section.getBoundingClientRect().top);

describe.skipIf(!there)('the page of a day that is watched', () => {
  it('loads itself anew, with a link of the page followed too, and keeps the place, the choice and the opened parts', async () => {
    write(day, 1);
    const { page, complaints, close } = await opened({ javaScriptEnabled: true });
    expect(await sheets(page).count()).toBe(3);
    await page.locator('select[name=player]').selectOption({ label: 'Siskin' });
    await page.locator(`${siskin} summary`).click();
    await page.locator('dl a[href="#player-Siskin"]').click();
    await page.evaluate(() => window.scrollBy(0, 150));
    const top = await topOf(page);
    write(later, 1);
    await expect.poll(() => sheets(page).count(), { timeout: 30_000 }).toBe(4);
    expect(await page.locator('select[name=player] option:checked').textContent()).toBe('Siskin');
    expect(await page.locator(siskin).isVisible()).toBe(true);
    expect(await page.locator('section.sheet#player-Bunting').isVisible()).toBe(false);
    expect(await page.locator(`${siskin} details`).evaluate((details) => (details as HTMLDetailsElement).open)).toBe(
      true,
    );
    // places are kept to the pixel; half of one is rounding of the scroll position
    expect(Math.abs((await topOf(page)) - top)).toBeLessThan(1);
    // the last page is that of one run: it stays
    write(day, null);
    await expect.poll(() => sheets(page).count(), { timeout: 30_000 }).toBe(3);
    expect(await page.locator('html').getAttribute('data-reload')).toBeNull();
    expect(complaints).toEqual([]);
    await close();
  });

  it('loads itself anew without scripts too', async () => {
    write(day, 1);
    const { page, complaints, close } = await opened({ javaScriptEnabled: false });
    expect(await sheets(page).count()).toBe(3);
    write(later, 1);
    await expect.poll(() => sheets(page).count(), { timeout: 30_000 }).toBe(4);
    expect(complaints).toEqual([]);
    await close();
  });
});
