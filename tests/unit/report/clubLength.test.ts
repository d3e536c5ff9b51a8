import { JSDOM } from 'jsdom';
import { expect, test } from 'vitest';
import type { LengthTrend, PlayerComparison } from '../../../src/model/comparison.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { fixtureView } from '../../support/reportFixture.ts';

const TREND: LengthTrend = {
  clubs: ['iron5', 'iron7', 'wood3'],
  length_m: 1.143,
  slopePer10cm: 1,
  expected: 14.2,
  low95: 12,
  high95: 16.4,
  difference: 3.4,
  differenceLow95: 0.7,
  differenceHigh95: 6.1,
  verdict: 'departs',
  reason: '',
};

/** Lines of the details when the pelvis alone departs, at P4 and P5, with this trend. */
async function linesWith(trend: LengthTrend | null): Promise<string[]> {
  const view = fixtureView();
  const comparison: PlayerComparison = {
    ...view.comparison,
    rows: view.comparison.rows.map((row) => {
      const isHere = row.basis === 'value' && row.quantity === 'pelvis.forward_bend' && /^P[45]$/.test(row.position);
      return isHere ? { ...row, verdict: 'departs', trend } : { ...row, verdict: 'undecided', trend: null };
    }),
  };
  const text = renderPlayerDetails({ ...view, comparison });
  const svg = new JSDOM(text, { contentType: 'image/svg+xml' }).window.document;
  return [...svg.querySelectorAll('text')].map((line) => line.textContent);
}

test('a quantity that departs has one line, where it first departs, with the trend, its interval and the verdict', async () => {
  const lines = await linesWith(TREND);
  expect(lines.filter((line) => line === 'Club length')).toHaveLength(1);
  expect(lines.filter((line) => line === 'pelvis forward bend at P4')).toHaveLength(1);
  expect(lines).not.toContain('pelvis forward bend at P5');
  expect(lines.filter((line) => line.startsWith('14.2°'))).toEqual([
    '14.2° (95 % interval 12.0 to 16.4°), driver 17.6°: departs from that too, by +3.4° (95 % interval 0.7 to 6.1°)',
  ]);
  expect(lines.join(' ')).toContain('all swings of iron5, iron7 and wood3 against club length is carried to 1.143 m');
});

test.each([
  ['none', 'too uncertain to judge', ': too uncertain to judge'],
  ['matches', '', ': matches that'],
  ['undecided', '', ': can’t be told yet, by'],
  ['differs-slightly', '', ': differs slightly from that, by +3.4°'],
] as const)('a trend of verdict %s is told in plain words', async (verdict, reason, words) => {
  const line = (await linesWith({ ...TREND, verdict, reason })).find((text) => text.startsWith('14.2°'));
  expect(line).toContain(words);
});

test('without a trend there is no heading', async () => {
  expect(await linesWith(null)).not.toContain('Club length');
});
