/** `npm test`: makes the clone ready, then runs every test that needs nothing but npm packages. */
import { join } from 'node:path';
import { prepare, root, run, say } from './prepare.mjs';

try {
  await prepare();
} catch (error) {
  say(error.message);
  process.exit(1);
}
try {
  await run(join(root, 'node_modules', '.bin', 'vitest'), ['run', ...process.argv.slice(2)], { show: true });
} catch {
  process.exit(1);
}
