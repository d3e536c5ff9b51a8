import { describe, expect, it } from 'vitest';
import type { OrderedRotation } from '../../../src/model/analysisPlan.ts';
import { JOINTS, type JointId } from '../../../src/model/joints.ts';
import { SEGMENTS } from '../../../src/model/motion.ts';
import { ANGLE_ORDERS } from '../../../src/model/quantity.ts';
import { DEFAULT_REPORT } from '../../../src/model/reportSettings.ts';
import { COLOUR } from '../../../src/report/drawing/theme.ts';
import { renderOrderChecks } from '../../../src/report/parts/orderSensitivity.ts';
import { changeTexts, orderSentence, verdictsOverOrders } from '../../../src/report/parts/orderSensitivityText.ts';
import { DE } from '../../../src/report/words/de.ts';
import { EN } from '../../../src/report/words/en.ts';
import { orderComparison } from '../../support/orderComparison.ts';
import { PLACES } from '../../support/orderDay.ts';
import { outsidePage, overlappingPairs, parseSvg, textsOf } from '../../support/svgText.ts';

const ROTATIONS: readonly OrderedRotation[] = [...SEGMENTS, ...(Object.keys(JOINTS) as JointId[])];

describe('figure of the orders', () => {
  const comparison = orderComparison(['thorax']);
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

  describe.each(['en', 'de'] as const)('in the language %s', (language) => {
    const settings = { ...DEFAULT_REPORT, language };

    const checksOf = (rotations: readonly ('thorax' | 'lead_foot' | 'lead_hip')[]) => () => orderComparison(rotations);
    it.each([
      ['one segment', checksOf(['thorax'])],
      ['several, one of which has no quantities and one no rotations', checksOf(['thorax', 'lead_foot', 'lead_hip'])],
      ['nothing but a reason', checksOf(['lead_hip'])],
      [
        'every segment and joint',
        () => ({ ...comparison, orderChecks: ROTATIONS.map((rotation) => ({ ...check, rotation })) }),
      ],
    ] as const)('texts overlap nowhere, stay inside and are whole: %s', (_name, make) => {
      const svg = parseSvg(renderOrderChecks({ comparison: make(), settings }));
      const [, , width, height] = svg.documentElement.getAttribute('viewBox')!.split(' ').map(Number);
      const texts = textsOf(svg);
      expect(svg.documentElement.getAttribute('lang')).toBe(language);
      expect(texts.length).toBeGreaterThan(5);
      expect(overlappingPairs(texts, 0.02)).toEqual([]);
      expect(outsidePage(texts, width!, height!, 0)).toEqual([]);
      expect(texts.filter(({ text }) => text.includes('…'))).toEqual([]);
      // the width of the column of names, 84 points
      expect(texts.filter(({ text, box }) => /^[XYZ]-/.test(text) && box.x + box.width > 84)).toEqual([]);
    });
  });

  it('the same comparison gives the same bytes', () => {
    expect(renderOrderChecks({ comparison })).toBe(renderOrderChecks({ comparison: orderComparison(['thorax']) }));
  });
});

describe('in words', () => {
  const [thorax, foot, hip] = orderComparison(['thorax', 'lead_foot', 'lead_hip']).orderChecks!;

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

  it('says the same in German, and has a German name for every segment and joint', () => {
    expect(orderSentence(DE, thorax!)).toMatch(
      /^Achsenfolge \(Brustkorb\): \d+ von 33 Urteilen an den Positionen \(Y-X-Z\) fielen .* anders aus; bei \d+ davon /,
    );
    const texts = changeTexts(DE, thorax!);
    expect(texts).toHaveLength(changeTexts(EN, thorax!).length);
    expect(texts.find((text) => text.startsWith('Seitneigung des Brustkorbs bei P8'))).toMatch(
      / weicht ab; .*stimmt überein in .*Z-X-Y/,
    );
    expect(orderSentence(DE, hip!)).toMatch(/^Achsenfolge \(vordere Hüfte\): /);
    expect(ROTATIONS.length).toBeGreaterThan(25);
    expect(ROTATIONS.filter((id) => DE.orders.rotation(id) === EN.orders.rotation(id))).toEqual([]);
    expect(ROTATIONS.filter((id) => /undefined|_/.test(DE.orders.rotation(id)))).toEqual([]);
  });
});
