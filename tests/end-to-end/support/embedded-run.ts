import { spawn, type ChildProcess } from 'node:child_process';
import { rm } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { findFreePort } from '../../../backend/server/src/embedded/settings.js';

const root = fileURLToPath(new URL('../../..', import.meta.url));

export const removeFolder = (folder: string) => rm(folder, { recursive: true, force: true });

export interface StartedRun {
  address: string;
  mqttPort: number;
  process: ChildProcess;
  /** Everything that it has printed so far. */
  output: () => string;
  /** Resolves when a line that matches has been printed; rejects when the run ends before. */
  printed: (pattern: RegExp, patience_ms?: number) => Promise<void>;
  /** Ctrl-C, then the exit code. */
  interrupt: () => Promise<number | null>;
  ended: Promise<number | null>;
}

/** `npm start` as a person runs it, on ports and a data folder of its own. */
export async function startRun(dataDir: string, env: Record<string, string> = {}): Promise<StartedRun> {
  const port = Number(env.PORT ?? (await findFreePort()));
  const mqttPort = Number(env.MQTT_PORT ?? (await findFreePort()));
  const child = spawn(process.execPath, ['scripts/start.mjs'], {
    cwd: root,
    env: {
      ...process.env,
      // What is shipped, not what a test runner would have built.
      NODE_ENV: 'production',
      DEMO_DAYS: '1',
      DATA_DIR: dataDir,
      PORT: String(port),
      MQTT_PORT: String(mqttPort),
      ...env,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  const listeners = new Set<() => void>();
  for (const stream of [child.stdout, child.stderr]) {
    stream.on('data', (chunk: Buffer) => {
      output += chunk.toString();
      for (const listener of listeners) listener();
    });
  }
  const ended = new Promise<number | null>((resolve) => child.once('exit', (code) => resolve(code)));
  return {
    address: `http://localhost:${port}`,
    mqttPort,
    process: child,
    output: () => output,
    printed: (pattern, patience_ms = 240_000) =>
      new Promise((resolve, reject) => {
        const fail = (why: string) => reject(new Error(`${why} before ${pattern}; it printed:\n${output}`));
        const timer = setTimeout(() => fail(`${patience_ms} ms passed`), patience_ms);
        const look = () => {
          if (!pattern.test(output)) return;
          clearTimeout(timer);
          listeners.delete(look);
          resolve();
        };
        listeners.add(look);
        void ended.then(() => {
          clearTimeout(timer);
          if (!pattern.test(output)) fail('the run ended');
        });
        look();
      }),
    interrupt: () => {
      child.kill('SIGINT');
      return ended;
    },
    ended,
  };
}
