import { pino } from 'pino';
import { ConfigurationError, readConfig, type Config } from '../config/index.js';
import { RegistryError } from '../registry/registry-document.js';
import { startServer, StartFailure, type RunningServer } from './server-process.js';

/** What a person can mend is said in plain lines, without a stack. */
const isPlain = (error: unknown): error is Error =>
  error instanceof ConfigurationError || error instanceof StartFailure || error instanceof RegistryError;

export async function serve(environment = process.env): Promise<void> {
  let config: Config;
  let running: RunningServer | undefined;
  let ending = false;
  const end = (signal: string) => {
    if (ending) return;
    ending = true;
    // A part that does not end must not keep the process for ever; what is not stored stays with the broker.
    setTimeout(() => process.exit(1), 15_000).unref();
    (running?.stop() ?? Promise.resolve()).then(
      () => process.exit(0),
      (error: unknown) => {
        console.error(`Ending after ${signal}: ${String(error)}`);
        process.exit(1);
      },
    );
  };
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, () => end(signal));
  try {
    config = readConfig(environment);
    running = await startServer(config, pino({ level: config.logLevel }));
    if (running.firstAccount !== null) tellFirstAccount(running.firstAccount);
  } catch (error) {
    if (ending) return;
    console.error(isPlain(error) ? error.message : error);
    process.exit(1);
  }
}

/** To the supervisor where there is one, or else to whoever started the server: never into a log file. */
function tellFirstAccount(address: string): void {
  if (process.send !== undefined) process.send({ firstAccount: address });
  else
    process.stderr.write(
      `coldrounds: nobody has an account yet. This link makes the administrator; it works once, for a day:\n  ${address}\n`,
    );
}

if (process.argv[1] === (await import('node:url')).fileURLToPath(import.meta.url)) await serve();
