/** `npm test`: makes the clone ready, then runs every test that needs nothing but npm packages. */
import { join } from 'node:path';
import { prepare, root, run, say } from './prepare.mjs';

try {
  await prepare();
} catch (error) {
  say(error.message);
  process.exit(1);
}
// The project `brokers` is left out: it needs Mosquitto, which npm does not carry. `.ci/run` runs it.
const projects = ['unit', 'frontend', 'services', 'end-to-end'].flatMap((name) => ['--project', name]);
const given = process.argv.slice(2);
try {
  await run(
    join(root, 'node_modules', '.bin', 'vitest'),
    ['run', ...(given.includes('--project') ? [] : projects), ...given],
    // What was just built (vitest.config.ts).
    { show: true, env: { TESTS_ON_BUILD: 'on' } },
  );
} catch {
  process.exit(1);
}
