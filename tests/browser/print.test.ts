import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { JSDOM } from 'jsdom';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openBrowser, PNG_SCALE, type PrintBrowser, PrintError } from '../../src/print/browser.ts';
import { PAPERS, type Paper } from '../../src/print/paper.ts';
import { emptyPages, placeSheets } from '../../src/print/sheetPages.ts';
import { PAGE } from '../../src/report/drawing/theme.ts';
import { renderIndex } from '../../src/report/indexPage.ts';
import { renderPlayerDetails } from '../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../src/report/playerSheet.ts';
import { CHROMIUM_PATH, hasChromium, launchChromium } from '../support/chromium.ts';
import { cli } from '../support/cli.ts';
import { contentsOf } from '../support/folders.ts';
import { pdfPages, squeezed } from '../support/pdfText.ts';
import { fixtureDay } from '../support/reportFixture.ts';
import { SAMPLE_DATA, SMALL_DAY } from '../support/smallDay.ts';

const there = hasChromium();
const papers = Object.keys(PAPERS) as Paper[];
const day = fixtureDay();

let browser: PrintBrowser;
let folder: string;
let parse: (svg: string) => Element;
let sheets: string[];
let details: string[];

beforeAll(async () => {
  if (!there) return;
  parse = (svg) => new JSDOM(svg, { contentType: 'image/svg+xml' }).window.document.documentElement;
  sheets = day.players.map((view) => renderPlayerSheet(view));
  details = day.players.map((view) => renderPlayerDetails(view));
  folder = mkdtempSync(join(tmpdir(), 'swingbasis-print-'));
  mkdirSync(join(folder, 'players'));
  day.players.forEach((view, i) => {
    writeFileSync(join(folder, 'players', `${view.comparison.player}.svg`), sheets[i]!);
  });
  writeFileSync(join(folder, 'index.html'), renderIndex(day));
  browser = await openBrowser(CHROMIUM_PATH);
});

