/** One open browser that turns sheets and pages into PDF and PNG. It talks to nobody and runs no script of a page. */
import { pathToFileURL } from 'node:url';
import type { Page } from 'playwright-core';
import { FileError } from '../disk/fileSource.ts';
import { PAPERS, type Paper } from './paper.ts';
import { emptyPages, placeSheets } from './sheetPages.ts';

/** Pixels of a PNG for each of the 96 pixels of an inch: 192 an inch, a sheet 2246 × 1588. */
export const PNG_SCALE = 2;

/** Width and height of an A4 landscape sheet in pixels of 1/96 inch. */
const SHEET_PX = { width: 1123, height: 794 } as const;

/** Longer than any page needs; a browser that takes longer hangs. */
const PATIENCE_S = 120;

/** A browser that talks to nobody by itself. */
export const QUIET = [
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** The browser did not do what it was asked; the message says what it said. */
export class PrintError extends Error {}

export interface PrintBrowser {
  /** Sheets as one PDF, a page each; a sheet of several pages takes as many. @throws PrintError */
  sheetsPdf(sheets: readonly string[], paper: Paper): Promise<Uint8Array>;
  /** An HTML file as PDF, as its print style says. @throws PrintError */
  pagePdf(path: string, paper: Paper): Promise<Uint8Array>;
  /** A sheet of one page as PNG. @throws PrintError */
  sheetPng(sheet: string): Promise<Uint8Array>;
  close(): Promise<void>;
}

/** Opens the browser whose program file is at `path`. @throws FileError where it does not start */
export async function openBrowser(path: string): Promise<PrintBrowser> {
  const { chromium } = await import('playwright-core');
  const settings = {
    executablePath: path,
    args: QUIET,
    handleSIGINT: false,
    handleSIGTERM: false,
    handleSIGHUP: false,
  };
  const browser = await chromium.launch(settings).catch((error: unknown) => {
    throw new FileError(`the browser ${path} does not start: ${firstLine(error)}; nothing was done`);
  });
  const context = await browser.newContext({
    javaScriptEnabled: false,
    offline: true,
    viewport: SHEET_PX,
    deviceScaleFactor: PNG_SCALE,
  });
  const onPage = async <T>(work: (page: Page) => Promise<T>): Promise<T> => {
    try {
      const page = await context.newPage();
      const made = await inTime(work(page));
      await page.close();
      return made;
    } catch (error) {
      throw new PrintError(firstLine(error));
    }
  };
  const show = async (page: Page, sheets: readonly string[], paper: Paper): Promise<void> => {
    await page.setContent(emptyPages(paper));
    await page.evaluate(placeSheets, sheets);
  };
  return {
    sheetsPdf: (sheets, paper) =>
      onPage(async (page) => {
        await show(page, sheets, paper);
        return await page.pdf(pdfSettings(paper));
      }),
    pagePdf: (file, paper) =>
      onPage(async (page) => {
        await page.goto(pathToFileURL(file).href);
        return await page.pdf(pdfSettings(paper));
      }),
    sheetPng: (sheet) =>
      onPage(async (page) => {
        await show(page, [sheet], 'a4');
        return await page.screenshot({ clip: { x: 0, y: 0, ...SHEET_PX } });
      }),
    close: () => browser.close(),
  };
}

function pdfSettings(paper: Paper) {
  const { width_mm, height_mm } = PAPERS[paper];
  return {
    width: `${width_mm}mm`,
    height: `${height_mm}mm`,
    printBackground: true,
    preferCSSPageSize: true,
    tagged: true,
  };
}

async function inTime<T>(work: Promise<T>): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`it did not answer within ${PATIENCE_S} s`)), 1000 * PATIENCE_S);
  });
  try {
    return await Promise.race([work, late]);
  } finally {
    clearTimeout(timer);
  }
}

/** What an error says first, without the names of functions before it. */
function firstLine(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error);
  return (text.split('\n')[0] ?? '').replace(/^([A-Za-z]+\.[A-Za-z]+: )+/, '').trim();
}
