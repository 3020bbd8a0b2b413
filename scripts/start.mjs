/** `npm start`: makes the clone ready, then runs all of Coldrounds on this machine until Ctrl-C. */
import { prepare, say } from './prepare.mjs';

try {
  await prepare();
} catch (error) {
  say(error.message);
  process.exit(1);
}
const { runEmbedded } = await import('../backend/server/dist/embedded/run.js');
process.exitCode = await runEmbedded();
process.exit();
