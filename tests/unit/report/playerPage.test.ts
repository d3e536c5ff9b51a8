import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { FILM_POINTS, packPlaces } from '../../../src/model/film.ts';
import { CURVE_STEPS } from '../../../src/model/swingRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { jsonIsland, tag } from '../../../src/report/page/markup.ts';
import { renderPlayerPage } from '../../../src/report/page/playerPage.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { fill } from '../../../src/report/words/fill.ts';
import { REPORT_CASES } from '../../support/reportCases.ts';
import { type FixtureOptions, fixtureView } from '../../support/reportFixture.ts';

/** The fixture with a film of every point in every swing; what is in it does not change its size. */
function filmed(options: FixtureOptions): PlayerView {
  const random = createRandom(3);
  const view = fixtureView(options);
  const places = (): Float64Array => Float64Array.from({ length: 3 * FILM_POINTS.length * CURVE_STEPS }, random.normal);
  const records = view.records.map((record) => ({
    ...record,
    film: { points: FILM_POINTS, data: packPlaces(places()) },
  }));
  return { ...view, records };
}

describe('the page of a player as text', () => {
  it('is under 1.5 MB for 40 swings with everything in them', () => {
    const text = renderPlayerPage(filmed({ drivers: 20, irons: 20, face: true }));
    expect(new TextEncoder().encode(text).length).toBeLessThan(1_500_000);
    expect(text.length).toBeGreaterThan(600_000);
  });

  it.each(Object.entries(REPORT_CASES))('is made of every kind of player: %s', (_, options) => {
    const text = renderPlayerPage(fixtureView(options));
    const [shown] = text.slice(text.indexOf('<body')).split('<script>');
    expect(/.{0,60}(?:NaN|undefined|\[object).{0,60}/.exec(shown!)?.[0]).toBeUndefined();
    expect(text.split('<script').length - 1).toBe(2);
    const json = /<script type="application\/json" id="page-data">(.*?)<\/script>/s.exec(text)![1]!;
    expect((JSON.parse(json) as { swings: unknown[] }).swings).toHaveLength(fixtureView(options).records.length);
    const ids = [...text.matchAll(/ id="([^"]*)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('has the same bytes for the same view', () => {
    const [first, second] = [0, 1].map(() => renderPlayerPage(filmed({})));
    // compared as a whole, so that a failure does not print a megabyte
    expect(first === second).toBe(true);
  });

  it('says nothing twice over: no place in a template is left open', () => {
    const text = renderPlayerPage(filmed({}));
    const [before] = text.slice(text.indexOf('<body')).split('<script type="application/json"');
    expect(/.{0,60}\{\w+\}/.exec(before!)?.[0]).toBeUndefined();
  });

  it('names by hash the one script and the one style that are in it', async () => {
    const text = renderPlayerPage(filmed({}));
    const hashOf = async (content: string): Promise<string> => {
      const sum = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(content));
      return `'sha256-${btoa(String.fromCharCode(...new Uint8Array(sum)))}'`;
    };
    const policy = /Content-Security-Policy" content="([^"]*)"/.exec(text)![1]!.replaceAll('&#39;', "'");
    expect(policy).toContain(`script-src ${await hashOf(/<script>(.*)<\/script>/s.exec(text)![1]!)};`);
    expect(policy).toContain(`style-src ${await hashOf(/<style>(.*)<\/style>/s.exec(text)![1]!)};`);
    expect(policy).toMatch(/^default-src 'none'; /);
  });
});

describe('pieces of the page', () => {
  const hostile = `</script><img src=x onerror="a('b')">\u2028\u202e&amp;`;

  it('text stays text in content and in attributes', () => {
    const { html } = tag('p', { title: hostile, hidden: true, lang: false }, hostile, tag('br', {}));
    const page = new JSDOM(html).window.document;
    expect(page.body.children).toHaveLength(1);
    const p = page.querySelector('p')!;
    const shown = hostile.replace('\u2028\u202e', '\ufffd\ufffd');
    expect([p.title, p.textContent, p.children.length]).toEqual([shown, shown, 1]);
    expect([p.hidden, p.hasAttribute('lang')]).toEqual([true, false]);
  });

  it('data stays in its element and reads back equal', () => {
    const value = { hostile, nested: ['<!--', ']]>', null, 1.5] };
    const { html } = jsonIsland('x', value);
    const page = new JSDOM(html).window.document;
    expect(page.querySelectorAll('*')).toHaveLength(4); // html, head, script, body
    expect(JSON.parse(page.querySelector('#x')!.textContent ?? '')).toEqual(value);
  });

  it('templates take their values, also such as look like templates', () => {
    expect(fill('{a} to {b}, {c}', { a: '{b}', b: 2 })).toBe('{b} to 2, {c}');
  });
});
