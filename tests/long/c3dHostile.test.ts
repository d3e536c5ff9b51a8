import { expect, it } from 'vitest';
import { runHostileCases } from '../support/c3dHostile.ts';

it('20,000 damaged files (seed 2) give a reading or a FormatError, nothing else', () => {
  const result = runHostileCases(20_000, 2);
  expect(result.cases).toBe(20_000);
  expect(result.faults).toEqual([]);
  expect(result.refused).toBeGreaterThan(100);
  expect(result.read).toBeGreaterThan(100);
});
