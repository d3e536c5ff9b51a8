import { JSDOM } from 'jsdom';
import { describe, expect, it, vi } from 'vitest';
import { compareTable } from '../../../src/compare/compareTable.ts';
import { qualityOf } from '../../../src/model/trialQuality.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { analyseTrial } from '../../../src/pipeline/analyseTrial.ts';
import { renderIndex } from '../../../src/report/indexPage.ts';
import { renderPlayerPage } from '../../../src/report/page/playerPage.ts';
import { renderOrderChecks } from '../../../src/report/parts/orderSensitivity.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import { renderQuality } from '../../../src/report/qualityFigure.ts';
import { renderResiduals } from '../../../src/report/residualFigure.ts';
import { renderSessionPage } from '../../../src/report/sessionPage.ts';
import { renderSessionSheet } from '../../../src/report/sessionSheet.ts';
import { renderTablePage, type TableView } from '../../../src/report/tablePage.ts';
import { renderTrendPage } from '../../../src/report/trendPage.ts';
import { renderTrendSheet } from '../../../src/report/trendSheet.ts';
import type { DayView, PlayerView } from '../../../src/report/views.ts';
import { wordsOf } from '../../../src/report/words/languages.ts';
import { markedTexts, spokenTexts, unmarkedWords } from '../../support/markedWords.ts';
import { orderComparison } from '../../support/orderComparison.ts';
import { damagedRecord, viewWith } from '../../support/qualityFixture.ts';
import { REPORT_CASES } from '../../support/reportCases.ts';
import { fixtureDay, fixtureView } from '../../support/reportFixture.ts';
import { fullSession, fullTrend } from '../../support/sessionFixture.ts';
import { parseSvg } from '../../support/svgText.ts';
import { NOISY, truthCase } from '../../support/truthCases.ts';

vi.mock('../../../src/report/words/languages.ts', async () => {
  const { EN } = await import('../../../src/report/words/en.ts');
  const { markedLanguage } = await import('../../support/markedWords.ts');
  const words = markedLanguage(EN);
  return { wordsOf: () => words };
});

/** Texts that are finished before the report is made, by their keys in the view, and why no table of a language has them. */
const FINISHED: Readonly<Record<string, string>> = {
  day: 'name in the day file',
  player: 'name in the day file',
  club: 'name in the day file',
  clubs: 'names in the day file',
  set: 'name in the day file',
  sets: 'names in the day file',
  trial: 'name of a file',
  trials: 'names of files',
  file: 'name of a file',
  still: 'name of a file',
  anatomicalFrom: 'name of a file',
  'sensors.name': 'name of a sensor in its file',
  markers: 'labels of markers in a file',
  note: 'what the coach says',
  notes: 'what the coach says; notes of the comparison',
  practice: 'what the coach says',
  reason: 'a reason of an earlier step',
  'absent.why': 'a reason of an earlier step',
  needed: 'what was missing, of an earlier step',
  detail: 'what was found of a fault',
  message: 'a message of an earlier step',
  evidence: 'why a fact is believed',
  'checkpoint.name': 'a setting',
  'checkpoint.source': 'a setting',
  remarks: 'remarks of the reading of a checkpoint',
  substitutions: 'markers that stand in for others',
  filterText: 'what is said of smoothing',
  ordersText: 'what is said of the orders of angles',
  'part.label': 'kind of the measurement, and the name of a calibration',
  programVersion: 'name of the program',
};

const KEYS: ReadonlySet<string> = new Set(Object.keys(FINISHED));

const parseHtml = (html: string): Document => new JSDOM(html).window.document;

/** A day of the one player. */
const dayOf = (view: PlayerView): DayView => ({
  ...markedTexts(fixtureDay(), KEYS),
  players: [view],
  outcomes: view.outcomes,
});

const FILES: Readonly<Record<string, (view: PlayerView) => Document>> = {
  sheet: (view) => parseSvg(renderPlayerSheet(view)),
  details: (view) => parseSvg(renderPlayerDetails(view)),
  'page of the player': (view) => parseHtml(renderPlayerPage(view)),
  'page of the day': (view) => parseHtml(renderIndex(dayOf(view))),
};

/** Players whose files differ in what is said, not in lengths alone. */
const CASES = [
  'normal',
  'notes at positions and a practice list',
  'no departure',
  'no irons',
  'without P1',
  'assumed target, two sets',
  'few swings',
  'face of the club, many swings, left-handed',
  'no club',
  'nothing settled in the order',
  'methods and clubs disagree on the order',
  'reduced form',
  'sensors',
  'sensors without a calibration',
];

