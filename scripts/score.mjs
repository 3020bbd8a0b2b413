/**
 * `npm run score -- NAME [options]`: runs one of the scores of `tests/score` from the sources and prints it.
 *
 *   sites   what is claimed on units with the habits of real sites, healthy and faulty
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './prepare.mjs';

const [name, ...options] = process.argv.slice(2);
const file = join(root, 'tests', 'score', `${name ?? ''}.ts`);
if (!name || !existsSync(file)) {
  console.error(
    'usage: npm run score -- sites [--seed N] [--units N] [--faulty N] [--days N] [--habit TEXT]',
  );
  process.exit(2);
}
const { status } = spawnSync(process.execPath, [join(root, 'tests/support/run-ts.mjs'), file, ...options], {
  stdio: 'inherit',
});
process.exit(status ?? 1);