afterAll(async () => {
  if (!there) return;
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

/** The words of each page of a sheet in the order they are drawn, found in its SVG. */
function wordsOf(svg: string): string[] {
  const root = parse(svg);
  const pages = Math.max(1, root.querySelectorAll('view').length);
  const words = Array.from({ length: pages }, () => '');
  for (const text of root.querySelectorAll('text')) {
    words[Math.floor(Number(text.getAttribute('y')) / PAGE.height)] += text.textContent ?? '';
  }
  return words.map(squeezed);
}

const POINTS_PER_MM = 72 / 25.4;

describe.skipIf(!there)('a PDF of sheets', () => {
  it.each(papers)(
    '%s: one page for the sheet and one for each of the details, each with all its words and no others',
    async (paper) => {
      const pages = pdfPages(await browser.sheetsPdf([sheets[0]!, details[0]!], paper));
      const words = [...wordsOf(sheets[0]!), ...wordsOf(details[0]!)];
      expect(words.length).toBeGreaterThan(3);
      expect(pages.map(({ text }) => text)).toEqual(words);
      for (const page of pages) {
        // half a point: browsers round the paper to whole pixels
        expect(Math.abs(page.width_pt - PAPERS[paper].width_mm * POINTS_PER_MM)).toBeLessThan(0.5);
        expect(Math.abs(page.height_pt - PAPERS[paper].height_mm * POINTS_PER_MM)).toBeLessThan(0.5);
      }
    },
  );

  it.each(papers)('%s: every word lies on its page, as large as the page allows', async (paper) => {
    const own = await launchChromium();
    const page = await own.newPage();
    await page.emulateMedia({ media: 'print' });
    await page.setContent(emptyPages(paper));
    await page.evaluate(placeSheets, [sheets[0]!, details[0]!]);
    const found = await page.evaluate(() =>
      [...document.querySelectorAll('section')].map((section) => {
        const sheet = section.getBoundingClientRect();
        const outside = [...section.querySelectorAll('text')].filter((text) => {
          const box = text.getBoundingClientRect();
          return box.left < sheet.left || box.right > sheet.right || box.top < sheet.top || box.bottom > sheet.bottom;
        });
        const scale = section.querySelector('svg')!.getScreenCTM()!.a;
        return { outside: outside.map(({ textContent }) => textContent), scale };
      }),
    );
    await own.close();
    const { width_mm, height_mm } = PAPERS[paper];
    // CSS pixels a point of the sheet: the paper's width or its height, whichever is used up first
    const largest = (96 / 25.4) * Math.min(width_mm / PAGE.width, height_mm / PAGE.height);
    for (const { outside, scale } of found) {
      expect(outside).toEqual([]);
      expect(scale / largest).toBeGreaterThan(0.998);
    }
  });

  it('is named by its first sheet', async () => {
    const pdf = await browser.sheetsPdf([sheets[0]!], 'a4');
    expect(Buffer.from(pdf).toString('latin1')).toContain('/Title (Wren: driver against irons)');
  });
});

describe.skipIf(!there)('the page of the day on paper', () => {
  it.each(papers)('%s: overview, one sheet a page with all its words, trials not used', async (paper) => {
    const pages = pdfPages(await browser.pagePdf(join(folder, 'index.html'), paper));
    expect(pages).toHaveLength(sheets.length + 2);
    expect(pages.slice(1, -1).map(({ text }) => text)).toEqual(sheets.flatMap(wordsOf));
    for (const view of day.players) expect(pages[0]!.text).toContain(squeezed(view.comparison.player));
    for (const outcome of day.outcomes) {
      if (outcome.status !== 'used') expect(pages.at(-1)!.text).toContain(squeezed(outcome.reason));
    }
    // half a point and a pixel: the browser rounds landscape papers up to whole pixels
    expect(Math.abs(pages[0]!.width_pt - PAPERS[paper].width_mm * POINTS_PER_MM)).toBeLessThan(1.25);
  });
});

describe.skipIf(!there)('a PNG of a sheet', () => {
  it('is A4 landscape at the stated scale', async () => {
    const png = Buffer.from(await browser.sheetPng(sheets[0]!));
    // PNG 2nd edition, 11.2.2: width and height are the first two words of IHDR, which comes first
    expect(png.toString('latin1', 12, 16)).toBe('IHDR');
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([1123 * PNG_SCALE, 794 * PNG_SCALE]);
  });
});

describe.skipIf(!there)('a browser that is gone', () => {
  it('is told as an error of printing, in one line', async () => {
    const gone = await openBrowser(CHROMIUM_PATH);
    await gone.close();
    const error = await gone.sheetsPdf([sheets[0]!], 'a4').catch((reason: unknown) => reason);
    expect(error).toBeInstanceOf(PrintError);
    expect((error as Error).message).toMatch(/closed/);
    expect((error as Error).message).not.toContain('\n');
  });
});

describe.skipIf(!there)('a day that is printed as it is processed', () => {
  it('has the same results as one that is not, and beside them the files that were asked for', async () => {
    const dayFile = join(folder, 'day.yaml');
    writeFileSync(dayFile, SMALL_DAY);
    const [plain, printed] = [join(folder, 'plain'), join(folder, 'printed')];
    const process = ['process', dayFile, '--data', SAMPLE_DATA, '--out'];
    expect((await cli(...process, plain)).code).toBe(0);
    const run = await cli(...process, printed, '--pdf', '--png', '--paper', 'letter');
    expect(run.code).toBe(0);
    expect(run.stdout).toMatch(/\nprinted: 2 PDF, 1 PNG in .+printed\n$/);
    const [without, beside] = [contentsOf(plain), contentsOf(printed)];
    for (const [path, bytes] of without) if (!path.startsWith('.store/')) expect(beside.get(path)).toEqual(bytes);
    expect([...beside.keys()].filter((path) => !without.has(path))).toEqual([
      'index.pdf',
      'players/osprey.pdf',
      'players/osprey.png',
    ]);
    const pages = pdfPages(readFileSync(join(printed, 'players/osprey.pdf')));
    expect(pages.length).toBeGreaterThan(1);
    expect(pages[0]!.text).toContain(squeezed('driver, 2 swings'));
    // two runs of a day: longer than the usual limit on a busy machine
  }, 240_000);
});
