import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { renderPlayerPage } from '../../../src/report/page/playerPage.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import { fixtureView } from '../../support/reportFixture.ts';
import { parseSvg } from '../../support/svgText.ts';

const NOTES = { P7: 'hands lead', P4: '  stands up here ', P2: ' ' } as const;
const PRACTICE = ['half swings', 'feet together'] as const;

const told = () => fixtureView({ notes: NOTES, practice: PRACTICE });

describe('the coach’s words', () => {
  it('stand on the sheet in the order of the swing, after a departure at the same position', () => {
    const texts = [...parseSvg(renderPlayerSheet(told())).querySelectorAll('text')].map(
      (text) => text.textContent ?? '',
    );
    const top = texts.indexOf('“stands up here” (from the day file)');
    const impact = texts.indexOf('“hands lead” (from the day file)');
    expect([texts[top - 1], texts[impact - 1]]).toEqual(['P4', 'P7']);
    // four departures of the fixture at P7
    expect(texts.slice(top, impact).filter((text) => text === 'P7')).toHaveLength(5);
    expect(texts.join(' ')).toContain('The coach’s list, from the day file: “half swings”; “feet together”');
    expect(texts.join('\n')).not.toContain('“ ”');
  });

  it('are cut on the sheet where they are long, their source stays', () => {
    const view = fixtureView({ notes: { P4: 'much '.repeat(100) }, practice: ['more '.repeat(200)] });
    const text = [...parseSvg(renderPlayerSheet(view)).querySelectorAll('text')]
      .map((line) => line.textContent)
      .join('\n');
    expect(text).toMatch(/“much much .*…”? \(from the day file\)/);
    expect(text).toMatch(/The coach’s list, from the day file: “more/);
  });

  it('stand in the details in full', () => {
    const text = [...parseSvg(renderPlayerDetails(told())).querySelectorAll('text')]
      .map((line) => line.textContent)
      .join('\n');
    expect(text).toContain('The coach’s own words, from the day file');
    for (const said of [
      '“stands up here” (from the day file)',
      '“hands lead”',
      '1. “half swings”',
      '2. “feet together”',
    ])
      expect(text).toContain(said);
  });

  it('stand on the page at their position, for the eye and for the script', () => {
    const html = renderPlayerPage(told());
    const page = new JSDOM(html).window.document;
    const notes = [...page.querySelectorAll('.further .note')].map((line) => line.textContent);
    expect(notes).toEqual(['P4 “stands up here” (from the day file)', 'P7 “hands lead” (from the day file)']);
    expect([...page.querySelectorAll('.practice li')].map((line) => line.textContent)).toEqual([
      '“half swings”',
      '“feet together”',
    ]);
    const data = JSON.parse(page.querySelector('#page-data')!.textContent ?? '') as {
      positions: { id: string; note: string }[];
    };
    expect(data.positions.filter(({ note }) => note !== '').map(({ id }) => id)).toEqual(['P4', 'P7']);
  });

  it('change nothing where there are none', () => {
    for (const render of [renderPlayerSheet, renderPlayerDetails, renderPlayerPage])
      expect(render(fixtureView({ notes: { P3: ' ' }, practice: [''] })) === render(fixtureView())).toBe(true);
  });
});