/** A table with a column that departs, one that matches, one without a margin, one with too few values and one that differs slightly. */
function tableView(): TableView {
  const random = createRandom(7);
  const offsets = [9, 0, 9, 9, 2];
  const swings = Array.from({ length: 20 }, (_, i) => ({
    line: i + 2,
    player: 'wren',
    by: [],
    group: i < 9 ? 'driver' : 'iron7',
    values: Float64Array.from(offsets, (offset, column) =>
      column === 3 && i % 3 > 0 ? Number.NaN : 50 + (i < 9 ? offset : 0) + (column === 4 ? 0.5 : 1) * random.normal(),
    ),
  }));
  const comparisons = compareTable(
    { columns: offsets.map((_, i) => `${i}`), swings },
    {
      of: { label: '1', groups: ['driver'] },
      against: { label: '2', groups: ['iron7'] },
      margins: [2, 2, null, 2, 2].map((value) => (value === null ? null : { kind: 'absolute', value })),
      primary: [],
      seed: 1,
      resamples: 20,
    },
  );
  return { file: 'a.csv', by: ['by'], comparisons, notes: ['20 rows'], programVersion: 'swingbasis 0.1.0' };
}

describe('words outside of the table of a language', () => {
  it.each(CASES)('are in no file of a player: %s', (name) => {
    const view = markedTexts(fixtureView(REPORT_CASES[name]!), KEYS);
    for (const [file, render] of Object.entries(FILES)) {
      const texts = spokenTexts(render(view));
      // the shortest, a page of a day without comparison, has 39
      expect(texts.length, file).toBeGreaterThan(35);
      expect([file, ...unmarkedWords(texts)]).toEqual([file]);
    }
  });

  it('are in no quality figure', () => {
    const record = markedTexts(damagedRecord(), KEYS);
    const labels = new Set(record.quality.map(({ marker }) => marker));
    const outside = (texts: readonly string[]) => unmarkedWords(texts).filter((word) => !labels.has(word));
    const texts = spokenTexts(parseSvg(renderQuality(wordsOf('en'), qualityOf(record)!)));
    expect(texts.length).toBeGreaterThan(50);
    expect(outside(texts)).toEqual([]);
    const day = dayOf(viewWith(markedTexts(fixtureView(), KEYS), record));
    expect(outside(spokenTexts(parseHtml(renderIndex(day))))).toEqual([]);
  });

  it('are in no figure of the filter choice', () => {
    const { trial, plan } = truthCase(3, NOISY);
    const filter = { ...plan.filter, legs_Hz: 'residual' } as const;
    const { cutoffCurves = [] } = analyseTrial(trial, { ...plan, filter, residuals: true }, createWorkspace());
    const filtered = renderResiduals(wordsOf('en'), '7', cutoffCurves);
    for (const svg of [filtered, renderResiduals(wordsOf('en'), '7', [])]) {
      const texts = spokenTexts(parseSvg(svg));
      expect(texts.length).toBeGreaterThan(10);
      expect(unmarkedWords(texts)).toEqual([]);
    }
  });

  it('are on no sheet and page of a season', () => {
    const view = markedTexts({ trend: fullTrend(), programVersion: 'swingbasis 0.2.0' }, KEYS);
    for (const texts of [
      spokenTexts(parseSvg(renderTrendSheet(view))),
      spokenTexts(parseHtml(renderTrendPage(view))),
    ]) {
      expect(texts.length).toBeGreaterThan(60);
      expect(unmarkedWords(texts)).toEqual([]);
    }
  });

  it('are in no figure of the orders of axes', () => {
    const svg = renderOrderChecks(markedTexts({ comparison: orderComparison(['thorax', 'lead_hip']) }, KEYS));
    const texts = spokenTexts(parseSvg(svg));
    expect(texts.length).toBeGreaterThan(100);
    expect(unmarkedWords(texts.map((text) => text.replace(/[XYZ]{3}/g, '')))).toEqual([]);
  });

  it('are on no sheet and page of two days, and on no page of a table', () => {
    const session = markedTexts(fullSession(), KEYS);
    const sheet = spokenTexts(parseSvg(renderSessionSheet(session)));
    const page = spokenTexts(parseHtml(renderSessionPage([session], session.notes, session.programVersion)));
    const table = spokenTexts(parseHtml(renderTablePage(markedTexts(tableView(), new Set([...KEYS, 'by'])))));
    for (const texts of [sheet, page, table]) {
      expect(texts.length).toBeGreaterThan(15);
      expect(unmarkedWords(texts)).toEqual([]);
    }
  });

  it('would be found: in texts, titles, spoken attributes and the data of a script', () => {
    const html =
      '<title>one P4</title><svg><title>two</title><desc>three</desc><text>\u00e9\u00e4\u00e0\u00e3 four 3 mm</text></svg>' +
      '<img alt="five" title="six"><b aria-label="seven">8</b><script type="application/json">{"a":["nine {n}"],"unit":"deg"}</script>' +
      '<script>let ten</script>';
    expect(unmarkedWords(spokenTexts(parseHtml(html)))).toEqual(
      ['one', 'two', 'three', 'four', 'five', 'six', 'seven', 'nine'].sort(),
    );
    // an unmarked reason of an earlier step shows on the sheet: the keys above are what hides it, not the check
    const view = markedTexts(
      fixtureView(REPORT_CASES['no irons']),
      new Set([...KEYS].filter((key) => key !== 'reason')),
    );
    expect(unmarkedWords(spokenTexts(FILES['sheet']!(view)))).toEqual(expect.arrayContaining(['downswing', 'swing']));
  });
});
