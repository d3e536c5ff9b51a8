import { describe, expect, it } from 'vitest';
import { stepName } from '../../../src/compare/curveDifferences.ts';
import { CATALOGUE } from '../../../src/model/catalogue.ts';
import { BODY_LINKS } from '../../../src/model/comparison.ts';
import { SENSOR_PLACES } from '../../../src/model/sensors.ts';
import { textWidth } from '../../../src/report/drawing/textMetrics.ts';
import { renderIndex } from '../../../src/report/indexPage.ts';
import { renderPlayerPage } from '../../../src/report/page/playerPage.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { DE, DE_WORDS } from '../../../src/report/words/de.ts';
import { EN } from '../../../src/report/words/en.ts';
import { REPORT_CASES } from '../../support/reportCases.ts';
import { fixtureDay, fixtureView } from '../../support/reportFixture.ts';
import { outsidePage, overlappingPairs, parseSvg, textsOf } from '../../support/svgText.ts';

/** Places of the words of a table, as 'sheet.foot.used'. */
function placesOf(table: object, above = ''): readonly string[] {
  return Object.entries(table).flatMap(([key, value]) => {
    const place = above === '' ? key : `${above}.${key}`;
    return typeof value === 'object' && value !== null && !Array.isArray(value) ? placesOf(value, place) : [place];
  });
}

const german = (view: PlayerView): PlayerView => ({
  ...view,
  settings: { speed: 'm/s', length: 'mm', language: 'de' },
});

describe('German', () => {
  it('says these alone in English: names of faults, method and references', () => {
    const own = new Set(placesOf(DE_WORDS));
    const missing = placesOf(EN).filter((place) => !own.has(place));
    expect(missing).toEqual(['details.method', 'details.references', 'quality.faultName']);
    const places = new Set(placesOf(EN));
    expect([...own].filter((place) => !places.has(place))).toEqual([]);
  });

  it('keeps every name that stands in braces in English, and has no other', () => {
    const names = (text: string): readonly string[] => [...new Set(text.match(/\{\w+\}/g) ?? [])].sort();
    const at = (table: object, place: string): unknown =>
      place.split('.').reduce<unknown>((part, key) => (part as Readonly<Record<string, unknown>>)[key], table);
    const pairs = placesOf(EN)
      // the keys of these hold points themselves
      .filter((place) => !/^(quantities|differences)\.|^positions\./.test(place))
      .map((place) => ({ place, en: at(EN, place), de: at(DE, place) }));
    expect(pairs.length).toBeGreaterThan(300);
    for (const { place, en, de } of pairs) {
      if (typeof en === 'string') expect([place, names(String(de))]).toEqual([place, names(en)]);
    }
  });

  it('has a name of its own for every link of the chain and every place of a sensor', () => {
    const { chain, sensors } = DE.details;
    expect(BODY_LINKS.filter((link) => chain.name(link) === EN.details.chain.name(link))).toEqual([]);
    expect(SENSOR_PLACES.filter((place) => sensors.place(place) === EN.details.sensors.place(place))).toEqual([]);
    // the width of the column of places in the details, points
    expect(SENSOR_PLACES.filter((place) => textWidth(sensors.place(place), 'small') > 86)).toEqual([]);
  });

  it('has a name of its own for every quantity', () => {
    const english = CATALOGUE.filter(({ id, label }) => DE.quantities.of(id).label === label).map(({ id }) => id);
    expect(english).toEqual([]);
  });

  it.each(Object.keys(REPORT_CASES))('no text of sheet and details overlaps another or leaves its page: %s', (name) => {
    const view = german(fixtureView(REPORT_CASES[name]!));
    for (const render of [renderPlayerSheet, renderPlayerDetails]) {
      const svg = parseSvg(render(view));
      const texts = textsOf(svg);
      const [, , width, height] = svg.documentElement.getAttribute('viewBox')!.split(' ').map(Number);
      // a hundredth of a point: coordinates are rounded to two decimals
      expect(overlappingPairs(texts, 0.02)).toEqual([]);
      expect(outsidePage(texts, width!, height! / Math.round(height! / 595.25), 0)).toEqual([]);
    }
  });

  it('has a decimal comma and its language tag on sheets and pages', () => {
    const view = german(fixtureView());
    const svg = parseSvg(renderPlayerSheet(view));
    expect(['lang', 'xml:lang'].map((name) => svg.documentElement.getAttribute(name))).toEqual(['de', 'de']);
    const text = textsOf(svg)
      .map((one) => one.text)
      .join(' ');
    expect(text).toMatch(/\d,\d°/);
    expect(text).not.toMatch(/\d\.\d°/);
    for (const html of [renderPlayerPage(view), renderIndex({ ...fixtureDay(), players: [view] })])
      expect(html).toContain('<html lang="de">');
  });

  it('says every stretch of a curve in its own words', () => {
    const places = Array.from({ length: 81 }, (_, step) => stepName(step));
    const stretches = places.flatMap((first) => [first, ...places.slice(0, 12).map((last) => `${first} to ${last}`)]);
    const said = stretches.map((name) => DE.sheet.curves.stretch(name));
    expect(said.filter((text) => /half-way|shortly|before|after|\bto\b/.test(text))).toEqual([]);
    expect(DE.sheet.curves.stretch('shortly before P7 to half-way P8–P9')).toBe('von kurz vor P7 bis halbwegs P8–P9');
    expect(DE.sheet.curves.stretch('shortly after P4')).toBe('kurz nach P4');
  });

  it('names a side by nothing but its own table', () => {
    for (const name of ['constructor', '__proto__', 'toString', 'wren']) expect(DE.side(name)).toBe(name);
    expect([DE.side('driver'), DE.side('irons')]).toEqual(['Driver', 'Eisen']);
  });
});
