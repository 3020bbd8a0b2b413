/** `npm run check`: types, lint, format, and generated files that drifted from their sources. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root, run, say } from './prepare.mjs';

const bin = (name) => join(root, 'node_modules', '.bin', name);
const generated = ['backend/server/openapi.json', 'frontend/src/api/schema.d.ts'];
const contents = () => generated.map((path) => readFileSync(join(root, path), 'utf8'));

const checks = [
  ['types of the back end, the simulator and the tests', () => run(bin('tsc'), ['-b'])],
  ['types of the dashboard', () => run(bin('tsc'), ['-p', 'frontend'])],
  ['lint and import boundaries', () => run(bin('eslint'), ['.'])],
  ['format', () => run(bin('prettier'), ['--check', '.'])],
  [
    'generated files',
    async () => {
      const before = contents();
      await run('npm', ['run', 'openapi']);
      contents().forEach((now, index) => {
        if (now !== before[index])
          throw new Error(`${generated[index]} had drifted; it is made anew, commit it.`);
      });
    },
  ],
];

let failed = 0;
for (const [name, check] of checks) {
  try {
    await check();
    say(`${name}: good`);
  } catch (error) {
    failed++;
    say(`${name}: ${error.message}`);
  }
}
console.log(`${checks.length - failed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
