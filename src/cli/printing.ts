/** --pdf, --png and --paper, the same on every command that writes a report. */
import { statSync } from 'node:fs';
import type { Command } from 'commander';
import { isPaper, PAPERS } from '../print/paper.ts';
import { type Printed, type PrintRequest, printOutput } from '../print/printOutput.ts';
import { EXIT, UsageError } from './exit.ts';
import { shownBelow } from './summary.ts';

export interface PrintFlags {
  readonly pdf: boolean;
  readonly png: boolean;
  readonly paper?: string;
}

/** Prints what is in an output folder and says so; returns an exit code. */
export type PrintStep = (out: string, pause: () => Promise<void>) => Promise<number>;

export function withPrintOptions(command: Command): Command {
  return command
    .option(
      '--pdf',
      'also write each player’s sheets and the page of the report as PDF; needs Chromium or Chrome',
      false,
    )
    .option('--png', 'also write each player’s sheet as PNG; needs Chromium or Chrome', false)
    .option('--paper <size>', `paper of the PDF, landscape: ${Object.keys(PAPERS).join(' or ')} (default: a4)`);
}

/**
 * Does the work with a browser open for all that is to be printed; it is opened first, so that a browser that is not there is told
 * before anything is done. Without --pdf and --png none is opened. @throws UsageError @throws FileError
 */
export async function withPrinting(flags: PrintFlags, work: (print: PrintStep) => Promise<number>): Promise<number> {
  const request = requestOf(flags);
  if (!request.pdf && !request.png) return await work(async () => EXIT.used);
  const { findBrowser } = await import('../print/findBrowser.ts');
  const { openBrowser } = await import('../print/browser.ts');
  const path = findBrowser({ platform: process.platform, environment: process.env, isFile });
  const browser = await openBrowser(path);
  try {
    return await work(async (out, pause) => told(out, await printOutput(out, request, browser, pause)));
  } finally {
    await browser.close();
  }
}

function requestOf({ pdf, png, paper }: PrintFlags): PrintRequest {
  if (paper !== undefined && !pdf) throw new UsageError('--paper belongs to --pdf');
  const name = (paper ?? 'a4').toLowerCase();
  if (!isPaper(name)) throw new UsageError(`--paper ${paper} is not known; choose ${Object.keys(PAPERS).join(' or ')}`);
  return { pdf, png, paper: name };
}

function told(out: string, { files, trouble }: Printed): number {
  const counts = ['pdf', 'png'].flatMap((ending) => {
    const count = files.filter((path) => path.endsWith(`.${ending}`)).length;
    return count === 0 ? [] : [`${count} ${ending.toUpperCase()}`];
  });
  if (counts.length > 0) process.stdout.write(`printed: ${counts.join(', ')} in ${shownBelow(out, '.')}\n`);
  if (trouble === '') return EXIT.used;
  process.stderr.write(`${trouble}; the results and what was printed before are whole\n`);
  return EXIT.someBad;
}

function isFile(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isFile() ?? false;
}
