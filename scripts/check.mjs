/** `npm run check`: types, lint, format, and generated files that drifted from their sources. */
import { join } from 'node:path';
import { root, run, say } from './prepare.mjs';

const bin = (name) => join(root, 'node_modules', '.bin', name);
const checks = [
  ['types of the back end, the simulator and the tests', () => run(bin('tsc'), ['-b'])],
  ['types of the dashboard', () => run(bin('tsc'), ['-p', 'frontend'])],
  ['lint and import boundaries', () => run(bin('eslint'), ['.'])],
  ['format', () => run(bin('prettier'), ['--check', '.'])],
  ['generated files', () => run(process.execPath, ['scripts/openapi.mjs', '--check', '--no-build'])],
];

let failed = 0;
for (const [name, check] of checks) {
  try {
    await check();
    say(`${name}: passed`);
  } catch (error) {
    failed++;
    say(`${name}: ${error.message}`);
  }
}
console.log(`${checks.length - failed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
