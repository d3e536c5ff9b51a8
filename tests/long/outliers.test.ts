import { describe, expect, it } from 'vitest';
import { CLEAN_CASES, falseAlarms } from '../support/cleanGroups.ts';

const GROUPS = 4000;
/** 5 % and 3 standard errors of a share of 5 % over the groups counted: √(0.05 · 0.95 / 4000) = 0.34 %. */
const MOST = 0.05 + 3 * Math.sqrt((0.05 * 0.95) / GROUPS);

describe('clean groups of swings', () => {
  it.each([5, 6, 7, 8, 9, 10, 12, 16])(
    'of %i: at most one group in twenty has a swing beyond the limit, and the hardest case is near to it',
    (swings) => {
      const shares = CLEAN_CASES.map((of) => [of.name, falseAlarms(of, swings, GROUPS, 20 + swings)] as const);
      for (const [name, share] of shares) expect(share, `${name}, ${swings} swings`).toBeLessThan(MOST);
      // a limit that nothing passes would find nothing either
      expect(Math.max(...shares.map(([, share]) => share))).toBeGreaterThan(0.015);
    },
  );
});
