import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parse as parseCsv } from 'csv-parse/sync';
import { JSDOM } from 'jsdom';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hasChromium, launchChromium } from '../support/chromium.ts';
import { scratchFolder } from '../support/folders.ts';
import { HOSTILE_TEXTS, UNSEEN } from '../support/hostileTexts.ts';
import { textsOf } from '../support/pageText.ts';
import { overlappingPairs, parseSvg } from '../support/svgText.ts';
import { userDay, written } from '../support/userDay.ts';

/** Texts one after the other, each as far as a place takes it. */
const TEXTS = Object.values(HOSTILE_TEXTS);
const ATTACK = HOSTILE_TEXTS['the end of a script and an element']!;

/** A text as a name of a file: no folder, no zero, 120 characters, well-formed. */
function asFileName(text: string): string {
  return text
    .replace(/[/\\\0]|\p{Surrogate}/gu, '_')
    .slice(0, 120)
    .trim();
}

const folder = scratchFolder();
const files = new Map<string, string>();

/** Hostile labels of points and events, names of files, sets, the name of the day and a note, read from C3D files and a day file. */
beforeAll(async () => {
  const trials: string[] = [];
  const place = (trial: string): number => {
    if (!trials.includes(trial)) trials.push(trial);
    return trials.indexOf(trial);
  };
  const result = await userDay({
    day: `${ATTACK} ${HOSTILE_TEXTS['writing from right to left']}`,
    note: TEXTS.join('\n'),
    path: (trial) => `${asFileName(TEXTS[place(trial)]!)}/${asFileName(TEXTS.at(-1 - place(trial))!)}${trial}`,
    more: (trial) =>
      `, id: ${trial}, set: ${JSON.stringify(TEXTS[4 * place(trial)] ?? ATTACK)}, note: ${JSON.stringify(ATTACK)}`,
    of: () => ({
      made: Object.fromEntries(TEXTS.map((text, i) => [`${text.slice(0, 60)}${i}`, (get, f) => get('L_EAR', f)])),
      events: TEXTS.map((text, i) => ({
        label: text.slice(0, 60),
        context: ATTACK.slice(0, 16),
        time_s: 0.1 + i / 100,
      })),
    }),
  });
  for (const [path, text] of await written(result)) {
    files.set(path, text);
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
});

const ending = (end: string): readonly (readonly [string, string])[] =>
  [...files].filter(([path]) => path.endsWith(end));

describe('a day of hostile texts', () => {
  it('is worked out: the swings are used and reported', () => {
    expect(files.get('players/emu.svg')).toBeDefined();
    expect(parseCsv(files.get('tables/trials.csv')!, { columns: true })).toHaveLength(5);
    expect(files.get('tables/trials.csv')).toContain('</script><img src=x onerror=globalThis.ran=1>');
  });

  it('pages and pictures hold text and nothing that acts', () => {
    for (const [path, text] of [...ending('.svg'), ...ending('.html')]) {
      const page = path.endsWith('.svg') ? parseSvg(text) : new JSDOM(text).window.document;
      expect(text, path).not.toMatch(UNSEEN);
      expect(
        page.querySelectorAll('[onerror], [onload], [onmouseover], iframe, foreignObject, [src="x"]'),
      ).toHaveLength(0);
      const own = path.endsWith('.svg') ? 0 : path === 'index.html' ? 1 : 2;
      expect(page.querySelectorAll('script').length, path).toBe(own);
    }
  });

  it('tables read back with as many cells in every row, none of which starts a formula', () => {
    for (const [path, text] of ending('.csv')) {
      const rows = parseCsv(text) as string[][]; // throws where a row has more or fewer cells
      const texts = rows.flat().filter((cell) => !/^[-+]?[\d.]+(e[-+]\d+)?$/.test(cell));
      expect(
        texts.filter((cell) => /^\s*[=+\-@\t\r\n]/.test(cell)),
        path,
      ).toEqual([]);
    }
  });

  it('stored files are JSON that holds the texts unchanged', () => {
    const stored = ending('.json').map(([, text]) => JSON.stringify(JSON.parse(text)));
    expect(stored.join()).toContain(JSON.stringify(HOSTILE_TEXTS['a template']!).slice(1, -1));
  });
});

describe.skipIf(!hasChromium())('a day of hostile texts in a browser', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launchChromium();
  });
  afterAll(() => browser.close());

  it.each([
    ['index.html', 1280],
    ['index.html', 390],
    ['players/emu.html', 1280],
    ['players/emu.html', 390],
    ['players/emu.svg', 1280],
    ['players/emu-details.svg', 1280],
  ])('%s at %d px runs nothing of them, fetches nothing, stays in its width', async (path, width) => {
    const page = await browser.newPage({ viewport: { width, height: 900 } });
    const heard: string[] = [];
    page.on('console', (message) => heard.push(message.text()));
    page.on('pageerror', (error) => heard.push(error.message));
    page.on('dialog', (dialog) => heard.push(dialog.message()));
    page.on('request', (request) => {
      if (!request.url().startsWith(pathToFileURL(folder).href)) heard.push(request.url());
    });
    await page.goto(pathToFileURL(join(folder, path)).href);
    await page.mouse.move(width / 2, 300);
    expect(heard).toEqual([]);
    expect(await page.evaluate(() => 'ran' in globalThis)).toBe(false);
    if (path.endsWith('.html')) {
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
      expect(overlappingPairs(await textsOf(page), 1)).toEqual([]);
    }
    await page.close();
  });
});
