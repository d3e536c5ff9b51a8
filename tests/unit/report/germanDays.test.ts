import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { CATALOGUE } from '../../../src/model/catalogue.ts';
import type { SessionComparison, SessionRow } from '../../../src/model/sessions.ts';
import type { TrendSeries } from '../../../src/model/trend.ts';
import { sessionHeadline, sessionSupport } from '../../../src/report/sentences/sessionWords.ts';
import {
  daysText,
  leftOutTexts,
  marginText,
  trendHeadline,
  trendSupport,
  trendTitle,
  versionText,
} from '../../../src/report/sentences/trendWords.ts';
import { renderSessionPage } from '../../../src/report/sessionPage.ts';
import { renderSessionSheet, type SessionView } from '../../../src/report/sessionSheet.ts';
import { renderTrendPage } from '../../../src/report/trendPage.ts';
import { renderTrendSheet, type TrendView } from '../../../src/report/trendSheet.ts';
import { DE } from '../../../src/report/words/de.ts';
import { spokenTexts } from '../../support/markedWords.ts';
import { fixtureSession, fixtureTrend, fullSession, fullTrend } from '../../support/sessionFixture.ts';
import { outsidePage, overlappingPairs, parseSvg, textsOf } from '../../support/svgText.ts';

const settings = { speed: 'm/s', length: 'mm', language: 'de' } as const;
const programVersion = 'swingbasis 0.1.0';

/** As many rows as a sheet has room for at least. */
const ROWS = 12;

/** Words that English sheets have and German has not. */
const ENGLISH = /\b(?:the|and|of|against|irons|driver|swings|gap|margin|changed|unchanged|closed|before|after|days)\b/;

/** Fails where texts of a sheet overlap, leave it or are cut. */
function expectRoom(svg: Document): void {
  const [, , width, height] = svg.documentElement.getAttribute('viewBox')!.split(' ').map(Number);
  const texts = textsOf(svg);
  expect(overlappingPairs(texts, 0.02)).toEqual([]);
  expect(outsidePage(texts, width!, height!, 0)).toEqual([]);
  expect(texts.filter(({ text }) => text.includes('…'))).toEqual([]);
}

/** Fails where a text has an English word or a decimal point; names of files and of the program may. */
function expectGerman(texts: readonly string[]): void {
  const own = texts.map((text) => text.replace(/tables\/\w+\.csv|swingbasis \S+|P\d\.\d/g, ''));
  expect(own.filter((text) => ENGLISH.test(text) || /\d\.\d/.test(text))).toEqual([]);
}

describe('two days in German', () => {
  const views: Readonly<Record<string, SessionView>> = {
    'every primary quantity': { ...fullSession(), notes: [], settings },
    'speed, length and angle': { comparison: fixtureSession(), notes: [], programVersion, settings },
  };

  it.each(Object.keys(views))('have a sheet whose texts are German, in their place and whole: %s', (name) => {
    const svg = parseSvg(renderSessionSheet(views[name]!));
    expect(svg.documentElement.getAttribute('lang')).toBe('de');
    expectRoom(svg);
    const texts = spokenTexts(svg);
    expect(texts.length).toBeGreaterThan(25);
    expectGerman(texts);
    expect(texts.join(' ')).toMatch(/\d,\d°/);
  });

  it('have a sheet that cuts no name of a quantity and no share', () => {
    const view = views['every primary quantity']!;
    const [row] = view.comparison.rows.filter(({ position, family }) => position === 'P4' && family === 'primary');
    // the links of the order of motion are compared by themselves
    const quantities = CATALOGUE.filter(({ id }) => !id.startsWith('order.'));
    expect(quantities.length).toBeGreaterThan(100);
    for (let i = 0; i < quantities.length; i += ROWS) {
      const rows = quantities.slice(i, i + ROWS).map(({ id, unit }): SessionRow => {
        const closed = { ...row!.closed, value: -1.2, low95: -2, high95: -0.6 };
        return { ...row!, quantity: id, unit, position: 'P5.5', closed };
      });
      expectRoom(parseSvg(renderSessionSheet({ ...view, comparison: { ...view.comparison, rows } })));
    }
  });

  it('have a page in German', () => {
    const html = renderSessionPage(Object.values(views), [], programVersion);
    expect(html).toContain('<html lang="de">');
    expectGerman(spokenTexts(new JSDOM(html).window.document));
  });

  it('are told in whole sentences', () => {
    const { comparison } = views['every primary quantity']!;
    expect(sessionHeadline(DE, comparison)).toMatch(
      /^Am höchsten Punkt \(P4\) ging der Abstand gegenüber irons \(Vorneigung des Beckens\) von \+\d+,\d° auf \+\d+,\d°: um \d+ % verringert \(95-%-Intervall \d+ % bis \d+ %\)\.$/,
    );
    const support = sessionSupport(DE, comparison);
    expect(support[0]).toBe('1 Hauptabstand am 2026-05-16: 1 über die Schwelle hinaus verringert.');
    expect(support[1]).toMatch(/^driver, \d+ Hauptwerte: \d+ /);
    const lone: SessionComparison = { ...comparison, reason: 'no swing' };
    expect(sessionHeadline(DE, lone)).toBe('Kein Vergleich der beiden Tage: no swing.');
  });
});

