/**
 * `npm run scale`: builds, then runs tests/scale/scale.ts: a large fleet on this machine, with its numbers. UNITS and
 * MINUTES set the size, KILLS names what is killed.
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { root, run } from './prepare.mjs';

await run(join(root, 'node_modules', '.bin', 'tsc'), ['-b']);
const { status } = spawnSync(
  process.execPath,
  [join(root, 'tests/support/run-ts.mjs'), join(root, 'tests/scale/scale.ts')],
  { stdio: 'inherit' },
);
process.exit(status ?? 1);
