import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';
import { SLOW_TESTS } from './slowTests.ts';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/long/**/*.test.ts', ...SLOW_TESTS],
    reporters: ['default', './tests/support/closingLine.ts'],
    // The default leaves one core idle, which is half of two.
    maxWorkers: Math.max(2, availableParallelism() - 1),
    testTimeout: 600_000,
    hookTimeout: 600_000,
  },
});
