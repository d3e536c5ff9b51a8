import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';
import { SLOW_TESTS } from './slowTests.ts';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/long/**', ...SLOW_TESTS, 'node_modules/**'],
    reporters: ['default', './tests/support/closingLine.ts'],
    // The default leaves one core idle, which is half of two.
    maxWorkers: Math.max(2, availableParallelism() - 1),
    testTimeout: 60_000,
    hookTimeout: 120_000,
    coverage: { include: ['src/**'] },
  },
});
