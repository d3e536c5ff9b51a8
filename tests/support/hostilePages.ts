/** Every page, sheet and figure with hostile texts in every place that a file fills. */
import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import { shownText } from '../../src/base/text.ts';
import { panelsOf, renderPanel } from '../../src/report/figurePanels.ts';
import { renderIndex } from '../../src/report/indexPage.ts';
import { renderPlayerPage } from '../../src/report/page/playerPage.ts';
import { renderOrderChecks } from '../../src/report/parts/orderSensitivity.ts';
import { renderPlayerDetails } from '../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../src/report/playerSheet.ts';
import { renderSessionPage } from '../../src/report/sessionPage.ts';
import { renderSessionSheet } from '../../src/report/sessionSheet.ts';
import { renderTablePage } from '../../src/report/tablePage.ts';
import { renderTrendPage } from '../../src/report/trendPage.ts';
import { renderTrendSheet } from '../../src/report/trendSheet.ts';
import type { DayView } from '../../src/report/views.ts';
import { HOSTILE_TEXTS, hostileDay, UNSEEN } from './hostileTexts.ts';
import { hostileOrders, hostileSession, hostileTable, hostileTrend } from './hostileViews.ts';
import { fixtureView } from './reportFixture.ts';
import { outsidePage, overlappingPairs, parseSvg, textsOf } from './svgText.ts';

const PAGES: Readonly<Record<string, (view: DayView) => string>> = {
  'the page of the day': (view) => renderIndex(view),
  'the page of a player': (view) => renderPlayerPage(view.players[0]!),
  'the page of two days': ({ day }) => renderSessionPage([hostileSession(day)], [day], day),
  'the page of a season': ({ day }) => renderTrendPage(hostileTrend(day)),
  'the page of a table': ({ day }) => renderTablePage(hostileTable(day)),
};

const SHEETS: Readonly<Record<string, (view: DayView) => string>> = {
  'the sheet': (view) => renderPlayerSheet(view.players[0]!),
  'the details': (view) => renderPlayerDetails(view.players[0]!),
  'the sheet of two days': ({ day }) => renderSessionSheet(hostileSession(day)),
  'the sheet of a season': ({ day }) => renderTrendSheet(hostileTrend(day)),
  'the figure of the orders': ({ day }) => renderOrderChecks(hostileOrders(day)),
  ...Object.fromEntries(
    panelsOf(fixtureView()).map(({ name }) => [
      `the figure ${name}`,
      (view: DayView) => {
        const [player] = view.players;
        return renderPanel(player!, panelsOf(player!).find((panel) => panel.name === name)!);
      },
    ]),
  ),
};

/** Elements with the names of their attributes, in order; lines of drawings, which follow the length of a text, left out. */
function skeleton(page: Document): string[] {
  return [...page.querySelectorAll('*:not(svg *)')].map(
    (element) => `${element.tagName} ${element.getAttributeNames().join(' ')}`,
  );
}

/** All that could act: elements and attributes that run, fetch or lead somewhere. */
function acting(page: Document): string[] {
  const elements = page.querySelectorAll('script, iframe, object, embed, link, base, form, foreignObject, image');
  const attributes = [...page.querySelectorAll('*')].flatMap((element) =>
    element
      .getAttributeNames()
      .filter((name) => /^on|^(src|href|action|style|xlink:href)$/.test(name))
      .map((name) => `${name}=${element.getAttribute(name)}`),
  );
  return [...[...elements].map(({ tagName }) => tagName), ...attributes];
}

/** Tests that these texts stay text in every page, sheet and figure, and that sheets and figures hold them. */
export function describeHostileTexts(names: readonly (keyof typeof HOSTILE_TEXTS & string)[]): void {
  describe.each(Object.keys(PAGES))('%s', (which) => {
    const render = PAGES[which]!;
    let plain: Document;
    beforeAll(() => {
      plain = new JSDOM(render(hostileDay('plain'))).window.document;
    });
    it.each(names)('holds %s as text', (name) => {
      const html = render(hostileDay(HOSTILE_TEXTS[name]!));
      const page = new JSDOM(html).window.document;
      expect(skeleton(page)).toEqual(skeleton(plain));
      expect(acting(page)).toEqual(acting(plain));
      expect(html).not.toMatch(UNSEEN);
      const shown = shownText(HOSTILE_TEXTS[name]!).replaceAll('\r\n', '\n'); // HTML reads CR LF as LF
      expect(page.body.textContent).toContain(shown.trim().slice(0, 40));
      const policy = page.querySelector('meta[http-equiv="Content-Security-Policy"]')!;
      expect(policy.getAttribute('content')).toMatch(/^default-src 'none';/);
      expect(policy.getAttribute('content')).not.toMatch(/unsafe|\*/);
      expect(policy.compareDocumentPosition(page.querySelector('style')!)).toBe(4); // before any style or script
    });
  });

  describe.each(Object.keys(SHEETS))('%s', (which) => {
    const render = SHEETS[which]!;
    it.each(names)('holds %s as text, within the page, over no other', (name) => {
      const file = render(hostileDay(HOSTILE_TEXTS[name]!));
      const svg = parseSvg(file);
      expect(acting(svg)).toEqual([]);
      expect(file).not.toMatch(UNSEEN);
      const texts = textsOf(svg);
      const [, , width, height] = svg.documentElement.getAttribute('viewBox')!.split(' ').map(Number);
      const pages = Math.max(1, Math.round(height! / 595.25)); // a figure is lower than a page
      expect(outsidePage(texts, width!, height! / pages, 0.02)).toEqual([]);
      expect(overlappingPairs(texts, 0.02)).toEqual([]);
    });
  });
}
