import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { format, resolveConfig } from 'prettier';
import { severities } from '@coldrounds/simulator';
import { testUnit } from '../faults/test-fleet.js';
import { followAdvice, troubles } from './follow-advice.js';
import { adviceReport, type AdviceScore } from './report.js';

/**
 * `npm run score -- advice [--seed N --units N --days N --runs N --only TEXT --out FILE]`: whether advice that is followed ends the
 * trouble, and how a loop settles then. Every unit has each trouble at each severity. Prints the page, and writes it to
 * `docs/score-advice.md` unless only some troubles were asked for or another file is named.
 */
const { values } = parseArgs({
  args: process.argv.slice(3),
  options: {
    seed: { type: 'string' },
    units: { type: 'string', default: '8' },
    first: { type: 'string', default: '0' },
    days: { type: 'string', default: '3' },
    runs: { type: 'string', default: '6' },
    only: { type: 'string', default: '' },
    out: { type: 'string' },
  },
});
const docs = fileURLToPath(new URL('../../../docs/score-advice.md', import.meta.url));
const out = values.out === undefined ? (values.only ? null : docs) : resolve(values.out);
const seed = values.seed === undefined ? Math.floor(1e6 * Math.random()) : Number(values.seed);
const [days, runs, first] = [values.days, values.runs, values.first].map(Number);
const score: AdviceScore = { seed, days, rows: [] };
const started = Date.now();
process.stderr.write(`seed ${seed}\n`);
for (const trouble of troubles.filter((name) => name.includes(values.only))) {
  const row: AdviceScore['rows'][number] = { trouble, results: [] };
  score.rows.push(row);
  for (let i = first; i < first + Number(values.units); i++)
    for (const severity of severities) {
      const one = followAdvice(trouble, testUnit(seed, i), severity, { days, runs });
      row.results.push(one);
      const { troubled, named, advised, ended, left, settling } = one;
      process.stderr.write(
        `${((Date.now() - started) / 1000).toFixed(0).padStart(5)} s  ${trouble}, ${severity}, ${one.unit.name}: ${JSON.stringify({ troubled, named, advised, ended, left, settling })}\n`,
      );
      // A long run is read while it goes on.
      if (values.out) writeFileSync(out!, adviceReport(score, today()));
    }
}
const page = await format(adviceReport(score, today()), {
  ...(await resolveConfig(docs)),
  parser: 'markdown',
});
process.stdout.write(page);
if (out !== null) writeFileSync(out, page);

function today(): string {
  return new Date().toISOString().slice(0, 10);
}
