import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { textWidth } from '../../src/report/drawing/textMetrics.ts';
import { FONT_STACK, SIZE } from '../../src/report/drawing/theme.ts';
import { renderIndex } from '../../src/report/indexPage.ts';
import { DAY_SCRIPT } from '../../src/report/page/script.generated.ts';
import { renderPlayerDetails } from '../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../src/report/playerSheet.ts';
import { hasChromium, launchChromium } from '../support/chromium.ts';
import { REPORT_CASES } from '../support/reportCases.ts';
import { fixtureDay, fixtureView } from '../support/reportFixture.ts';
import { outsidePage, overlappingPairs, type PlacedText } from '../support/svgText.ts';

const there = hasChromium();

let browser: Browser;
let page: Page;
let folder: string;
const requests: string[] = [];

beforeAll(async () => {
  if (!there) return;
  folder = mkdtempSync(join(tmpdir(), 'swingbasis-report-'));
  mkdirSync(join(folder, 'players'));
  const write = (name: string, options: Parameters<typeof fixtureView>[0]): void => {
    writeFileSync(join(folder, `${name}.svg`), renderPlayerSheet(fixtureView(options)));
    writeFileSync(join(folder, `${name}-details.svg`), renderPlayerDetails(fixtureView(options)));
  };
  for (const [name, options] of Object.entries(REPORT_CASES)) write(name, options);
  const day = fixtureDay();
  for (const view of day.players) {
    writeFileSync(join(folder, 'players', `${view.comparison.player}.svg`), renderPlayerSheet(view));
    writeFileSync(join(folder, 'players', `${view.comparison.player}-details.svg`), renderPlayerDetails(view));
  }
  writeFileSync(join(folder, 'index.html'), renderIndex(day));
  browser = await launchChromium();
  page = await browser.newPage({ viewport: { width: 1123, height: 794 } });
  page.on('request', (request) => requests.push(request.url()));
});

