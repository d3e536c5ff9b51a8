/** The PDF and PNG of an output folder: made from the files of the report that are in it. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { FileError } from '../disk/fileSource.ts';
import { addOutput, madeFiles } from '../disk/outputFolder.ts';
import { type PrintBrowser, PrintError } from './browser.ts';
import type { Paper } from './paper.ts';

export interface PrintRequest {
  readonly pdf: boolean;
  readonly png: boolean;
  readonly paper: Paper;
}

export interface Printed {
  /** Files made, below the output folder. */
  readonly files: readonly string[];
  /** Why not all of them could be made, or ''. What was made before stays. */
  readonly trouble: string;
}

interface Job {
  /** The file to make, below the output folder. */
  readonly path: string;
  readonly make: (browser: PrintBrowser, folder: string) => Promise<Uint8Array>;
}

/** Sheets lie in this folder; the details of one lie beside it. */
const SHEET = /^players\/[^/]+\.svg$/;
const DETAILS = '-details.svg';
const INDEX = 'index.html';

/** What there is to make from the files of a report, in the order it is made. */
function jobsOf(made: readonly string[], { pdf, png, paper }: PrintRequest): readonly Job[] {
  const all = new Set(made);
  const isDetails = (path: string): boolean =>
    path.endsWith(DETAILS) && all.has(`${path.slice(0, -DETAILS.length)}.svg`);
  const sheets = made.filter((path) => SHEET.test(path) && !isDetails(path));
  const jobs: Job[] = [];
  for (const sheet of sheets) {
    const name = sheet.slice(0, -'.svg'.length);
    const parts = [sheet, `${name}${DETAILS}`].filter((path) => all.has(path));
    if (pdf) {
      jobs.push({
        path: `${name}.pdf`,
        make: (browser, folder) =>
          browser.sheetsPdf(
            parts.map((path) => textOf(folder, path)),
            paper,
          ),
      });
    }
    if (png) jobs.push({ path: `${name}.png`, make: (browser, folder) => browser.sheetPng(textOf(folder, sheet)) });
  }
  if (pdf && all.has(INDEX)) {
    jobs.push({ path: 'index.pdf', make: (browser, folder) => browser.pagePdf(join(folder, INDEX), paper) });
  }
  return jobs;
}

function textOf(folder: string, path: string): string {
  const file = join(folder, ...path.split('/'));
  if (!existsSync(file)) throw new FileError(`${file} is no longer there`);
  return readFileSync(file, 'utf8');
}

/**
 * Makes the files that are asked for, each whole or not at all, and notes them as made by this program. The first that cannot be made
 * ends it: the results and what was printed before stay. An error that `pause` throws goes on.
 */
export async function printOutput(
  folder: string,
  request: PrintRequest,
  browser: PrintBrowser,
  pause: () => Promise<void>,
): Promise<Printed> {
  const files: string[] = [];
  for (const { path, make } of jobsOf(madeFiles(folder), request)) {
    await pause();
    try {
      addOutput(folder, path, await make(browser, folder));
    } catch (error) {
      if (!(error instanceof PrintError || error instanceof FileError)) throw error;
      return { files, trouble: `${path} could not be made: ${error.message}` };
    }
    files.push(path);
  }
  return { files, trouble: '' };
}
