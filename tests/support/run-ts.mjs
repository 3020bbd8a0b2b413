/**
 * Runs a TypeScript program of the tests in a process of its own, from the sources: `node run-ts.mjs FILE`.
 * What is sent and received by `process.send` goes through unchanged.
 */
import { fileURLToPath } from 'node:url';
import { resolve } from 'node:path';
import { runnerImport } from 'vite';

const root = fileURLToPath(new URL('../../', import.meta.url));
await runnerImport(resolve(process.argv[2]), {
  root,
  configFile: false,
  logLevel: 'error',
  resolve: {
    alias: [
      { find: /^@coldrounds\/core$/, replacement: `${root}backend/core/src/index.ts` },
      { find: /^@coldrounds\/core\/(\w+)$/, replacement: `${root}backend/core/src/$1/index.ts` },
      { find: /^@coldrounds\/simulator$/, replacement: `${root}simulator/src/index.ts` },
    ],
  },
});