afterAll(async () => {
  if (!there) return;
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

async function open(name: string): Promise<void> {
  requests.length = 0;
  await page.goto(pathToFileURL(join(folder, name)).href);
}

interface Measured {
  readonly texts: PlacedText[];
  readonly sizes_pt: number[];
  readonly width: number;
  readonly height: number;
  readonly active: number;
}

/** Boxes of all texts in CSS pixels, sizes in points of the print, as the browser draws them. */
function measure(): Promise<Measured> {
  return page.evaluate(() => {
    const texts = [...document.querySelectorAll('text')].map((element) => {
      const { x, y, width, height } = element.getBoundingClientRect();
      return { text: element.textContent ?? '', box: { x, y, width, height } };
    });
    const root = document.documentElement as unknown as SVGSVGElement;
    const scale = root.getScreenCTM()!.a; // CSS pixels a user unit; 0.75 pt a pixel
    const sizes_pt = [...document.querySelectorAll('text')].map(
      (element) => Number.parseFloat(getComputedStyle(element).fontSize) * scale * 0.75,
    );
    const { width, height } = root.getBoundingClientRect();
    const active = document.querySelectorAll('script, foreignObject, image, use, iframe, audio, video').length;
    return { texts, sizes_pt, width, height, active };
  });
}

const A4_WIDTH_PX = (297 / 25.4) * 96;
const A4_HEIGHT_PX = (210 / 25.4) * 96;

describe.skipIf(!there)('sheets in a browser', () => {
  const files = Object.keys(REPORT_CASES).flatMap((name) => [name, `${name}-details`]);

  it.each(files)(
    '%s: no text overlaps another or leaves the page, none under 7 pt, no script, no network',
    async (name) => {
      await open(`${name}.svg`);
      const { texts, sizes_pt, width, height, active } = await measure();
      expect(texts.length).toBeGreaterThan(5);
      expect(width).toBeCloseTo(A4_WIDTH_PX, 0);
      expect(height / A4_HEIGHT_PX).toBeCloseTo(name.endsWith('-details') ? Math.round(height / A4_HEIGHT_PX) : 1, 3);
      // half a pixel: browsers round glyph boxes to whole pixels of their raster
      expect(overlappingPairs(texts, 0.5)).toEqual([]);
      expect(outsidePage(texts, A4_WIDTH_PX, A4_HEIGHT_PX, 0.5)).toEqual([]);
      expect(Math.min(...sizes_pt)).toBeGreaterThanOrEqual(7);
      expect(active).toBe(0);
      expect(requests).toEqual([pathToFileURL(join(folder, `${name}.svg`)).href]);
    },
  );

  it('widths computed without a browser are those the browser measures, kerning aside', async () => {
    await page.goto('about:blank');
    await page.setContent(
      `<svg xmlns="http://www.w3.org/2000/svg" font-family="${FONT_STACK}" style="font-kerning: none"></svg>`,
    );
    const samples = [
      'The pelvis keeps 6.8° more',
      'ABCDEFGHIJKLMNOPQRSTUVWXYZ',
      'abcdefghijklmnopqrstuvwxyz',
      '0123456789 −+±×%/·–—…',
      `'"#$&()*,-.:;<=>?@[]^_{|}~!’‘“”`,
    ];
    for (const weight of ['regular', 'bold'] as const) {
      for (const text of samples) {
        const measured = await page.evaluate(
          ([content, bold, size]) => {
            const element = document.createElementNS('http://www.w3.org/2000/svg', 'text');
            element.textContent = content;
            element.setAttribute('font-size', String(size));
            if (bold) element.setAttribute('font-weight', 'bold');
            document.querySelector('svg')!.append(element);
            return element.getComputedTextLength();
          },
          [text, weight === 'bold', SIZE.large] as const,
        );
        // 1 %: faces of the stack differ in a few signs (the plus-minus sign is 0.549 em in one, 0.584 in another)
        expect(
          Math.abs(textWidth(text, 'large', weight) / measured - 1),
          `${weight} ${text}: ${measured}`,
        ).toBeLessThan(0.01);
      }
    }
  });
});

describe.skipIf(!there)('the page of the day in a browser', () => {
  it('has no serious or critical finding of axe-core, before and after its words are unfolded', async () => {
    await open('index.html');
    await page.evaluate(readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'));
    for (const unfolded of [false, true]) {
      await page.evaluate((show) => {
        for (const details of document.querySelectorAll('details')) details.open = show;
      }, unfolded);
      const found = await page.evaluate(async () => {
        const axe = (
          globalThis as unknown as {
            axe: { run(): Promise<{ violations: { id: string; impact: string }[]; passes: unknown[] }> };
          }
        ).axe;
        const { violations, passes } = await axe.run();
        return { violations: violations.map(({ id, impact }) => `${impact} ${id}`), passes: passes.length };
      });
      expect(found.passes).toBeGreaterThan(10);
      expect(found.violations.filter((text) => /^(serious|critical)/.test(text))).toEqual([]);
    }
  });

  it('opens from disk, shows every sheet, asks for nothing but the sheets, and runs no script but its filter', async () => {
    await open('index.html');
    const shown = await page.evaluate(() =>
      [...document.images].map((image) => image.complete && image.naturalWidth > 0),
    );
    expect(shown).toEqual([true, true, true]);
    for (const url of requests) expect(url.startsWith(pathToFileURL(folder).href)).toBe(true);
    expect(requests).toHaveLength(4);
    expect(await page.evaluate(() => [...document.scripts].map((script) => script.text))).toEqual([DAY_SCRIPT]);
  });

  it('shows one player, or the players who swung one club, on request, and all again', async () => {
    await open('index.html');
    const shown = (): Promise<string[]> =>
      page.evaluate(() =>
        [...document.querySelectorAll('dt, section.player h2')].flatMap((element) =>
          element.checkVisibility() ? [(element.textContent ?? '').split(/[:, ]/)[0]!] : [],
        ),
      );
    const said = (): Promise<string | null> => page.locator('.filter output').textContent();
    const all = ['Wren', 'Siskin', 'Dunnock'];
    expect([await shown(), await said()]).toEqual([[...all, ...all], '3 of 3 shown']);
    const player = page.locator('select[name=player]');
    await player.selectOption('Siskin');
    expect([await shown(), await said()]).toEqual([['Siskin', 'Siskin'], '1 of 3 shown']);
    const rows = await page.locator('tbody tr').evaluateAll((list) => list.map((row) => row.checkVisibility()));
    expect(rows.filter(Boolean)).toHaveLength(2); // one left out, one rejected
    await player.selectOption('');
    expect(await shown()).toEqual([...all, ...all]);
    // what was not used was swung with the driver
    await page.locator('select[name=club]').selectOption('iron7');
    expect(await page.locator('tbody tr').evaluateAll((list) => list.filter((row) => row.checkVisibility()))).toEqual(
      [],
    );
    expect(await shown()).toEqual([...all, ...all]);
  });

  it('shows everything, and no lists to choose from, where scripts are off', async () => {
    const plain = await browser.newPage({ javaScriptEnabled: false });
    await plain.goto(pathToFileURL(join(folder, 'index.html')).href);
    expect(await plain.locator('section.player').count()).toBe(3);
    for (const section of await plain.locator('section.player').all()) expect(await section.isVisible()).toBe(true);
    expect(await plain.locator('.filter').isVisible()).toBe(false);
    await plain.close();
  });

  it('is not wider than a phone', async () => {
    await page.setViewportSize({ width: 360, height: 740 });
    await open('index.html');
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
    await page.setViewportSize({ width: 1123, height: 794 });
  });

  it('prints one player a page: overview, three sheets, trials not used', async () => {
    await open('index.html');
    const pdf = await page.pdf({ preferCSSPageSize: true });
    expect(pdf.toString('latin1').match(/\/Type \/Page\b/g)).toHaveLength(5);
  });
});
