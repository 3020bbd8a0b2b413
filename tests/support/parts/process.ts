import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const runner = fileURLToPath(new URL('../run-ts.mjs', import.meta.url));

export interface Part {
  process: ChildProcess;
  /** Ends it as a power cut would. */
  kill: () => Promise<void>;
  /** Asks it to end. */
  stop: () => Promise<void>;
}

/** Starts `file` (below tests/) as a process and waits until it says `ready`. */
export async function startPart(file: string, environment: Record<string, string>): Promise<Part> {
  const path = fileURLToPath(new URL(`../../${file}`, import.meta.url));
  const child = fork(runner, [path], { env: { ...process.env, ...environment }, stdio: 'inherit' });
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  await new Promise<void>((resolve, reject) => {
    child.on('message', (message) => message === 'ready' && resolve());
    child.once('exit', (code) => reject(new Error(`${file} ended with ${code} before it was ready`)));
  });
  const end = (signal: NodeJS.Signals) => async () => {
    child.kill(signal);
    await ended;
  };
  return { process: child, kill: end('SIGKILL'), stop: end('SIGTERM') };
}
