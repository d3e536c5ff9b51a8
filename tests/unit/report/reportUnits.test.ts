import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { coachWordsOf } from '../../../src/model/coachWords.ts';
import type { PlayerComparison } from '../../../src/model/comparison.ts';
import type { ReportSettings } from '../../../src/model/reportSettings.ts';
import type { SwingRecord, TrialOutcome } from '../../../src/model/swingRecord.ts';
import { qualityOf } from '../../../src/model/trialQuality.ts';
import { viewOf } from '../../../src/pipeline/dayView.ts';
import { judgeDay } from '../../../src/pipeline/judgeDay.ts';
import { startIndex } from '../../../src/pipeline/renderReport.ts';
import { renderSessions } from '../../../src/pipeline/renderSessions.ts';
import { renderTrend } from '../../../src/pipeline/renderTrend.ts';
import { briefOutcome } from '../../../src/pipeline/swingBrief.ts';
import { indexPart } from '../../../src/report/indexPage.ts';
import { renderPlayerPage } from '../../../src/report/page/playerPage.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import { inReportUnits } from '../../../src/report/reportUnits.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { fixtureView } from '../../support/reportFixture.ts';
import { fixtureSession, fixtureTrend } from '../../support/sessionFixture.ts';
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

/** Text that a reader sees: of SVG with what is read out of it, of HTML with what stands for its pictures. */
function seen(file: string): string {
  if (file.startsWith('<?xml')) {
    return [...parseSvg(file).querySelectorAll('text, title, desc')].map((text) => text.textContent).join('\n');
  }
  const page = new JSDOM(file).window.document;
  for (const element of page.querySelectorAll('script, style')) element.remove();
  const pictures = [...page.querySelectorAll('[alt]')].map((picture) => picture.getAttribute('alt'));
  return [page.body.textContent, ...pictures].join('\n');
}

/** Metric units as a reader would see them; margins are coded in those of the catalogue. */
function metricIn(file: string): readonly string[] {
  return [...seen(file).matchAll(/.{0,40}(?:\bm\/s\b|[\d,][ \u00a0]mm\b).{0,20}/g)]
    .map(([text]) => text)
    .filter((text) => !text.includes('of the mean'));
}

// biome-ignore format: one glance
const RUN = { program: { name: 'swingbasis', version: '0.1.0' }, libraries: [], days: [], options: {}, inputs: [], tables: [] };

/** Pages and drawings of an output folder, and its tables. */
async function filesOf(files: ReturnType<typeof renderTrend>): Promise<ReadonlyMap<string, string>> {
  const all = new Map<string, string>();
  for await (const { path, text } of files) all.set(path, [...(text as Iterable<string>)].join(''));
  return all;
}
const drawn = (files: ReadonlyMap<string, string>) => [...files].filter(([path]) => /\.(svg|html)$/.test(path));

describe('two days in miles per hour and inches', () => {
  const comparison = fixtureSession();
  const result = { comparisons: [comparison], notes: [] } as unknown as Parameters<typeof renderSessions>[0];
  const run = RUN as unknown as Parameters<typeof renderSessions>[1];

  it('have no metric unit in sheet and page, and the gap of the tables by the definition of the mile', async () => {
    const [us, si] = [await filesOf(renderSessions(result, run, US)), await filesOf(renderSessions(result, run))];
    expect(drawn(us).map(([path]) => path)).toEqual(['players/wren-2026-05-16-2026-09-12.svg', 'index.html']);
    for (const [path, file] of drawn(us)) expect(metricIn(file), path).toEqual([]);
    for (const [path, file] of drawn(si)) expect(metricIn(file).length, path).toBeGreaterThan(0);
    const row = comparison.rows.find(({ quantity }) => quantity === 'club.head_speed')!;
    const sheet = seen(us.get('players/wren-2026-05-16-2026-09-12.svg')!);
    const mph = (value: number | null) => `+${((value! * 3600) / 1609.344).toFixed(1)} mph`;
    expect(sheet).toContain(`${mph(row.before.gap.value)}, ${mph(row.after.gap.value)}`);
    const length = comparison.rows.find(({ quantity, basis }) => quantity === 'thorax.to_target' && basis === 'value')!;
    expect(sheet).toContain(`+${(length.before.gap.value! / 25.4).toFixed(1)} in`);
    expect(us.get('tables/sessions.csv')).toBe(si.get('tables/sessions.csv'));
  });
});

