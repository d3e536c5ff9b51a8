import { JSDOM } from 'jsdom';
import { expect, test } from 'vitest';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import { fixtureView } from '../../support/reportFixture.ts';

const PANEL = 'Curve of pelvis forward bend from P1 to P9';

async function panelOf(stretches: readonly { from: number; to: number; name: string; sign: 1 | -1 }[]) {
  const view = fixtureView();
  const curves = view.comparison.curves.map((curve) => ({
    ...curve,
    stretches: curve.quantity === 'pelvis.forward_bend' ? stretches : [],
  }));
  const text = renderPlayerSheet({ ...view, comparison: { ...view.comparison, curves } });
  const svg = new JSDOM(text, { contentType: 'image/svg+xml' }).window.document;
  const title = [...svg.querySelectorAll('g > title')].find((one) => one.textContent.startsWith(PANEL))!;
  const panel = title.parentElement!;
  const number = (element: Element, name: string): number => Number(element.getAttribute(name));
  const bars = [...panel.querySelectorAll('rect')].map((bar) => ({
    left: number(bar, 'x'),
    right: number(bar, 'x') + number(bar, 'width'),
  }));
  return { label: title.textContent, bars, text };
}

test('stretches that differ are bars under the axis, apart from each other, and words for those who do not see them', async () => {
  const { label, bars, text } = await panelOf([
    { from: 30, to: 45, name: 'P4 to half-way P5–P6', sign: 1 },
    { from: 60, to: 60, name: 'P7', sign: -1 },
    { from: 72, to: 73, name: 'shortly after P8', sign: 1 },
  ]);
  expect(label).toBe(`${PANEL}; the curves differ from P4 to half-way P5–P6, at P7 and shortly after P8`);
  expect(bars).toHaveLength(3);
  for (const [i, { left, right }] of bars.entries()) {
    expect(right).toBeGreaterThan(left);
    if (i > 0) expect(left).toBeGreaterThan(bars[i - 1]!.right);
  }
  expect(text).toContain('bars under the axis: the curves differ there');
});

test('a sheet without such a stretch has no bar and no word of bars', async () => {
  const { label, bars, text } = await panelOf([]);
  expect(label).toBe(PANEL);
  expect(bars).toHaveLength(0);
  expect(text).not.toContain('bars under the axis');
});
