import { describe, expect, it } from 'vitest';
import { faultsOfClean } from '../support/bodyFaultCases.ts';
import { CLEAN, type Conditions, NOISY } from '../support/truthCases.ts';

const CONDITIONS: readonly (readonly [string, Conditions])[] = [
  ['no noise, 240 Hz', CLEAN],
  ['1 mm, 240 Hz', NOISY],
  ['no noise, 500 Hz', { ...CLEAN, rate_Hz: 500 }],
  ['1 mm, 500 Hz', { ...NOISY, rate_Hz: 500 }],
];

describe('200 clean swings of each generator, both hands, with and without a static trial', () => {
  it.each(CONDITIONS)('%s: no fault is found', (_words, conditions) => {
    const found: string[] = [];
    for (let seed = 101; seed <= 150; seed++) found.push(...faultsOfClean(seed, conditions));
    expect(found).toEqual([]);
  });
});
