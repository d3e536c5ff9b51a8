import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import type { TrialFacts } from '../../../src/model/trial.ts';
import { factGroups } from '../../../src/report/parts/facts.ts';
import { madeFromText } from '../../../src/report/parts/footText.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { EN } from '../../../src/report/words/en.ts';
import { fixtureView } from '../../support/reportFixture.ts';

function texts(svg: string): string[] {
  const parsed = new JSDOM(svg, { contentType: 'image/svg+xml' }).window.document;
  return [...parsed.querySelectorAll('text')].map((element) => element.textContent ?? '');
}

/** The view with other facts in its i-th swings. */
function withFacts(view: PlayerView, factsOf: (i: number) => Partial<TrialFacts>): PlayerView {
  const records = view.records.map(
    (record, i): SwingRecord => ({
      ...record,
      head: { ...record.head, facts: { ...record.head.facts, ...factsOf(i) } },
    }),
  );
  return { ...view, records };
}

describe('what was detected, on the details', () => {
  it('is one line a fact where all swings agree, numbers that differ given as a range', () => {
    const view = withFacts(fixtureView(), (i) => ({
      units: {
        value: 'mm',
        source: 'file',
        evidence: `the file; the body spans ${(1.5 + 0.01 * (i % 4)).toFixed(2)} m`,
      },
      up: { value: '+Z', source: 'detected', evidence: 'the feet lie below the shoulders and head along +Z' },
      hand: { value: 'left', source: 'set', evidence: 'the day file' },
    }));
    const words = texts(renderPlayerDetails(view));
    const from = words.indexOf('What was detected, and from what (16 swings)');
    expect(words.slice(from + 1, from + 13)).toEqual([
      'unit of length', 'mm, stated in the file; the body spans 1.50–1.53 m.',
      'rate', '240 Hz, detected: fixture.',
      'up', '+Z, detected: the feet lie below the shoulders and head along +Z.',
      'target line', '-Y, detected: fixture.',
      'hand', 'left, set in the day file.',
      'mirrored frame', 'no, detected: fixture.',
    ]); // biome-ignore format: a line each
  });

  it('groups swings that differ: the most first, the others by name', () => {
    const view = withFacts(fixtureView(), (i) =>
      i === 3 || i === 9 ? { up: { value: '+Y', source: 'detected', evidence: 'the feet lie below the head' } } : {},
    );
    const names = [3, 9].map((i) => view.records[i]!.head.trial);
    const words = texts(renderPlayerDetails(view));
    expect(words).toContain('+Z, detected: fixture (14 of 16 swings).');
    expect(words).toContain(`+Y, detected: the feet lie below the head (2 of 16 swings: ${names[0]} and ${names[1]}).`);
    expect(factGroups(EN, view.records, 'up').map(({ trials }) => trials.length)).toEqual([14, 2]);
  });

  it('keeps apart the same value from two sources', () => {
    const view = withFacts(fixtureView(), (i) =>
      i < 5 ? { hand: { value: 'right', source: 'assumed', evidence: 'neither set nor visible' } } : {},
    );
    expect(factGroups(EN, view.records, 'hand').map(({ text }) => text)).toEqual([
      'right, detected: fixture',
      'right, assumed: neither set nor visible',
    ]);
  });

  it('names an insisted fact as such, with what the data show instead', () => {
    const view = withFacts(fixtureView(), () => ({
      target: { value: '+X', source: 'insisted', evidence: 'the feet point along -Y' },
    }));
    expect(texts(renderPlayerDetails(view))).toContain(
      '+X, insisted on in the day file against the data, while the feet point along -Y.',
    );
  });

  it('says that a left-handed frame was reflected', () => {
    const evidence = 'forward × up points to the left in 35 of 35 pairs of landmarks';
    const view = withFacts(fixtureView(), () => ({ mirrored: { value: true, source: 'detected', evidence } }));
    expect(factGroups(EN, view.records, 'mirrored')[0]?.text).toBe(
      `yes, the frame of the file is left-handed and was reflected, detected: ${evidence}`,
    );
  });
});

describe('the foot of the sheet', () => {
  const SENTENCE = 'The target line was taken from the feet: turns are relative to it, path is not given';

  it('says that the target line is only assumed, and nothing where it is known', () => {
    const foot = texts(renderPlayerSheet(fixtureView({ assumedTarget: true }))).join(' ');
    expect(foot).toContain(SENTENCE);
    expect(texts(renderPlayerSheet(fixtureView())).join(' ')).not.toContain('target line was taken');
  });

  it('counts the swings where the line is assumed in some only', () => {
    const view = withFacts(fixtureView(), (i) =>
      i < 3 ? { target: { value: '+X', source: 'assumed', evidence: 'the line of the feet at the start' } } : {},
    );
    expect(madeFromText(EN, view)).toContain(
      'The target line was taken from the feet in 3 of 16 swings: turns are relative to it, path is not given there',
    );
  });

  it('names the sets that stand together, in the order of the day, and nothing where there is one', () => {
    const view = fixtureView({ sets: ['before', 'after'] });
    expect(texts(renderPlayerSheet(view)).join(' ')).toContain('sets before and after together');
    expect(madeFromText(EN, fixtureView({ sets: ['before'] }))).not.toContain('together');
    expect(madeFromText(EN, fixtureView())).not.toContain('together');
  });

  it('passes over the sets of swings that are not compared', () => {
    const view = fixtureView({ sets: ['before'] });
    const [first] = view.records;
    const wood: SwingRecord = { ...first!, head: { ...first!.head, trial: 'wood3/01', club: 'wood3', set: 'other' } };
    expect(madeFromText(EN, { ...view, records: [...view.records, wood] })).not.toContain('together');
  });
});

describe('a sheet without P1', () => {
  it('says in one line why there are no figures and gives their room to the curves', () => {
    const heights = (svg: string): number => {
      const parsed = new JSDOM(svg, { contentType: 'image/svg+xml' }).window.document;
      const headings = [...parsed.querySelectorAll('text')].filter((text) =>
        ['Pelvis forward bend, °', 'Chest forward bend, °'].includes(text.textContent ?? ''),
      );
      expect(headings).toHaveLength(2);
      return Number(headings[1]!.getAttribute('y')) - Number(headings[0]!.getAttribute('y'));
    };
    const without = renderPlayerSheet(fixtureView({ withoutP1: true }));
    expect(texts(without)).toContain(
      'No figures: they are aligned on the pelvis at P1, and P1 is missing in all swings of the driver and irons.',
    );
    expect(heights(without)).toBeGreaterThan(1.4 * heights(renderPlayerSheet(fixtureView())));
    expect(texts(without).join(' ')).not.toMatch(/NaN|undefined|null/);
  });
});
