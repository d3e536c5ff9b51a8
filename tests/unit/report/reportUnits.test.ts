import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import type { PlayerComparison } from '../../../src/model/comparison.ts';
import type { ReportSettings } from '../../../src/model/reportSettings.ts';
import { renderPlayerPage } from '../../../src/report/page/playerPage.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import { inReportUnits } from '../../../src/report/reportUnits.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { fixtureView } from '../../support/reportFixture.ts';
import { parseSvg } from '../../support/svgText.ts';

const US: ReportSettings = { speed: 'mph', length: 'in', language: 'en' };

function inUs(view: PlayerView): PlayerView {
  const { comparison } = view;
  return { ...view, comparison: inReportUnits(comparison, US), inTableUnits: comparison, settings: US };
}

function textsOf(svg: string): readonly string[] {
  return [...parseSvg(svg).querySelectorAll('text')].map((text) => text.textContent ?? '');
}

const rowOf = ({ rows }: PlayerComparison, id: string, position: string) =>
  rows.find((row) => row.quantity === id && row.position === position && row.basis === 'value')!;

describe('units of the report', () => {
  // an inch is 25.4 mm and a mile 1609.344 m, exact: international yard and pound agreement of 1959
  it('are the same numbers by the definitions of inch and mile, and nothing else moves', () => {
    const { comparison } = fixtureView({ face: true });
    const shown = inReportUnits(comparison, US);
    comparison.rows.forEach((row, i) => {
      const own = shown.rows[i]!;
      const factor = row.unit === 'mm' ? 1 / 25.4 : row.unit === 'm/s' ? 3600 / 1609.344 : 1;
      for (const key of ['meanGroup', 'difference', 'low95', 'high95', 'margin'] as const) {
        if (row[key] === null) expect(own[key]).toBeNull();
        else expect(own[key]).toBeCloseTo(row[key] * factor, 9);
      }
      expect([own.verdict, own.pAdjusted, own.hedgesG]).toEqual([row.verdict, row.pAdjusted, row.hedgesG]);
      if (factor === 1) expect(own).toBe(row);
    });
    expect(new Set(shown.rows.map(({ unit }) => unit))).not.toContain('mm');
    const back = inReportUnits(comparison, { speed: 'm/s', length: 'mm', language: 'en' });
    expect(back).toEqual(comparison);
  });

  it('stand in findings, marks and tables of the sheets, and no other stands beside them', () => {
    const view = fixtureView({ face: true });
    const sheet = textsOf(renderPlayerSheet(inUs(view)));
    const details = textsOf(renderPlayerDetails(inUs(view)));
    const shift = rowOf(view.comparison, 'thorax.to_target', 'P7');
    expect(sheet.join(' ')).toContain(`The chest has ${(Math.abs(shift.difference!) / 25.4).toFixed(1)} in more shift`);
    expect(sheet).toContain('Head speed, mph');
    const speed = rowOf(view.comparison, 'club.head_speed', 'swing');
    expect(sheet).toContain(`+${((speed.difference! * 3600) / 1609.344).toFixed(1)} mph`);
    expect(details).toContain('Head speed, mph');
    expect(details.some((text) => /, in$/.test(text))).toBe(true);
    // the rule of the margins is in the units of the catalogue
    const others = [...sheet, ...details].filter(
      (text) => / m\/s|\d mm|, mm/.test(text) && !text.includes('of the mean'),
    );
    expect(others).toEqual([]);
  });

  it('are those the page begins with; its data stay in those of the tables', () => {
    const view = fixtureView({ face: true });
    const of = (shown: PlayerView) => new JSDOM(renderPlayerPage(shown)).window.document;
    const dataOf = (page: Document) =>
      JSON.parse(page.querySelector('#page-data')!.textContent!) as Record<string, unknown>;
    const [si, us] = [of(view), of(inUs(view))];
    expect({ ...dataOf(us), units: null }).toEqual({ ...dataOf(si), units: null });
    expect(dataOf(us)['units']).toEqual({ speed: US.speed, length: US.length });
    const units = [...us.querySelectorAll('table .unit')].map((unit) => unit.textContent!.replace(',\u00a0', ''));
    expect(units).toContain('in');
    expect(units).toContain('mph');
    expect(units).not.toContain('mm');
    expect(units).not.toContain('m/s');
  });
});
