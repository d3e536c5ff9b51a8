import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { CATALOGUE } from '../../../src/model/catalogue.ts';
import type { SessionComparison, SessionRow } from '../../../src/model/sessions.ts';
import { sessionHeadline, sessionSupport } from '../../../src/report/sentences/sessionWords.ts';
import { renderSessionPage } from '../../../src/report/sessionPage.ts';
import { renderSessionSheet, type SessionView } from '../../../src/report/sessionSheet.ts';
import { DE } from '../../../src/report/words/de.ts';
import { spokenTexts } from '../../support/markedWords.ts';
import { fixtureSession, fullSession } from '../../support/sessionFixture.ts';
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
