/**
 * `npm run bench`: builds, then runs each program of tests/bench in a process of its own; fails when one misses its
 * number. The numbers are asked of one core: no helper threads of the engine on another.
 */
import { spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { root, run, say } from './prepare.mjs';

await run(join(root, 'node_modules', '.bin', 'tsc'), ['-b', 'backend/core', 'tests']);
const folder = join(root, 'tests', 'dist', 'bench');
const programs = readdirSync(folder).filter((name) => name.endsWith('.bench.js'));
let failed = 0;
for (const program of programs) {
  say(program.replace('.bench.js', ''));
  const { status } = spawnSync(process.execPath, ['--single-threaded', join(folder, program)], {
    stdio: 'inherit',
  });
  if (status !== 0) failed++;
}
console.log(`${programs.length - failed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
