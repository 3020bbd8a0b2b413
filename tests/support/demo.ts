import { removeFolder, startRun } from '../end-to-end/support/embedded-run.js';
import { temporaryFolder } from './store/database.js';

/** The demo on ports and in a folder of its own, once all of its history is judged. */
export async function startDemo(
  env: Record<string, string> = {},
): Promise<{ address: string; stop: () => Promise<void> }> {
  const folder = await temporaryFolder('demo');
  const run = await startRun(folder, env);
  await run.printed(/the server is running/);
  for (;;) {
    const answer = await fetch(`${run.address}/api/rounds`)
      .then((each) => each.json() as Promise<{ settled: boolean; units: unknown[] }>)
      .catch(() => null);
    if (answer?.settled && answer.units.length > 1) break;
    await new Promise((resolve) => setTimeout(resolve, 3_000));
  }
  return {
    address: run.address,
    stop: async () => {
      await run.interrupt();
      await removeFolder(folder);
    },
  };
}
