import { describe, expect, it } from 'vitest';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { fixtureView } from '../../support/reportFixture.ts';
import { parseSvg } from '../../support/svgText.ts';

const RAD = Math.PI / 180;

/** Every swing's noise of pelvis forward bend grows with its place in the day; placement is one for all. */
function told(): PlayerView {
  const view = fixtureView();
  const records = view.records.map((record, i) => ({
    ...record,
    cells: record.cells.map((cell) =>
      cell.quantity === 'pelvis.forward_bend'
        ? { ...cell, plusMinus: (0.2 + 0.01 * i) * RAD, placement: 3 * RAD }
        : cell,
    ),
  }));
  return { ...view, records };
}

const linesOf = (view: PlayerView): string[] =>
  [...parseSvg(renderPlayerDetails(view)).querySelectorAll('text')].map((text) => text.textContent ?? '');

describe('how exact one value is', () => {
  it('stands in the details in both parts, least and largest over the swings', () => {
    const view = told();
    const largest = (0.2 + 0.01 * (view.records.length - 1)).toFixed(2);
    expect(linesOf(view)).toContain(`noise ± 0.20 to ${largest}°; placement ± 3.0°, at P1, P4, P5.5 and P7`);
  });

  it('says nothing of quantities without a ±', () => {
    const lines = linesOf(told());
    const heading = lines.indexOf('How exact one value is');
    expect(heading).toBeGreaterThan(0);
    expect(lines.slice(heading + 1, heading + 3)).toEqual([
      'Pelvis forward bend',
      expect.stringMatching(/^noise ± .*P7$/),
    ]);
    expect(lines.filter((line) => line.startsWith('noise ±'))).toHaveLength(1);
    expect(linesOf(fixtureView())).not.toContain('How exact one value is');
  });
});
