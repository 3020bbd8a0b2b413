/** `npm run check`: types, lint, format, and generated files that drifted from their sources. */
import { join } from 'node:path';
import { root, run, say } from './prepare.mjs';

const bin = (name) => join(root, 'node_modules', '.bin', name);
const lint = ['lint and import boundaries', () => run(bin('eslint'), ['.'])];
const format = ['format', () => run(bin('prettier'), ['--check', '.'])];
const types = [
  ['types of the back end, the simulator and the tests', () => run(bin('tsc'), ['-b'])],
  ['types of the dashboard', () => run(bin('tsc'), ['-p', 'frontend'])],
  // From what the first has built.
  ['generated files', () => run(process.execPath, ['scripts/openapi.mjs', '--check', '--no-build'])],
];
const checks = [...types, lint, format];

let failed = 0;
async function inTurn(some) {
  for (const [name, check] of some) {
    try {
      await check();
      say(`${name}: passed`);
    } catch (error) {
      failed++;
      say(`${name}: ${error.message}`);
    }
  }
}
// Each works on one core: two at a time.
await Promise.all([inTurn(types), inTurn([lint, format])]);
console.log(`${checks.length - failed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
