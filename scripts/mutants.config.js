/** What a changed core is held against: the tests beside the code and the published values; those that take minutes when asked. */
import { defineConfig } from 'vitest/config';
import { alias, seed } from '../vitest.config.ts';
import { root } from './prepare.mjs';

const slow = process.env.COLDROUNDS_MUTANTS_SLOW !== undefined;

export default defineConfig({
  root,
  resolve: { alias },
  test: {
    include: [
      'backend/core/src/**/*.test.ts',
      'tests/published/**/*.test.ts',
      ...(slow ? ['tests/simulated/**/*.test.ts'] : []),
    ],
    exclude: slow ? [] : ['tests/published/oscillation-detection.test.ts'],
    testTimeout: 120_000,
    provide: { seed },
  },
});
