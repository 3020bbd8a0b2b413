import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { severities } from '@coldrounds/simulator';
import { reportOf } from './report.js';
import { runScore, type Score } from './run-score.js';

/**
 * `npm run score [-- --seed N --units N --healthy N --pair-units N --slow-units N --only TEXT --out FILE]`: how well faults are found. Prints the
 * page, and writes it to `docs/score.md` unless only some faults were asked for or another file is named.
 */
const { values } = parseArgs({
  args: process.argv.slice(3),
  options: {
    seed: { type: 'string' },
    units: { type: 'string', default: '8' },
    healthy: { type: 'string', default: '29' },
    'pair-units': { type: 'string', default: '4' },
    'slow-units': { type: 'string', default: '4' },
    only: { type: 'string', default: '' },
    out: { type: 'string' },
  },
});
const started = Date.now();
const seed = values.seed === undefined ? Math.floor(1e6 * Math.random()) : Number(values.seed);
process.stderr.write(`seed ${seed}\n`);
const docs = fileURLToPath(new URL('../../../docs/score.md', import.meta.url));
const out = values.out ?? (values.only ? null : docs);
const page = (score: Score) => reportOf(score, new Date().toISOString().slice(0, 10));
const score = runScore(
  {
    seed,
    units: Number(values.units),
    healthy: Number(values.healthy),
    pairUnits: values.only ? 0 : Number(values['pair-units']),
    slowUnits: values.only ? 0 : Number(values['slow-units']),
    severities,
    only: values.only,
  },
  (line, soFar) => {
    process.stderr.write(`${((Date.now() - started) / 1000).toFixed(0).padStart(5)} s  ${line}\n`);
    // A long run is read while it goes on; the page of the project is only written when it is whole.
    if (values.out) writeFileSync(resolve(values.out), page(soFar));
  },
);
process.stdout.write(`${page(score)}\n`);
if (out) writeFileSync(resolve(out), page(score));
