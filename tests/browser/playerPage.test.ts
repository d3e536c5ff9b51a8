import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { quantityById } from '../../src/model/catalogue.ts';
import { milesPerHour } from '../../src/model/units.ts';
import { plain, signed } from '../../src/report/sentences/numbers.ts';
import { EN } from '../../src/report/words/en.ts';
import { hasChromium, launchChromium } from '../support/chromium.ts';
import { cli } from '../support/cli.ts';
import { COACH_NOTE, HOSTILE_NOTE, PLAYER, processOnePlayer, tableOf } from '../support/pageDay.ts';
import { textsOf } from '../support/pageText.ts';
import { overlappingPairs } from '../support/svgText.ts';

const there = hasChromium();

let folder: string;
let out: string;
let file: string;
let browser: Browser;
let page: Page;
const heard: string[] = [];

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'swingbasis-page-'));
  out = join(folder, 'results');
  file = join(out, 'players', `${PLAYER}.html`);
  await processOnePlayer(folder, out);
  if (!there) return;
  browser = await launchChromium();
  page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  page.on('console', (message) => heard.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => heard.push(error.message));
  page.on('request', (request) => heard.push(`asked for ${request.url()}`));
});

afterAll(async () => {
  if (there) await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

async function open(view: 'player' | 'coach', width = 1280): Promise<void> {
  await page.setViewportSize({ width, height: 900 });
  await page.goto('about:blank');
  heard.length = 0;
  await page.goto(`${pathToFileURL(file).href}${view === 'coach' ? '#coach' : ''}`);
}

/** Step of the slider, of the mark in every curve, and the position that the tables say. */
interface Instant {
  readonly slider: number;
  readonly spoken: string;
  readonly marks: readonly number[];
  readonly table: string;
  readonly column: string;
  readonly figure: string;
  readonly said: string;
}

function instant(): Promise<Instant> {
  return page.evaluate(() => {
    const text = (selector: string): string => document.querySelector(selector)?.textContent ?? '';
    const slider = document.querySelector<HTMLInputElement>('.scrub input')!;
    const canvas = document.querySelector('canvas')!;
    // the axis of each drawing: its first path runs the width of the plot
    const marks = [...document.querySelectorAll('.panel svg')].map((svg) =>
      Number.parseFloat(svg.querySelector('.mark')!.getAttribute('d')!.slice(1)),
    );
    return {
      slider: Number(slider.value),
      spoken: slider.getAttribute('aria-valuetext') ?? '',
      marks,
      table: text('.instant caption'),
      column: text('.positions th[aria-current] button').slice(0, 4),
      figure: canvas.toDataURL(),
      said: canvas.getAttribute('aria-label') ?? '',
    };
  });
}

/** Where the drawings of the page have a step: their plot reaches from 20 to 249 of 250. */
const markAt = (step: number): number => Math.round(10 * (20 + (229 * step) / 80)) / 10;

describe('the page of a player', () => {
  it('is written by compare from what is stored byte for byte as by process', async () => {
    const again = join(folder, 'again');
    expect((await cli('compare', out, '--out', again)).code).toBe(0);
    expect(readFileSync(join(again, 'players', `${PLAYER}.html`), 'utf8')).toBe(readFileSync(file, 'utf8'));
  });

  it('is reached from the page of the day', () => {
    expect(readFileSync(join(out, 'index.html'), 'utf8')).toContain(`href="players/${PLAYER}.html"`);
  });
});

describe.skipIf(!there)('the page of a player in a browser', () => {
  it('opens from disk, says nothing on the console and asks for nothing', async () => {
    await open('player');
    expect(heard).toEqual([`asked for ${pathToFileURL(file).href}`]);
    expect(await page.evaluate(() => document.querySelector('.scrub')!.checkVisibility())).toBe(true);
  });

  it('shows a note as text: it neither ends the data nor becomes an element', async () => {
    await open('coach');
    expect(await page.evaluate(() => [document.images.length, document.title === '1'])).toEqual([0, false]);
    expect(await page.locator('.trials').textContent()).toContain(HOSTILE_NOTE);
  });

  it('runs no script that is not its own, whatever is put into it', async () => {
    await open('player');
    await page.evaluate(() => {
      const script = document.createElement('script');
      script.textContent = 'document.title = "1"';
      document.body.append(script);
    });
    expect(await page.title()).not.toBe('1');
    expect(heard.join()).toMatch(/Content Security Policy/);
  });

  it('moves figure, curves and tables together by keyboard', async () => {
    await open('coach');
    const slider = page.locator('.scrub input');
    await slider.focus();
    await page.keyboard.press('Home');
    const first = await instant();
    expect(first.slider).toBe(0);
    expect(first.marks).toHaveLength(7);
    let last = first;
    for (const [key, step, position] of [
      ['ArrowRight', 1, 'P1'],
      ['PageUp', 10, 'P2'],
      ['PageUp', 20, 'P3'],
      ['PageUp', 30, 'P4'],
      ['ArrowRight', 31, 'P4'],
      ['PageUp', 40, 'P5'],
      ['End', 80, 'P9'],
      ['PageDown', 70, 'P8'],
    ] as const) {
      await page.keyboard.press(key);
      const now = await instant();
      expect(now.slider).toBe(step);
      expect(new Set(now.marks)).toEqual(new Set([markAt(step)]));
      expect(now.table).toMatch(new RegExp(`^${position}, `));
      expect(now.column).toMatch(new RegExp(`^${position}`));
      expect(now.spoken).toMatch(step % 10 === 0 ? new RegExp(`^${position}, `) : /^between P\d and P\d$/);
      expect(now.said).toContain(now.spoken);
      expect(now.figure).not.toBe(last.figure);
      last = now;
    }
  });

  it('moves by a click on a position, on a curve, and by play', async () => {
    await open('player');
    await page.locator('.ticks button', { hasText: /^P7$/ }).click();
    expect(await instant()).toMatchObject({ slider: 60, table: 'P7, impact' });
    const box = (await page.locator('.large svg').boundingBox())!;
    await page.mouse.click(box.x + (box.width * markAt(20)) / 250, box.y + box.height / 2);
    expect(await instant()).toMatchObject({ slider: 20, table: expect.stringMatching(/^P3, /) });
    await page.locator('.further a').first().click();
    expect((await instant()).table).toMatch(new RegExp(`^${await page.locator('.further a').first().textContent()}, `));
    await page.locator('.ticks button', { hasText: /^P8$/ }).click();
    await page.locator('.play').click();
    await expect.poll(async () => (await instant()).slider, { timeout: 5000 }).toBe(80);
  });

  it('shows the coach’s note while the slider is at its position, and there alone', async () => {
    await open('player');
    const note = page.locator('.at-note');
    await page.locator('.ticks button', { hasText: /^P7$/ }).click();
    expect(await note.isVisible()).toBe(false);
    await page.locator('.further .note a').click();
    expect(await note.textContent()).toBe(`P4 “${COACH_NOTE}” (from the day file)`);
    expect(await note.isVisible()).toBe(true);
    await page.locator('.scrub input').press('ArrowRight');
    expect(await note.isVisible()).toBe(false);
  });

  it('turns the figure by buttons, keys and mouse, and says how it is seen', async () => {
    await open('coach');
    const seen = new Map<string, string>();
    const look = async (name: string): Promise<void> => {
      const { figure, said } = await instant();
      expect([...seen.values()], name).not.toContain(figure);
      seen.set(name, figure);
      expect(said).toContain(name.startsWith('from') || name.startsWith('along') ? name : 'turned by hand');
    };
    await look('from the front');
    await page.getByRole('button', { name: 'along the target line' }).click();
    await look('along the target line');
    await page.getByRole('button', { name: 'above', exact: true }).click();
    await look('from above');
    await page.getByRole('button', { name: 'turn to the left' }).click();
    await look('a button');
    await page.locator('canvas').focus();
    await page.keyboard.press('ArrowDown');
    await look('a key');
    const box = (await page.locator('canvas').boundingBox())!;
    await page.mouse.move(box.x + 100, box.y + 100);
    await page.mouse.down();
    await page.mouse.move(box.x + 180, box.y + 140);
    await page.mouse.up();
    await look('a drag');
    await page.getByRole('button', { name: 'side by side' }).click();
    await look('side by side');
    await page.getByRole('checkbox', { name: 'club head' }).check();
    await look('a trace');
  });

  it('has few words for the player and everything for the coach', async () => {
    await open('player');
    const words = async (): Promise<number> => (await textsOf(page)).flatMap(({ text }) => text.split(/\s+/)).length;
    const short = await words();
    expect(await page.locator('.further li:not(.note):visible').count()).toBeLessThanOrEqual(2);
    expect(await page.locator('.positions').isVisible()).toBe(false);
    await page.getByRole('button', { name: 'Coach' }).click();
    expect(await page.locator('.positions').isVisible()).toBe(true);
    expect(await page.locator('.rules').isVisible()).toBe(true);
    expect(await page.locator('.panels figure').count()).toBe(6);
    expect(await words()).toBeGreaterThan(5 * short);
    await page.getByRole('button', { name: 'Player' }).click();
    expect(await words()).toBe(short);
  });

  it.each([1280, 1024, 390])(
    'no text lies over another at %i pixels, and nothing is wider than the window',
    async (width) => {
      for (const view of ['player', 'coach'] as const) {
        await open(view, width);
        const texts = await textsOf(page);
        expect(texts.length).toBeGreaterThan(40);
        // a pixel: boxes of glyphs are rounded, and lines of a paragraph touch
        expect(overlappingPairs(texts, 1)).toEqual([]);
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
      }
      // the check sees what it looks for
      await page.evaluate(() => {
        document.querySelector<HTMLElement>('.headline')!.style.marginBottom = '-3rem';
      });
      expect(overlappingPairs(await textsOf(page), 1)).not.toEqual([]);
    },
  );

  it.each(['player', 'coach'] as const)('axe-core finds nothing in the view of the %s', async (view) => {
    await open(view);
    await page.evaluate(readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'));
    const found = await page.evaluate(async () => {
      const axe = (
        globalThis as unknown as {
          axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[]; passes: unknown[] }> };
        }
      ).axe;
      const { violations, passes } = await axe.run();
      return {
        violations: violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html.slice(0, 120)}`),
        passes: passes.length,
      };
    });
    expect(found.passes).toBeGreaterThan(20);
    expect(found.violations).toEqual([]);
  });

  it('is reached by keyboard all the way, with a focus that can be seen', async () => {
    await open('player');
    const reached = new Set<string>();
    for (let i = 0; i < 40; i++) {
      await page.keyboard.press('Tab');
      const at = await page.evaluate(() => {
        const element = document.activeElement!;
        return `${element.tagName}${element.className === '' ? '' : `.${element.className}`} ${getComputedStyle(element).outlineStyle}`;
      });
      reached.add(at);
    }
    for (const one of ['A.skip', 'CANVAS', 'INPUT', 'SELECT', 'BUTTON.play', 'BUTTON.sort']) {
      expect([...reached].filter((text) => text.startsWith(`${one} `))).toEqual([`${one} solid`]);
    }
  });

  it('prints without its buttons, the figures of the sheet in place of the moving one, nothing wider than the paper', async () => {
    for (const view of ['player', 'coach'] as const) {
      await open(view, 1032); // A4 landscape less two margins of 12 mm
      await page.emulateMedia({ media: 'print' });
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(1032);
      expect(
        await page.locator('button:visible:not(.sort), select:visible, canvas:visible, input:visible').count(),
      ).toBe(0);
      expect(await page.locator('.still svg').isVisible()).toBe(true);
      await page.emulateMedia({ media: null });
    }
  });

  it('is whole without its script: findings, figures, curves, tables', async () => {
    const context = await browser.newContext({ javaScriptEnabled: false });
    const still = await context.newPage();
    await still.goto(pathToFileURL(file).href);
    expect(await still.locator('.headline').isVisible()).toBe(true);
    expect(await still.locator('.still svg').isVisible()).toBe(true);
    expect(await still.locator('.panels svg').count()).toBe(6);
    expect(await still.locator('.positions').isVisible()).toBe(true);
    expect(await still.locator('.rules').isVisible()).toBe(true);
    expect(await still.locator('.live:visible').count()).toBe(0);
    await context.close();
  });
});

describe.skipIf(!there)('the numbers of the page', () => {
  interface TableCell {
    readonly label: string;
    readonly position: string;
    readonly solid: string;
    readonly dashed: string;
    readonly difference: string;
  }

  function cells(): Promise<readonly TableCell[]> {
    return page.evaluate(() => {
      const heads = [...document.querySelectorAll('.positions thead th')].map(
        (head) => head.querySelector('button')!.firstChild!.textContent ?? '',
      );
      return [...document.querySelectorAll<HTMLTableRowElement>('.positions tbody tr')].flatMap((row) =>
        [...row.cells].slice(1).map((cell, i) => ({
          label: row.cells[0]!.firstChild!.textContent ?? '',
          position: heads[i + 1]!,
          solid: cell.querySelector('b')?.textContent ?? '',
          dashed: cell.querySelector('i')?.textContent ?? '',
          difference: cell.querySelector('span')?.textContent ?? '',
        })),
      );
    });
  }

  const labelOf = (quantity: string): string => {
    const { label } = quantityById(quantity);
    return `${label.slice(0, 1).toUpperCase()}${label.slice(1)}`;
  };

  /** A text of the page against a number of a table: equal to the rounding shown, and to that of the table itself (its last decimal). */
  function expectShown(shown: string, value: string, decimals: number, what: string): void {
    if (value === '') {
      expect(shown, what).toMatch(/^–?$/);
      return;
    }
    const half = 0.5 / Number(`1e${decimals}`);
    const number = Number(shown.replace('−', '-').replace('+', ''));
    expect(shown, what).not.toBe('');
    expect(Math.abs(number - Number(value)), `${what}: ${shown} for ${value}`).toBeLessThanOrEqual(half + 0.0005);
  }

  it('at every position are those of comparison.csv, for every quantity', async () => {
    await open('coach');
    const shown = new Map((await cells()).map((cell) => [`${cell.label}@${cell.position}`, cell]));
    const rows = tableOf(out, 'comparison').filter((row) => row['basis'] === 'value' && row['position'] !== 'swing');
    const primary = rows.filter((row) => row['family'] === 'primary');
    expect(primary).toHaveLength(12);
    let compared = 0;
    for (const row of rows) {
      const { quantity, position } = row as { quantity: string; position: string };
      const cell = shown.get(`${labelOf(quantity)}@${position}`);
      if (cell === undefined) {
        expect([row['mean_group'], row['mean_reference']], `${quantity} at ${position}`).toEqual(['', '']);
        continue;
      }
      const { decimals } = quantityById(quantity);
      expectShown(cell.solid, row['mean_group']!, decimals, `${quantity} ${position} driver`);
      expectShown(cell.dashed, row['mean_reference']!, decimals, `${quantity} ${position} irons`);
      expectShown(cell.difference, row['difference']!, decimals, `${quantity} ${position} difference`);
      compared += 1;
    }
    expect(compared).toBeGreaterThan(500);
  });

  interface InstantRow {
    readonly label: string;
    readonly cells: readonly string[];
  }

  function instantRows(): Promise<readonly InstantRow[]> {
    return page.evaluate(() =>
      [...document.querySelectorAll<HTMLTableRowElement>('.instant tbody tr')].map((row) => ({
        label: row.cells[0]!.firstChild!.textContent ?? '',
        cells: [...row.cells].slice(1).map(({ textContent }) => textContent ?? ''),
      })),
    );
  }

  it('that follow the slider are those of comparison.csv, with interval and verdict, and those beside the figure too', async () => {
    await open('coach');
    const primary = tableOf(out, 'comparison').filter((row) => row['family'] === 'primary');
    for (const row of primary) {
      await page.locator('.ticks button', { hasText: new RegExp(`^${row['position']}$`) }).click();
      const quantity = row['quantity']!;
      const line = (await instantRows()).find(({ label }) => label === labelOf(quantity))!;
      const [solid, dashed, difference, interval, verdict] = line.cells as [string, string, string, string, string];
      const what = `${quantity} ${row['position']}`;
      expectShown(solid, row['mean_group']!, 1, what);
      expectShown(dashed, row['mean_reference']!, 1, what);
      expectShown(difference, row['difference']!, 1, what);
      const [low, high] = interval.split(' to ') as [string, string];
      expectShown(low, row['low95']!, 1, what);
      expectShown(high, row['high95']!, 1, what);
      expect(
        {
          departs: 'departs',
          matches: 'matches',
          'differs-slightly': 'differs slightly',
          undecided: 'can’t be told yet',
        }[row['verdict']!],
      ).toBe(verdict);
      const now = await page
        .locator('.panels figure', { has: page.locator('b', { hasText: labelOf(quantity) }) })
        .locator('.now span')
        .allTextContents();
      expect(now.map((text) => text.replace('°', ''))).toEqual([solid, dashed, difference]);
    }
  });

  it('of each single swing are those of angles.csv', async () => {
    await open('coach');
    const primary = new Set(
      tableOf(out, 'comparison')
        .filter((row) => row['family'] === 'primary')
        .map((row) => row['quantity']!),
    );
    const angles = tableOf(out, 'angles').filter((row) => primary.has(row['quantity']!));
    const trials = [...new Set(angles.map((row) => row['trial']!))];
    expect(trials.length).toBe(15);
    const positions = await page.locator('.ticks button').allTextContents();
    let compared = 0;
    for (const trial of trials) {
      await page.locator('select[name=solid]').selectOption({ label: trial });
      const shown = await page.evaluate(() =>
        [...document.querySelectorAll<HTMLButtonElement>('.ticks button')].map((tick) => {
          tick.click();
          const lines = [...document.querySelectorAll<HTMLTableRowElement>('.instant tbody tr')];
          return lines.map(({ cells: [name, solid, , , , verdict] }) => ({
            label: name!.firstChild!.textContent ?? '',
            solid: solid!.textContent ?? '',
            verdict: verdict!.textContent ?? '',
          }));
        }),
      );
      for (const row of angles.filter((one) => one['trial'] === trial)) {
        const at = positions.indexOf(row['position']!);
        if (at < 0) continue; // beyond the end of the slider
        const line = shown[at]!.find(({ label }) => label === labelOf(row['quantity']!));
        expectShown(line?.solid ?? '', row['value']!, 1, `${trial} ${row['quantity']} ${row['position']}`);
        expect(line?.verdict).toBe('not tested');
        compared += 1;
      }
    }
    expect(compared).toBe(15 * positions.length * primary.size);
  });

  it('before against after: the sets of the driver, as their swings have them', async () => {
    await open('coach');
    await page.locator('select[name=show]').selectOption({ label: 'driver, after against driver, before' });
    await page.locator('.ticks button', { hasText: /^P4$/ }).click();
    const line = (await instantRows()).find(({ label }) => label === labelOf('pelvis.forward_bend'))!;
    const of = (set: string): number => {
      const values = tableOf(out, 'angles')
        .filter((row) => row['quantity'] === 'pelvis.forward_bend' && row['position'] === 'P4')
        .filter((row) => row['set'] === set && row['club'] === 'driver')
        .map((row) => Number(row['value']));
      return values.reduce((sum, value) => sum + value, 0) / values.length;
    };
    // means of values that are rounded to a tenth: a twentieth each way beside that of the number shown
    expect(Math.abs(Number(line.cells[0]) - of('after'))).toBeLessThan(0.1);
    expect(Math.abs(Number(line.cells[1]) - of('before'))).toBeLessThan(0.1);
    expect(of('after')).not.toBeCloseTo(of('before'), 1);
  });

  it('in other units are the same lengths and speeds', async () => {
    await open('coach');
    await page.locator('select[name=topic]').selectOption('all');
    const rows = tableOf(out, 'comparison').filter((row) => row['basis'] === 'value');
    const rise = rows.find((row) => row['quantity'] === 'head.rise' && row['position'] === 'P7')!;
    const speed = rows.find((row) => row['quantity'] === 'club.head_speed')!;
    const riseCell = async (): Promise<TableCell> =>
      (await cells()).find(({ label, position }) => label === labelOf('head.rise') && position === 'P7')!;
    const speedCell = page
      .locator('.once tr', { hasText: labelOf('club.head_speed') })
      .locator('td')
      .first();
    const before = await riseCell();
    await page.locator('select[name=length]').selectOption('in');
    await page.locator('select[name=speed]').selectOption('mph');
    // an inch is 25.4 mm
    expect((await riseCell()).solid).toBe(plain(EN, Number(rise['mean_group']) / 25.4, 1));
    expect((await riseCell()).difference).toBe(signed(EN, Number(rise['difference']) / 25.4, 1));
    expect(await speedCell.textContent()).toBe(plain(EN, milesPerHour(Number(speed['mean_group'])), 1));
    await page.locator('select[name=length]').selectOption('mm');
    expect(await riseCell()).toEqual(before);
  });

  it('are sorted by the size of the difference in margins, and back', async () => {
    await open('coach');
    const labels = (): Promise<string[]> =>
      page.evaluate(() =>
        [...document.querySelectorAll<HTMLTableRowElement>('.positions tbody tr')].map(
          (row) => row.cells[0]!.firstChild!.textContent ?? '',
        ),
      );
    const order = await labels();
    await page.locator('.positions th button', { hasText: /^P4/ }).click();
    const rows = tableOf(out, 'comparison').filter((row) => row['basis'] === 'value' && row['position'] === 'P4');
    const size = new Map(
      rows.map((row) => [labelOf(row['quantity']!), Math.abs(Number(row['difference'])) / Number(row['margin'] || 1)]),
    );
    const sizes = (await labels()).map((label) => size.get(label) ?? -1);
    // the table's last decimal over the smallest margin of a share
    for (let i = 1; i < sizes.length; i++) expect(sizes[i]! - sizes[i - 1]!).toBeLessThan(0.01);
    expect(await page.locator('.positions th[aria-sort]').count()).toBe(1);
    await page.locator('.positions th button').first().click();
    expect(await labels()).toEqual(order);
  });
});
