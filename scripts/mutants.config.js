/** What a changed folder of the core is held against: its own tests and the published values; simulated ones when asked. */
import { defineConfig } from 'vitest/config';
import { alias, seed } from '../vitest.config.ts';
import { root } from './prepare.mjs';

const folder = process.env.COLDROUNDS_MUTANTS_FOLDER;
const slow = process.env.COLDROUNDS_MUTANTS_SLOW !== undefined;

/** Published values that belong to a folder, without those whose draws take minutes. */
const published = {
  backup: ['capacitor'],
  hunting: ['oscillation-reference'],
  signals: ['oscillation-reference'],
};

export default defineConfig({
  root,
  resolve: { alias },
  test: {
    include: [
      `backend/core/src/${folder}/**/*.test.ts`,
      ...(published[folder] ?? []).map((name) => `tests/published/${name}.test.ts`),
      ...(slow ? ['tests/published/**/*.test.ts', 'tests/simulated/**/*.test.ts'] : []),
    ],
    testTimeout: 120_000,
    provide: { seed },
  },
});
