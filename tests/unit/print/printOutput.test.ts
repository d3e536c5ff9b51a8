import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { writeOutput } from '../../../src/disk/outputFolder.ts';
import { type PrintBrowser, PrintError } from '../../../src/print/browser.ts';
import { printOutput } from '../../../src/print/printOutput.ts';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
const go = async (): Promise<void> => {};
const RUN = '{"program": "swingbasis"}';
const REPORT = ['players/heron.svg', 'players/heron-details.svg', 'players/wren.svg', 'figures/wren/table.svg'];
const BOTH = { pdf: true, png: true, paper: 'a4' } as const;

let made = 0;

/** The folder of a finished run. */
async function outputFolder(): Promise<string> {
  made += 1;
  const folder = join(scratch, `out ${made}`);
  await write(folder);
  return folder;
}

async function write(folder: string): Promise<void> {
  async function* files() {
    for (const path of [...REPORT, 'index.html']) yield { path, text: [path] };
    yield { path: 'run.json', text: [RUN] };
  }
  await writeOutput(folder, files(), go);
}

/** Says what it was given instead of drawing it; `dies`: from that call on it is gone. */
function fakeBrowser(dies = Number.POSITIVE_INFINITY): PrintBrowser {
  let calls = 0;
  const say = async (text: string): Promise<Uint8Array> => {
    calls += 1;
    if (calls >= dies) throw new PrintError('the browser has been closed');
    return Buffer.from(text);
  };
  return {
    sheetsPdf: (sheets, paper) => say(`${sheets.join(' + ')} on ${paper}`),
    pagePdf: (path, paper) => say(`${readFileSync(path, 'utf8')} on ${paper}`),
    sheetPng: (sheet) => say(`picture of ${sheet}`),
    close: go,
  };
}

const shown = (folder: string, path: string): string => readFileSync(join(folder, path), 'utf8');

describe('what is printed of an output folder', () => {
  it('is a PDF of each player’s sheets with the details, a PNG of the sheet, and a PDF of the page', async () => {
    const folder = await outputFolder();
    const printed = await printOutput(folder, BOTH, fakeBrowser(), go);
    expect(printed).toEqual({
      files: ['players/heron.pdf', 'players/heron.png', 'players/wren.pdf', 'players/wren.png', 'index.pdf'],
      trouble: '',
    });
    expect(shown(folder, 'players/heron.pdf')).toBe('players/heron.svg + players/heron-details.svg on a4');
    expect(shown(folder, 'players/wren.pdf')).toBe('players/wren.svg on a4');
    expect(shown(folder, 'players/heron.png')).toBe('picture of players/heron.svg');
    expect(shown(folder, 'index.pdf')).toBe('index.html on a4');
  });

  it('is what was asked for, on the paper that was asked for', async () => {
    const folder = await outputFolder();
    const png = await printOutput(folder, { pdf: false, png: true, paper: 'a4' }, fakeBrowser(), go);
    expect(png.files).toEqual(['players/heron.png', 'players/wren.png']);
    await printOutput(folder, { pdf: true, png: false, paper: 'letter' }, fakeBrowser(), go);
    expect(shown(folder, 'index.pdf')).toBe('index.html on letter');
  });

  it('changes no byte of the results, and goes with the next run that does not ask for it', async () => {
    const folder = await outputFolder();
    const before = contentsOf(folder);
    const { files } = await printOutput(folder, BOTH, fakeBrowser(), go);
    const after = contentsOf(folder);
    for (const [path, bytes] of before) if (!path.startsWith('.store/')) expect(after.get(path)).toEqual(bytes);
    expect(after.size).toBe(before.size + files.length);
    await write(folder);
    expect([...contentsOf(folder)]).toEqual([...before]);
  });

  it('stays as far as it came when the browser dies, and so do the results', async () => {
    const folder = await outputFolder();
    const printed = await printOutput(folder, BOTH, fakeBrowser(3), go);
    expect(printed.files).toEqual(['players/heron.pdf', 'players/heron.png']);
    expect(printed.trouble).toBe('players/wren.pdf could not be made: the browser has been closed');
    expect(existsSync(join(folder, 'players/wren.pdf'))).toBe(false);
    expect(shown(folder, 'run.json')).toBe(RUN);
    expect([...contentsOf(folder).keys()].filter((path) => path.includes('unfinished'))).toEqual([]);
  });

  it('stops where the user interrupts, and lets faults of the program through', async () => {
    const folder = await outputFolder();
    const stop = async (): Promise<void> => {
      throw new Error('stop');
    };
    await expect(printOutput(folder, BOTH, fakeBrowser(), stop)).rejects.toThrow('stop');
    const broken = { ...fakeBrowser(), sheetsPdf: () => Promise.reject(new TypeError('a fault')) };
    await expect(printOutput(folder, BOTH, broken, go)).rejects.toThrow('a fault');
  });
});

describe('--pdf and --png on the command line', () => {
  it.each([
    ['demo', '--pdf'],
    ['demo', '--png'],
  ])('%s %s without a browser: exit 2 before anything is done', async (command, option) => {
    vi.stubEnv('SWINGBASIS_BROWSER', join(scratch, 'no browser'));
    const out = join(scratch, 'untouched');
    const run = await cli(command, option, '--out', out);
    vi.unstubAllEnvs();
    expect(run.code).toBe(2);
    expect(run.stderr).toContain('no browser, and there is no such file');
    expect(run.stdout).toBe('');
    expect(existsSync(out)).toBe(false);
  });

  it('says that a browser that is none does not start: exit 2 before anything is done', async () => {
    vi.stubEnv('SWINGBASIS_BROWSER', process.execPath);
    const out = join(scratch, 'untouched');
    const run = await cli('demo', '--pdf', '--out', out);
    vi.unstubAllEnvs();
    expect(run.code).toBe(2);
    expect(run.stderr).toMatch(/^error: the browser .+ does not start: .+; nothing was done\n$/);
    expect(existsSync(out)).toBe(false);
  });

  it('refuses a paper it does not know, and a paper without a PDF', async () => {
    expect(await cli('demo', '--pdf', '--paper', 'a5')).toMatchObject({
      code: 2,
      stderr: 'error: --paper a5 is not known; choose a4 or letter\n',
    });
    expect((await cli('demo', '--paper', 'a4')).stderr).toBe('error: --paper belongs to --pdf\n');
  });

  it('refuses pictures of the report of a table, which has no sheets', async () => {
    const run = await cli('compare', '--table', 'any.csv', '--png');
    expect(run).toMatchObject({ code: 2 });
    expect(run.stderr).toContain('--png belongs to folders');
  });
});
