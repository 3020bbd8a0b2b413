import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { unpackBrowser } from './browser.js';

/** What files beside each other must not each do for themselves: build what is shipped, and unpack the browser. */
export async function setup(): Promise<void> {
  await promisify(execFile)(
    process.execPath,
    ['-e', `import('./scripts/prepare.mjs').then((m) => m.prepare())`],
    {
      cwd: fileURLToPath(new URL('../../..', import.meta.url)),
      // As it is shipped, not as a test runner would have it built.
      env: { ...process.env, NODE_ENV: 'production' },
    },
  );
  await unpackBrowser();
}
