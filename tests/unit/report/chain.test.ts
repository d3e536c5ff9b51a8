import { JSDOM } from 'jsdom';
import { expect, test } from 'vitest';
import type { DepartureChain } from '../../../src/model/comparison.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { fixtureView } from '../../support/reportFixture.ts';

async function textWith(chains: readonly DepartureChain[]): Promise<string[]> {
  const view = fixtureView();
  const comparison = { ...view.comparison, chains };
  const text = renderPlayerDetails({ ...view, comparison });
  const svg = new JSDOM(text, { contentType: 'image/svg+xml' }).window.document;
  return [...svg.querySelectorAll('text')].map((line) => line.textContent);
}

const HEADING = /^What departs, from the ground up/;

test('a position has one line: link by link from the ground up, the largest of each with its number', async () => {
  const departing = (quantity: string, difference: number) => ({ quantity, difference, unit: 'deg' as const });
  const lines = await textWith([
    {
      position: 'P4',
      basis: 'change',
      links: [
        { link: 'knees', tested: 4, departing: [departing('lead_knee.flexion', -9.12)] },
        { link: 'hips', tested: 6, departing: [] },
        {
          link: 'pelvis',
          tested: 7,
          departing: [
            departing('pelvis.forward_bend', 6.84),
            departing('pelvis.turn', 3),
            departing('pelvis_line.turn', 3),
          ],
        },
      ],
    },
    { position: 'P7', basis: 'change', links: [{ link: 'knees', tested: 4, departing: [] }] },
  ]);
  expect(lines.some((line) => HEADING.test(line))).toBe(true);
  expect(lines).toContain('P4, since P1');
  expect(lines).toContain('knees: lead knee bend −9.1° → pelvis: pelvis forward bend +6.8°, 2 more');
  expect(lines).not.toContain('P7, since P1');
});

test('where nothing departs there is no heading', async () => {
  const lines = await textWith([
    { position: 'P4', basis: 'value', links: [{ link: 'knees', tested: 4, departing: [] }] },
  ]);
  expect(lines.some((line) => HEADING.test(line))).toBe(false);
});
