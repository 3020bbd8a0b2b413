/**
 * `npm run score [-- options]`: how well faults are found on simulated units, run from the sources; writes `docs/score.md`.
 * `npm run score -- sites [options]`: what is claimed on units with the habits of real sites, healthy and faulty.
 * `npm run score -- advice [options]`: whether advice that is followed ends the trouble; writes `docs/score-advice.md`.
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { root } from './prepare.mjs';

const given = process.argv.slice(2);
const programs = { sites: 'sites.ts', advice: join('advice', 'main.ts') };
const named = Object.hasOwn(programs, given[0] ?? '');
const file = join(root, 'tests', 'score', named ? programs[given[0]] : join('faults', 'main.ts'));
const options = named ? given.slice(1) : given;
if (!named && options.length > 0 && !options[0].startsWith('--')) {
  console.error(
    'usage: npm run score -- [--seed N] [--units N] [--healthy N] [--pair-units N] [--slow-units N] [--only TEXT] [--out FILE]\n' +
      '       npm run score -- sites [--seed N] [--units N] [--faulty N] [--days N] [--part TEXT] [--habit TEXT] [--fault TEXT]\n' +
      '       npm run score -- advice [--seed N] [--units N] [--days N] [--runs N] [--only TEXT] [--out FILE]',
  );
  process.exit(2);
}
const { status } = spawnSync(process.execPath, [join(root, 'tests/support/run-ts.mjs'), file, ...options], {
  stdio: 'inherit',
});
process.exit(status ?? 1);
