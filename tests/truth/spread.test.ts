// 90–98 % at a nominal 95 % (definitions 9). Few cases here: all rows of a position together; tests/long looks at each row.
import { beforeAll, describe, expect, it } from 'vitest';
import { type Held, measureSpread } from '../support/spreadCoverage.ts';

const CASES = 18;

describe('the ± of angles, places, lines and speeds', () => {
  let held: Map<string, Held>;
  beforeAll(() => {
    held = measureSpread(CASES, 3);
  });

  it.each(['P1', 'P2', 'P3', 'P4', 'P5', 'P5.5', 'P6', 'P7', 'P8', 'P9', 'P10'])(
    'at %s holds the truth about as often as it says',
    (position) => {
      let inside = 0;
      let of = 0;
      for (const [name, row] of held) {
        if (!name.endsWith(`@${position}`)) continue;
        inside += row.inside;
        of += row.of;
      }
      expect(of).toBeGreaterThan(20 * CASES);
      // Rows of one swing share its markers: as if there were six independent ones a swing, √(0.95 · 0.05 / 108) = 2.1 %, twice that on either side.
      expect(inside / of).toBeGreaterThan(0.91);
      expect(inside / of).toBeLessThan(0.992);
    },
  );

  it('is there for every value but the speed of the body at P5.5 and at the blow', () => {
    const without = [...held].filter(([, row]) => row.without > 0).map(([name]) => name);
    const positions = ['P5.5', 'P7'];
    expect(without.sort()).toEqual(
      ['body.speed', 'body.speed_to_target'].flatMap((id) => positions.map((position) => `${id}@${position}`)),
    );
  });
});
