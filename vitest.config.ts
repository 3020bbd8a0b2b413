import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';
import { preact } from './frontend/vite.config.js';

const path = (relative: string) => fileURLToPath(new URL(relative, import.meta.url));

// Tests run against the sources, not against a build, so that no test can pass on stale output.
export const alias = [
  { find: /^@coldrounds\/core$/, replacement: path('./backend/core/src/index.ts') },
  { find: /^@coldrounds\/core\/(\w+)$/, replacement: path('./backend/core/src/$1/index.ts') },
  { find: /^@coldrounds\/server$/, replacement: path('./backend/server/src/index.ts') },
  { find: /^@coldrounds\/simulator$/, replacement: path('./simulator/src/index.ts') },
];

/** The seed of every test that draws numbers: fixed, so that no run fails by chance; `npm run soak` gives others. */
export const seed = Number(process.env.COLDROUNDS_SEED ?? 271_828_183);

/** Long enough for a machine that is busy with other things: no test measures how fast it is. */
const patient = { testTimeout: 300_000, hookTimeout: 300_000 };

/**
 * Tests of functions share their modules from file to file, which takes half the time: none mocks a module, and what one
 * fakes (a clock) it gives back. On every core: left to itself Vitest keeps one free, which of two is half.
 */
const shared = { isolate: false, maxWorkers: '100%', ...patient, sequence: { groupOrder: 0 } };

/**
 * Tests that start a database or a broker, two files at a time: they wait more than they work. After those of functions,
 * which keep both cores busy.
 */
const withServices = { ...patient, maxWorkers: 2, sequence: { groupOrder: 1 } };

/**
 * Tests with a browser, one file at a time and beside nothing else: without a graphics card it draws with the processor,
 * and beside others a chart that was zoomed sixteen times took a minute to come to rest.
 */
const withBrowser = { ...patient, fileParallelism: false, sequence: { groupOrder: 2 } };

export default defineConfig({
  resolve: { alias },
  test: {
    projects: [
      {
        resolve: { alias },
        test: {
          name: 'unit',
          include: [
            'backend/core/src/**/*.test.ts',
            'backend/server/src/**/*.test.ts',
            'simulator/src/**/*.test.ts',
            'tests/published/**/*.test.ts',
            'tests/simulated/**/*.test.ts',
            'tests/score/**/*.test.ts',
            'tests/fuzz/**/*.test.ts',
          ],
          ...shared,
          provide: { seed },
        },
      },
      {
        resolve: { alias: [...alias, ...preact] },
        oxc: { jsx: { runtime: 'automatic' } },
        test: {
          name: 'frontend',
          include: ['frontend/src/**/*.test.{ts,tsx}'],
          environment: 'node',
          // Libraries, too, take what stands in for React.
          server: { deps: { inline: [/@tanstack[\\/]react/] } },
          ...shared,
        },
      },
      {
        resolve: { alias },
        test: {
          name: 'services',
          include: ['tests/{storage,ingest,assessment,api,faults}/**/*.test.ts'],
          ...withServices,
        },
      },
      {
        resolve: { alias },
        test: {
          name: 'brokers',
          include: ['tests/brokers/**/*.test.ts'],
          passWithNoTests: true,
          ...withServices,
        },
      },
      {
        resolve: { alias },
        test: { name: 'end-to-end', include: ['tests/end-to-end/**/*.test.ts'], ...withBrowser },
      },
    ],
  },
});
