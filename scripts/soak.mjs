/**
 * `npm run soak`: runs the tests that draw numbers again and again, each time with a fresh random seed, which is printed.
 * `npm test` and `.ci/run` always take the same seed; what fails here by chance is looked at, and fails no build.
 *
 *   --count N   rounds (default 5)
 *   --seed S    first seed instead of a random one; the rounds after it count up from there
 *   FILE...     test files; all that draw numbers if left out
 */
import { spawnSync } from 'node:child_process';
import { randomInt } from 'node:crypto';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { root, say } from './prepare.mjs';

const { values: options, positionals } = parseArgs({
  allowPositionals: true,
  options: { count: { type: 'string', default: '5' }, seed: { type: 'string' } },
});
const count = Number(options.count);
if (!(count >= 1)) throw new Error('--count: must be 1 or more');

/** Test files that take the seed of the run. */
function seededUnder(folder) {
  return readdirSync(join(root, folder)).flatMap((name) => {
    const path = join(folder, name);
    if (name === 'node_modules' || name === 'dist') return [];
    if (statSync(join(root, path)).isDirectory()) return seededUnder(path);
    const text = name.endsWith('.test.ts') ? readFileSync(join(root, path), 'utf8') : '';
    return /printedSeed\(|inject\('seed'\)/.test(text) ? [path] : [];
  });
}
const files =
  positionals.length > 0
    ? positionals
    : ['backend/core/src', 'tests/published', 'tests/simulated'].flatMap(seededUnder);
say(`${count} rounds of ${files.join(', ')}`);

const failed = [];
for (let round = 0; round < count; round++) {
  const seed = options.seed === undefined ? randomInt(2 ** 31) : Number(options.seed) + round;
  say(`round ${round + 1} of ${count}, seed ${seed}`);
  const { status } = spawnSync(
    join(root, 'node_modules', '.bin', 'vitest'),
    ['run', '--project', 'unit', '--reporter=dot', ...files],
    { cwd: root, stdio: 'inherit', env: { ...process.env, COLDROUNDS_SEED: String(seed) } },
  );
  if (status !== 0) failed.push(seed);
}
console.log(
  failed.length === 0
    ? `${count} rounds passed`
    : `${failed.length} of ${count} rounds failed, with the seeds ${failed.join(', ')}: COLDROUNDS_SEED=${failed[0]} npm test`,
);
process.exit(failed.length === 0 ? 0 : 1);
