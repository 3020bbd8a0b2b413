import { spawn, type ChildProcess } from 'node:child_process';
import { createWriteStream } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { StartError } from './start-error.js';

export interface PartOptions {
  /** Plain name for a person: `server`, `simulator`, `broker`. */
  name: string;
  script: string;
  args?: string[];
  /** Arguments of Node itself. */
  nodeArgs?: string[];
  env: NodeJS.ProcessEnv;
  logDir: string;
  /** Called with every line that the part writes to its output. */
  onLine?: (line: string) => void;
}

export interface Part {
  name: string;
  process: ChildProcess;
  logFile: string;
  /** Resolves with a plain reason when the process has ended. */
  ended: Promise<string>;
  /** The last lines it wrote, for the message when it ends unasked. */
  lastLines: () => string[];
  stop: (patience_ms?: number) => Promise<void>;
}

/**
 * How Node runs a server, here and in `docker/server.Dockerfile`: judging makes much that is needed for a moment. With room for 64 MB of
 * it instead of 16 a unit's 14 days are diagnosed in 1.04 s of processor instead of 1.22.
 */
export const nodeArgsOfServer = ['--max-semi-space-size=64'];

const leaveWithParent = fileURLToPath(new URL('./leave-with-parent.js', import.meta.url));

/** Starts one part as a process of its own; its output goes to a log file in the data folder. */
export function startPart(options: PartOptions): Part {
  const logFile = join(options.logDir, `${options.name}.log`);
  const log = createWriteStream(logFile, { flags: 'a' });
  const child = spawn(
    process.execPath,
    [...(options.nodeArgs ?? []), '--import', leaveWithParent, options.script, ...(options.args ?? [])],
    {
      env: options.env,
      stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
      detached: true, // Ctrl-C in the terminal must reach the supervisor alone, which stops the parts in order
    },
  );
  const recent: string[] = [];
  for (const stream of [child.stdout!, child.stderr!]) {
    let rest = '';
    stream.on('data', (chunk: Buffer) => {
      log.write(chunk);
      const lines = (rest + chunk.toString()).split('\n');
      rest = lines.pop() ?? '';
      for (const line of lines) {
        recent.push(line);
        if (recent.length > 8) recent.shift();
        options.onLine?.(line);
      }
    });
  }
  const ended = new Promise<string>((resolve) => {
    child.once('error', (error) => resolve(error.message));
    child.once('exit', (code, signal) =>
      resolve(signal ? `was ended by ${signal}` : `ended with code ${code}`),
    );
  });
  return {
    name: options.name,
    process: child,
    logFile,
    ended,
    lastLines: () => [...recent],
    stop: async (patience_ms = 15_000) => {
      if (child.exitCode !== null || child.signalCode !== null) return;
      child.kill('SIGTERM');
      const timer = setTimeout(() => child.kill('SIGKILL'), patience_ms);
      await ended;
      clearTimeout(timer);
    },
  };
}

/** Waits for the part's word that it is ready; a start error that it sends is thrown. */
export function waitForReady(part: Part): Promise<void> {
  return new Promise((resolve, reject) => {
    part.process.on('message', (message: unknown) => {
      if (message === 'ready') resolve();
      else if (typeof message === 'object' && message !== null && 'startError' in message) {
        reject(new StartError(String(message.startError)));
      }
    });
    void part.ended.then((reason) =>
      reject(new StartError(`The ${part.name} ${reason}. See ${part.logFile}.`)),
    );
  });
}