describe('a season in miles per hour and inches', () => {
  it('has no metric unit in sheet and page, and the same table', async () => {
    const trend = fixtureTrend();
    const run = RUN as unknown as Parameters<typeof renderTrend>[1];
    const [us, si] = [await filesOf(renderTrend(trend, run, US)), await filesOf(renderTrend(trend, run))];
    expect(drawn(us)).toHaveLength(2);
    for (const [path, file] of drawn(us)) expect(metricIn(file), path).toEqual([]);
    for (const [path, file] of drawn(si)) expect(metricIn(file).length, path).toBeGreaterThan(0);
    const speed = trend.series.find(({ quantity }) => quantity === 'club.head_speed')!;
    const mph = (value: number | null) => ((value! * 3600) / 1609.344).toFixed(1);
    const { value, low95, high95 } = speed.points[1]!.gap;
    expect(seen(us.get('index.html')!)).toContain(`+${mph(value)}\u00a0mph (+${mph(low95)} to +${mph(high95)})`);
    expect(us.get('tables/trend.csv')).toBe(si.get('tables/trend.csv'));
  });
});

describe('gates and outlying swings', () => {
  // noise of 3.1 mm is beyond the limit of 3 mm and must read so in inches; 96.2 m/s are 215.2 mph (1 mph is 0.44704 m/s)
  const view = fixtureView({ face: true });
  const record = view.records[0]!;
  const noisy = { marker: 'C7', frames: 480, missing: 0, filled: 0, longestGap_s: 0, noise_m: 0.0031, flags: [] };
  const fast = {
    quantity: 'club.head_speed',
    position: 'swing',
    value: 96.2,
    plusMinus: null,
    order: null,
    unit: 'm/s',
    flags: [],
    why: null,
  } as const;
  const judged = (trial: string, changes: Partial<SwingRecord>): TrialOutcome => {
    const own = { ...record, ...changes, head: { ...record.head, trial, club: 'driver', kind: 'driver' as const } };
    const outcome = { ...view.outcomes[0]!, trial, club: 'driver', kind: 'driver' as const, record: own };
    const [found] = judgeDay([briefOutcome(outcome)], { trials: [] }, () => qualityOf(own));
    return { ...found!, record: found!.record === null ? null : own };
  };
  const outlying = {
    group: 'driver',
    swings: 8,
    distance: 5.1,
    limit: 2.7,
    values: [{ quantity: 'thorax.to_target', position: 'P7', unit: 'mm', deviation: 61 }],
  } as const;
  const outcomes = [
    { ...judged('a', { quality: [noisy] }), outlying },
    judged('b', { cells: [fast] }),
    ...view.outcomes,
  ];
  const day = (report: ReportSettings | undefined) =>
    viewOf({
      day: view.day, date: view.date, outcomes, records: view.records, comparisons: [view.comparison], report, orders: [],
      about: () => ({ source: 'markers', still: null }), coach: () => coachWordsOf({}), smoothing: () => '', program: { name: 'swingbasis', version: '0.1.0' },
    }); // biome-ignore format: one glance

  it('say what they found in the units of the report, on the page of the day, the details and the page', async () => {
    const us = day(US);
    // the page of a day is given the trials as they were judged
    const index = await startIndex({ ...us, outcomes, playerIds: [us.players[0]!.comparison.player] });
    index.add(indexPart(us.players[0]!, index.filter));
    const page = [...(index.page([], null).text as Iterable<string>)].join('');
    const texts = [page, renderPlayerDetails(us.players[0]!), renderPlayerPage(us.players[0]!)];
    for (const text of texts) expect(metricIn(text)).toEqual([]);
    const flat = texts.map((text) => seen(text).replace(/[\s\u00a0]+/g, ' '));
    for (const text of flat) expect(text).toContain('head speed 215.2 mph, more than 167.8 mph');
    expect(flat[1]).toContain('marker noise 0.122 in (C7), more than 0.118 in');
    expect(flat[1]).toContain('+2.4 in from their median');
    const si = renderPlayerDetails(day(undefined).players[0]!);
    expect(seen(si).replace(/\s+/g, ' ')).toContain('marker noise 3.1 mm (C7), more than 3 mm');
    expect(day(undefined).outcomes).toEqual(outcomes);
  });

  it('leave alone a text that the program of this version did not write', () => {
    const own = judged('a', { quality: [noisy] });
    const other = {
      ...own,
      gate: { ...own.gate!, reasons: own.gate!.reasons.map((one) => ({ ...one, text: 'noise of 3.1 mm' })) },
    };
    const shown = viewOf({
      day: '', date: null, outcomes: [other], records: [], comparisons: [], report: US, orders: [],
      about: () => ({ source: 'markers', still: null }), coach: () => coachWordsOf({}), smoothing: () => '', program: { name: 'x', version: '0' },
    }); // biome-ignore format: one glance
    expect(shown.outcomes[0]!.gate).toEqual(other.gate);
  });
});
