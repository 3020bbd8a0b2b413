import { readFileSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { severities } from '@coldrounds/simulator';
import { mergeScores } from './merge-scores.js';
import { reportOf } from './report.js';
import { runScore, type Score } from './run-score.js';

/**
 * `npm run score [-- --seed N --units N --healthy N --pair-units N --slow-units N --only TEXT --out FILE]`: how well faults are
 * found. Prints the page, and writes it to `docs/score.md` unless only some faults were asked for or another file is named.
 * Parts can run side by side: `--first N --keep PART.json` each, then `--merge A.json,B.json`.
 */
const { values } = parseArgs({
  args: process.argv.slice(3),
  options: {
    seed: { type: 'string' },
    units: { type: 'string', default: '8' },
    first: { type: 'string', default: '0' },
    healthy: { type: 'string', default: '29' },
    'pair-units': { type: 'string', default: '4' },
    'slow-units': { type: 'string', default: '4' },
    only: { type: 'string', default: '' },
    out: { type: 'string' },
    keep: { type: 'string' },
    merge: { type: 'string' },
  },
});
const docs = fileURLToPath(new URL('../../../docs/score.md', import.meta.url));
const out = values.out ?? (values.only ? null : docs);
const pageOf = (score: Score) => reportOf(score, new Date().toISOString().slice(0, 10));

function run(): Score {
  const started = Date.now();
  const seed = values.seed === undefined ? Math.floor(1e6 * Math.random()) : Number(values.seed);
  process.stderr.write(`seed ${seed}\n`);
  const options = {
    seed,
    first: Number(values.first),
    units: Number(values.units),
    healthy: Number(values.healthy),
    pairUnits: values.only ? 0 : Number(values['pair-units']),
    slowUnits: values.only ? 0 : Number(values['slow-units']),
    severities,
    only: (name: string) => name.includes(values.only),
  };
  return runScore(options, (line, soFar) => {
    process.stderr.write(`${((Date.now() - started) / 1000).toFixed(0).padStart(5)} s  ${line}\n`);
    // A long run is read while it goes on; the page of the project is only written when it is whole.
    if (values.out) writeFileSync(resolve(values.out), pageOf(soFar));
    if (values.keep) keep(resolve(values.keep), soFar);
  });
}

/** Keeps results without the normals, which are large and no longer needed. */
const keep = (file: string, score: Score): void =>
  writeFileSync(
    file,
    JSON.stringify(score, (key, value: unknown) => (key === 'normal' ? null : value)),
  );

const score = values.merge
  ? mergeScores(
      values.merge.split(',').map((file) => JSON.parse(readFileSync(resolve(file), 'utf8')) as Score),
    )
  : run();
const page = pageOf(score);
process.stdout.write(`${page}\n`);
if (out) writeFileSync(resolve(out), page);