describe('a season in German', () => {
  const views: Readonly<Record<string, TrendView>> = {
    'every primary quantity': { trend: fullTrend(), programVersion, settings },
    'speed, length and angle': { trend: fixtureTrend(), programVersion, settings },
  };
  const full = views['every primary quantity']!;
  /** Why a day is left out is said in English. */
  const withoutReason = (view: TrendView): TrendView => ({
    ...view,
    trend: { ...view.trend, days: view.trend.days.map((day) => ({ ...day, reason: day.reason === '' ? '' : '–' })) },
  });

  it.each(Object.keys(views))('has a sheet and a page whose texts are German, in their place and whole: %s', (name) => {
    const view = withoutReason(views[name]!);
    const svg = parseSvg(renderTrendSheet(view));
    const html = renderTrendPage(view);
    expect(svg.documentElement.getAttribute('lang')).toBe('de');
    expect(html).toContain('<html lang="de">');
    expectRoom(svg);
    for (const texts of [spokenTexts(svg), spokenTexts(new JSDOM(html).window.document)]) {
      expect(texts.length).toBeGreaterThan(40);
      expectGerman(texts.map((text) => text.replace(/0\.[12]\.0/g, '')));
      expect(texts.join(' ')).toMatch(/\d,\d/);
    }
  });

  it('has a sheet in English, too, whose numbers at the edge of a plot overlap nothing', () => {
    expectRoom(parseSvg(renderTrendSheet({ ...full, settings: { ...settings, language: 'en' } })));
  });

  it('has a sheet that cuts no name of a quantity', () => {
    const { trend } = full;
    const quantities = CATALOGUE.filter(({ id }) => !id.startsWith('order.'));
    const series = quantities.map(({ id, unit }): TrendSeries => {
      // what putting markers on again moves is an angle
      const points = trend.series[0]!.points.map((point) => (unit === 'deg' ? point : { ...point, change: null }));
      return { ...trend.series[0]!, quantity: id, unit, position: 'P5.5', points };
    });
    expectRoom(parseSvg(renderTrendSheet({ ...full, trend: { ...trend, series } })));
  });

  it('is told in whole sentences, days that are left out and other versions with it', () => {
    const { trend } = full;
    expect(trendTitle(DE, trend)).toBe('wren: driver gegen irons, 2026-05-16 bis 2026-10-03');
    expect(trendHeadline(DE, trend)).toMatch(/^Am höchsten Punkt \(P4\) ging der Abstand gegenüber irons /);
    expect(trendSupport(DE, trend)[0]).toBe('Der letzte Tag, 2026-09-12, gegen den ersten, 2026-05-16.');
    expect(daysText(DE, trend)).toBe('3 Tage, driver 21 Schwünge, irons 27 Schwünge');
    expect(versionText(DE, trend)).toMatch(
      /^Ausgewertet mit Version 0\.1\.0 bis 2026-06-30, 0\.2\.0 ab 2026-09-12: ein Sprung /,
    );
    expect(leftOutTexts(DE, trend)).toEqual([expect.stringMatching(/^2026-10-03 fehlt in der Reihe: ./)]);
    expect(marginText(DE, trend.series[0]!)).toMatch(/^Schwelle einer Sitzung \d,\d°, davon \d,\d° Neusetzen$/);
    expect(trendHeadline(DE, { ...trend, last: null })).toBe(
      'Bisher ein Tag, 2026-05-16: ein Verlauf braucht einen zweiten.',
    );
    expect(trendHeadline(DE, { ...trend, first: null, last: null, days: [] })).toBe(
      'Kein Tag hat Schwünge beider Gruppen, driver und irons: kein Tag.',
    );
  });
});
