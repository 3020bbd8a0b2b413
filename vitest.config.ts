import { dirname, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Plugin } from 'vite';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';
import { preact } from './frontend/vite.config.js';

const path = (relative: string) => fileURLToPath(new URL(relative, import.meta.url));

/**
 * `npm test` has just built the sources, and there the tests in `tests/` run what is shipped, read by Node itself: read by the
 * test runner the same takes a quarter more of the processor. A test started by itself runs against the sources, so that none
 * can pass on stale output; one beside the code takes what it tests from its sources at any time.
 */
const onBuild = process.env.TESTS_ON_BUILD === 'on';
export const alias = onBuild
  ? []
  : [
      { find: /^@coldrounds\/core$/, replacement: path('./backend/core/src/index.ts') },
      { find: /^@coldrounds\/core\/(\w+)$/, replacement: path('./backend/core/src/$1/index.ts') },
      { find: /^@coldrounds\/server$/, replacement: path('./backend/server/src/index.ts') },
      { find: /^@coldrounds\/simulator$/, replacement: path('./simulator/src/index.ts') },
    ];

const sourceOfOurs = new RegExp(`^${path('./')}(backend/core|backend/server|simulator)/src/(.*\\.js)$`);

/** Has what tests import by file come from where it is built to. */
const fromBuild: Plugin = {
  name: 'from-build',
  enforce: 'pre',
  resolveId(source, importer) {
    if (!onBuild || !source.startsWith('.') || !importer?.startsWith(path('./tests/'))) return null;
    const [, part, file] = sourceOfOurs.exec(resolve(dirname(importer), source)) ?? [];
    return part === undefined ? null : path(`./${part}/dist/${part === 'backend/core' ? 'src/' : ''}${file}`);
  },
};

/** What is built is read by Node. */
const native = { server: { deps: { external: [/\/(backend\/core|backend\/server|simulator)\/dist\//] } } };

/** The seed of every test that draws numbers: fixed, so that no run fails by chance; `npm run soak` gives others. */
export const seed = Number(process.env.COLDROUNDS_SEED ?? 271_828_183);

/** Long enough for a machine that is busy with other things: no test measures how fast it is. */
const patient = { testTimeout: 300_000, hookTimeout: 300_000 };

/**
 * Tests of functions share their modules from file to file, which takes half the time: none mocks a module, and what one
 * fakes (a clock) it gives back. On every core: left to itself Vitest keeps one free, which of two is half.
 */
const shared = { ...native, isolate: false, maxWorkers: '100%', ...patient, sequence: { groupOrder: 0 } };

const withDatabase = { ...native, ...patient, globalSetup: ['./tests/support/store/shared-server.ts'] };

/**
 * Tests with a database or a broker, three files at a time: while one works, others wait for what they have killed. After
 * those of functions, which keep both cores busy. Files share modules here too: the server is read in thrice and not thirty
 * times.
 */
const withServices = { ...withDatabase, isolate: false, maxWorkers: 3, sequence: { groupOrder: 1 } };

/**
 * Tests with a browser, two files at a time and beside nothing else: without a graphics card it draws with the processor,
 * and while one waits for a page the other works.
 */
const withBrowser = {
  ...withDatabase,
  globalSetup: [...withDatabase.globalSetup, './tests/end-to-end/support/before-all.ts'],
  maxWorkers: 2,
  sequence: { groupOrder: 2 },
};

/** What takes longest in each project, the longest first. */
const long = [
  'simulated/sensors/sensors',
  'score/faults/faults',
  'simulated/learned-normal',
  'simulated/hunting',
  'simulated/backup/backup-simulator',
  'simulated/diagnose-unit',
  'assessment/equivalence',
  'faults/server-faults',
  'faults/ingest-faults',
  'api/decisions',
  'api/large-fleet',
  'api/roles',
  'end-to-end/round',
  'end-to-end/start',
].map((name) => path(`./tests/${name}.test.ts`));

/**
 * Begins with the long files, so that no core is left alone with one of them at the end. Vitest by itself goes by the size of
 * files where it has not run before.
 */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const placeOf = ({ moduleId }: TestSpecification) =>
      long.includes(moduleId) ? long.indexOf(moduleId) : long.length;
    // Projects stay one after the other.
    return [...new Set(sorted.map(({ project }) => project.name))].flatMap((name) =>
      sorted.filter(({ project }) => project.name === name).sort((a, b) => placeOf(a) - placeOf(b)),
    );
  }
}

export default defineConfig({
  resolve: { alias },
  test: {
    sequence: { sequencer: LongestFirst },
    projects: [
      {
        resolve: { alias },
        plugins: [fromBuild],
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
          ...shared,
          // Libraries, too, take what stands in for React.
          server: { deps: { inline: [/@tanstack[\\/]react/] } },
        },
      },
      {
        resolve: { alias },
        plugins: [fromBuild],
        test: {
          name: 'services',
          include: ['tests/{storage,ingest,assessment,api,faults}/**/*.test.ts'],
          ...withServices,
        },
      },
      {
        resolve: { alias },
        plugins: [fromBuild],
        test: {
          name: 'brokers',
          include: ['tests/brokers/**/*.test.ts'],
          passWithNoTests: true,
          ...withServices,
        },
      },
      {
        resolve: { alias },
        plugins: [fromBuild],
        test: { name: 'end-to-end', include: ['tests/end-to-end/**/*.test.ts'], ...withBrowser },
      },
    ],
  },
});
