#!/usr/bin/env node
import { existsSync } from 'node:fs';

const built = new URL('../dist/bin/cli.js', import.meta.url);
if (!existsSync(built)) {
  console.error(
    'Coldrounds is not built yet: run `npm run build` in its folder (or `npm start`), then try again.',
  );
  process.exit(1);
}
// A reader such as `head` may close the pipe early; that is no fault.
process.stdout.on('error', (error) => process.exit(error.code === 'EPIPE' ? 0 : 1));

const { runCommand } = await import(built.href);
const status = await runCommand(process.argv.slice(2));
// `serve` keeps running; it ends the process by itself.
if (status !== 0) process.exitCode = status;
