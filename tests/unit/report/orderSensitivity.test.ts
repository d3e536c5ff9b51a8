import { describe, expect, it } from 'vitest';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import type { PlayerComparison } from '../../../src/model/comparison.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import { POSITIONS } from '../../../src/model/positions.ts';
import { ANGLE_ORDERS } from '../../../src/model/quantity.ts';
import { COLOUR } from '../../../src/report/drawing/theme.ts';
import { renderOrderChecks } from '../../../src/report/parts/orderSensitivity.ts';
import { changeTexts, orderSentence, verdictsOverOrders } from '../../../src/report/parts/orderSensitivityText.ts';
import { EN } from '../../../src/report/words/en.ts';
import { orderDay, PLACES, type PostureOf } from '../../support/orderDay.ts';
import { clubPlan } from '../../support/plans.ts';
import { outsidePage, overlappingPairs, parseSvg, textsOf } from '../../support/svgText.ts';

/** Turned away more and more, the driver 8° further over from P3 on; the last position is near the singular one of Z-Y-X. */
const posture: PostureOf = (isDriver, position, swing) => {
  const place = POSITIONS.indexOf(position);
  const off = 0.4 * (swing % 4) - 0.6;
  return [-8.5 * place + off, (isDriver && place > 1 ? -43 : -35) + 0.5 * off, -place - off];
};

function comparisonOf(rotations: readonly ('thorax' | 'lead_foot' | 'lead_hip')[]): PlayerComparison {
  const records = orderDay(posture).map((record) => ({
    ...record,
    rotations: { lead_foot: Object.fromEntries(PLACES.map((at) => [at, record.poses[at]!.thorax])) },
  }));
  return compareRecords(records, {
    player: { id: 'wren', hand: 'right' },
    clubs: [clubPlan(), clubPlan({ id: 'iron7', kind: 'iron' }), clubPlan({ id: 'iron8', kind: 'iron' })],
    options: { ...DEFAULT_COMPARE, resamples: 20 },
    orderCheck: rotations,
  });
}

describe('figure of the orders', () => {
  const comparison = comparisonOf(['thorax']);
  const check = comparison.orderChecks![0]!;
  const values = check.rows.filter(({ basis, isCounterpart }) => basis === 'value' && isCounterpart);

  it('frames what changes, thick where departs is gained or lost, and shades what is near singular', () => {
    const svg = parseSvg(renderOrderChecks({ comparison }));
    const rects = [...svg.querySelectorAll('g rect')];
    const frames = rects.filter((one) => one.getAttribute('fill') === 'none');
    const changed = values.filter(({ changes }) => changes === true);
    const departing = changed.filter((row) => (row.verdict === 'departs') !== (row.mainVerdict === 'departs'));
    expect(changed.length).toBeGreaterThan(departing.length);
    expect(departing.length).toBeGreaterThan(3);
    expect(frames).toHaveLength(changed.length);
    expect(frames.filter((one) => Number(one.getAttribute('stroke-width')) > 1)).toHaveLength(departing.length);
    const shaded = new Set(
      check.rows
        .filter(({ basis, nSingular }) => basis === 'value' && nSingular > 0)
        .map(
          ({ order, position, inPlaceOf, isCounterpart }) => `${order}@${position}@${isCounterpart ? inPlaceOf : ''}`,
        ),
    );
    expect(shaded.size).toBeGreaterThan(3);
    expect(rects.filter((one) => one.getAttribute('fill') === COLOUR.faint)).toHaveLength(shaded.size);
  });

  it('shows every order and every difference with the sign of the main quantity', () => {
    const svg = parseSvg(renderOrderChecks({ comparison }));
    const lines = [...svg.querySelectorAll('g')];
    const titles = lines.map((line) => line.querySelector('title')!.textContent!.replaceAll('-', ''));
    for (const order of ANGLE_ORDERS) {
      expect(titles.filter((one) => one === order)).toHaveLength(order[0] === order[2] ? 1 : 3);
    }
    const bend = comparison.rows.find(
      (row) => row.quantity === 'thorax.forward_bend' && row.position === 'P7' && row.basis === 'value',
    )!;
    const line = lines.filter((_, i) => titles[i] === 'YXZ')[2]!;
    const shown = [...line.querySelectorAll('text')].map((one) => one.textContent);
    const text = bend.difference!.toFixed(1).replace('-', '−');
    expect(shown[1 + PLACES.indexOf('P7')]).toBe(bend.difference! > 0.05 ? `+${text}` : text);
  });

  it.each([
    ['one segment', ['thorax']],
    ['several, one of which has no quantities and one no rotations', ['thorax', 'lead_foot', 'lead_hip']],
    ['nothing but a reason', ['lead_hip']],
  ] as const)('texts overlap nowhere and stay inside: %s', (_name, rotations) => {
    const svg = parseSvg(renderOrderChecks({ comparison: comparisonOf(rotations) }));
    const [, , width, height] = svg.documentElement.getAttribute('viewBox')!.split(' ').map(Number);
    const texts = textsOf(svg);
    expect(texts.length).toBeGreaterThan(5);
    expect(overlappingPairs(texts, 0.02)).toEqual([]);
    expect(outsidePage(texts, width!, height!, 0)).toEqual([]);
  });

  it('the same comparison gives the same bytes', () => {
    expect(renderOrderChecks({ comparison })).toBe(renderOrderChecks({ comparison: comparisonOf(['thorax']) }));
  });
});

describe('in words', () => {
  const [thorax, foot, hip] = comparisonOf(['thorax', 'lead_foot', 'lead_hip']).orderChecks!;

  it('counts the verdicts that change away from singular positions, and says which', () => {
    const all = verdictsOverOrders(thorax!);
    expect(all).toHaveLength(3 * PLACES.length);
    const keys = new Set(
      thorax!.rows
        .filter(({ basis, changes, nSingular }) => basis === 'value' && changes === true && nSingular === 0)
        .map(({ inPlaceOf, position }) => `${inPlaceOf}@${position}`),
    );
    expect(orderSentence(EN, thorax!)).toContain(`order of axes of thorax: ${keys.size} of 33 verdicts`);
    const texts = changeTexts(EN, thorax!);
    expect(texts).toHaveLength(keys.size);
    expect(texts.find((text) => text.startsWith('chest side bend at P8'))).toMatch(/ departs; .*matches in .*Z-X-Y/);
  });

  it('says why where there is nothing to count', () => {
    expect(orderSentence(EN, foot!)).toBe(
      'order of axes of lead foot: no verdict that could be set against other orders',
    );
    expect(orderSentence(EN, hip!)).toMatch(/^order of axes of lead hip: the records hold no rotations of lead_hip/);
  });
});
