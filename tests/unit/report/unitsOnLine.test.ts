import { describe, expect, it } from 'vitest';
import { withUnitsKept } from '../../../src/base/text.ts';
import type { ReportSettings } from '../../../src/model/reportSettings.ts';
import { renderIndex } from '../../../src/report/indexPage.ts';
import { renderPlayerPage } from '../../../src/report/page/playerPage.ts';
import { inReportUnits } from '../../../src/report/reportUnits.ts';
import { renderSessionPage } from '../../../src/report/sessionPage.ts';
import { sessionInReportUnits, trendInReportUnits } from '../../../src/report/sessionUnits.ts';
import { renderTablePage } from '../../../src/report/tablePage.ts';
import { renderTrendPage } from '../../../src/report/trendPage.ts';
import { looseUnits } from '../../support/looseUnits.ts';
import { fixtureView } from '../../support/reportFixture.ts';
import { fixtureSession, fixtureTable, fixtureTrend } from '../../support/sessionFixture.ts';

const SETTINGS: readonly ReportSettings[] = [
  { speed: 'm/s', length: 'mm', language: 'en' },
  { speed: 'mph', length: 'in', language: 'en' },
  { speed: 'm/s', length: 'mm', language: 'de' },
];
const programVersion = 'swingbasis 0.1.0';

describe('numbers and their units', () => {
  it.each(SETTINGS)('stay on one line of every page, $speed, $length, $language', (settings) => {
    const own = fixtureView({ face: true });
    const view = { ...own, comparison: inReportUnits(own.comparison, settings), settings };
    const session = {
      comparison: sessionInReportUnits(fixtureSession(), settings),
      notes: [],
      programVersion,
      settings,
    };
    const pages = [
      renderIndex({ ...own, players: [view], settings }, [{ name: 'angles', about: 'a row each 5 ms' }]),
      renderPlayerPage(view),
      renderSessionPage([session], ['measured at 240 Hz'], programVersion),
      renderTrendPage({ trend: trendInReportUnits(fixtureTrend(), settings), programVersion, settings }),
      renderTablePage({ ...fixtureTable(), settings }),
    ];
    for (const html of pages) {
      expect(html).toMatch(/\d\u00a0(?:%|mm|in|m\/s|mph|s|Hz)/);
      expect(looseUnits(html)).toEqual([]);
    }
  });

  it('are told from words that begin like a unit', () => {
    const words = '3 swings, 2 monitors, 12 inches, 4 iron swings, 5 Nuthatches, 7 mmol';
    expect(withUnitsKept(words)).toBe(words);
    expect(withUnitsKept('3 s, 12 mm; 95 % interval, 9.81 m/s², 6 in')).toBe(
      '3\u00a0s, 12\u00a0mm; 95\u00a0% interval, 9.81\u00a0m/s², 6\u00a0in',
    );
  });
});
