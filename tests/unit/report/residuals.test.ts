import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import type { CutoffCurves } from '../../../src/model/cutoffCurves.ts';
import { rereadRecord } from '../../../src/model/storedRecord.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { analyseTrial } from '../../../src/pipeline/analyseTrial.ts';
import { renderResidualFigures } from '../../../src/pipeline/renderResiduals.ts';
import { renderResiduals } from '../../../src/report/residualFigure.ts';
import { DE } from '../../../src/report/words/de.ts';
import { EN } from '../../../src/report/words/en.ts';
import { storedRecordText } from '../../../src/tables/storedRecord.ts';
import { outsidePage, overlappingPairs, parseSvg, textsOf } from '../../support/svgText.ts';
import { NOISY, truthCase } from '../../support/truthCases.ts';

const RULES = ['residual', 'autocorrelation', 'cross-validation'] as const;

let record: SwingRecord;
let without: SwingRecord;
let curves: readonly CutoffCurves[];
beforeAll(async () => {
  const { trial, plan } = truthCase(3, NOISY);
  const filter = { ...plan.filter, legs_Hz: 'residual' } as const;
  record = analyseTrial(trial, { ...plan, filter, residuals: true }, createWorkspace({ poison: true }));
  without = analyseTrial(trial, { ...plan, filter }, createWorkspace({ poison: true }));
  curves = record.cutoffCurves!;
});

describe('the figure of the filter choice', () => {
  it('costs the record nothing but its own key, and reads back from the stored record', () => {
    const { cutoffCurves, ...rest } = record;
    expect(cutoffCurves?.map(({ group }) => group)).toEqual([
      'trunk_Hz',
      'head_Hz',
      'legs_Hz',
      'upperArm_Hz',
      'forearm_Hz',
    ]);
    expect(storedRecordText(rest)).toBe(storedRecordText(without));
    const stored = rereadRecord(storedRecordText(record));
    expect(stored.ok && stored.value.cutoffCurves).toEqual(curves);
  });

  it('names what each rule would choose and what was used, and the rule that chose it is the one that was asked', () => {
    const legs = curves.find(({ group }) => group === 'legs_Hz')!;
    expect(legs).toMatchObject({ rule: 'residual', used_Hz: record.smoothing?.legs_Hz });
    expect(legs.choices_Hz.residual).toBe(legs.used_Hz);
    const svg = new JSDOM(renderResiduals(EN, 'a', curves), { contentType: 'image/svg+xml' }).window.document;
    const texts = [...svg.querySelectorAll('text')].map((one) => one.textContent ?? '');
    expect(texts).toContain(`${legs.used_Hz!.toFixed(1)} Hz, by residual`);
    expect(texts).toContain('12.0 Hz, as set');
    for (const one of curves)
      for (const hz of Object.values(one.choices_Hz)) expect(texts).toContain(`${hz.toFixed(1)} Hz`);
    expect(svg.querySelectorAll('g')).toHaveLength(15);
    expect(svg.querySelector('desc')?.textContent).toMatch(
      /^trunk: used 12\.0 Hz, as set; would choose: residual analysis /,
    );
  });

  describe.each([
    ['en', EN],
    ['de', DE],
  ] as const)('in the language %s', (_tag, words) => {
    it.each([
      ['every group', () => curves],
      ['chosen by each rule', () => curves.slice(0, 3).map((one, i) => ({ ...one, rule: RULES[i]! }))],
      ['not filtered', () => curves.map((one) => ({ ...one, used_Hz: null, rule: null }))],
      ['none', () => []],
    ] as const)('has no texts that overlap, leave the figure or are cut: %s', (_name, make) => {
      const svg = parseSvg(renderResiduals(words, 'a', make()));
      const [, , width, height] = svg.documentElement.getAttribute('viewBox')!.split(' ').map(Number);
      const texts = textsOf(svg);
      expect(texts.length).toBeGreaterThan(6);
      expect(overlappingPairs(texts, 0.02)).toEqual([]);
      expect(outsidePage(texts, width!, height!, 0)).toEqual([]);
      expect(texts.filter(({ text }) => text.includes('…'))).toEqual([]);
    });
  });

  it('has German words, a decimal comma and its language tag in German', () => {
    const svg = parseSvg(renderResiduals(DE, 'a', curves));
    expect(svg.documentElement.getAttribute('lang')).toBe('de');
    const texts = textsOf(svg).map(({ text }) => text);
    expect(texts).toContain('12,0 Hz, gesetzt');
    expect(texts.filter((text) => /\d\.\d/.test(text))).toEqual([]);
    expect(svg.querySelector('desc')?.textContent).toMatch(
      /^Rumpf: verwendet 12,0 Hz, gesetzt; gewählt würden: Residuenanalyse \d+,\d Hz, Autokorrelation /,
    );
  });

  it('is a file a swing that keeps its curves', async () => {
    const paths: string[] = [];
    for await (const { path } of renderResidualFigures([record, without])) paths.push(path);
    expect(paths).toEqual([`figures/${record.head.trial}-residuals.svg`]);
  });
});
