/** All of Coldrounds on one machine: PostgreSQL, broker, server and the simulated fleet, each a process, ended in order. */
import { existsSync } from 'node:fs';
import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { requireKeys, startBrokerPart } from './broker-part.js';
import { keepDatabaseAddress } from './database-address.js';
import { nodeArgsOfServer, startPart, type Part } from './part.js';
import { startEmbeddedPostgres, type RunningPostgres } from './postgres.js';
import { watchLosses } from './losses.js';
import { watchProgress, type SentHistory } from './progress.js';
import {
  findFreePort,
  readEmbeddedSettings,
  requireFreePort,
  requireWritable,
  type EmbeddedSettings,
} from './settings.js';
import { StartError } from './start-error.js';

const root = resolve(dirname(fileURLToPath(import.meta.url)), '../../../..');
const say = (line: string) => console.log(`coldrounds: ${line}`);

interface Running {
  postgres: RunningPostgres | null;
  broker: Part | null;
  server: Part | null;
  simulator: Part | null;
  stopProgress: () => void;
  forgetDatabase: () => Promise<void>;
  address: string;
}

/** Only one run may use a data folder; the file names the process, and a dead one's file is taken over. */
async function takeDataDir(dataDir: string): Promise<string> {
  await requireWritable(dataDir);
  const lock = join(dataDir, 'run.pid');
  if (existsSync(lock)) {
    const pid = Number(await readFile(lock, 'utf8'));
    const commandLine = await readFile(`/proc/${pid}/cmdline`, 'utf8').catch(() => '');
    if (pid !== process.pid && commandLine.includes('start.mjs')) {
      throw new StartError(
        `Coldrounds is already running on ${dataDir} (process ${pid}). Stop it, or set DATA_DIR to another folder.`,
      );
    }
  }
  await writeFile(lock, String(process.pid));
  return lock;
}

async function waitForHealth(address: string, server: Part): Promise<void> {
  let ended: string | null = null;
  void server.ended.then((reason) => (ended = reason));
  for (let attempt = 0; attempt < 600; attempt++) {
    if (ended !== null) {
      throw new StartError(
        [`The server ${ended}:`, ...server.lastLines(), `See ${server.logFile}.`].join('\n  '),
      );
    }
    const answered = await fetch(`${address}/api/health`).then(
      (response) => response.status < 500,
      () => false,
    );
    if (answered) return;
    await new Promise((done) => setTimeout(done, 100));
  }
  throw new StartError(`The server did not answer on ${address} within 60 s. See ${server.logFile}.`);
}

/** The address of the database, started where none is set. */
async function startDatabase({ databaseUrl, dataDir }: EmbeddedSettings, running: Running): Promise<string> {
  if (databaseUrl) {
    say('using the database of DATABASE_URL');
    return databaseUrl;
  }
  running.postgres = await startEmbeddedPostgres({ dataDir, port: await findFreePort(), say });
  running.forgetDatabase = await keepDatabaseAddress(dataDir, running.postgres.url);
  say(`PostgreSQL is up, its data is kept in ${dataDir}`);
  return running.postgres.url;
}

async function startAll(settings: EmbeddedSettings, running: Running): Promise<void> {
  const logDir = join(settings.dataDir, 'logs');
  await mkdir(logDir, { recursive: true });
  await requireFreePort(settings.port, settings.host, 'PORT');
  if (!settings.mqttUrl) {
    await requireFreePort(settings.mqttPort, settings.mqttHost, 'MQTT_PORT');
    await requireKeys(settings);
  }

  const databaseUrl = await startDatabase(settings, running);
  let broker: NodeJS.ProcessEnv = { MQTT_URL: settings.mqttUrl ?? undefined };
  if (settings.mqttUrl) {
    say('using the broker of MQTT_URL');
  } else {
    const started = await startBrokerPart(settings, logDir, say);
    running.broker = started.part;
    broker = started.env;
  }

  const fleet = join(root, 'seeds/fleet.json');
  const env: NodeJS.ProcessEnv = {
    ...process.env,
    ...broker,
    DATABASE_URL: databaseUrl,
    PORT: String(settings.port),
    HOST: settings.host,
    STATIC_DIR: process.env.STATIC_DIR ?? join(root, 'frontend/dist'),
    DEMO: settings.demo ? 'on' : 'off',
    ...(settings.demo && !process.env.FLEET_FILE ? { FLEET_FILE: fleet } : {}),
  };
  running.server = startPart({
    name: 'server',
    script: join(root, 'backend/server/dist/bin/serve.js'),
    nodeArgs: nodeArgsOfServer,
    env,
    logDir,
  });
  running.server.process.on('message', (message: unknown) => {
    if (typeof message === 'object' && message !== null && 'firstAccount' in message)
      say(
        `nobody has an account yet. This link makes the administrator; it works once, for a day:\n  ${String(message.firstAccount)}`,
      );
  });
  const shownHost = settings.host === '0.0.0.0' || settings.host === '::' ? 'localhost' : settings.host;
  running.address = `http://${shownHost === '127.0.0.1' ? 'localhost' : shownHost}:${settings.port}`;
  await waitForHealth(`http://${shownHost}:${settings.port}`, running.server);
  say(`the server is running: open ${running.address}`);

  const history: SentHistory | null = settings.demo ? { until_s: null } : null;
  if (history !== null) {
    running.simulator = startPart({
      name: 'simulator',
      script: join(root, 'simulator/dist/main.js'),
      args: [
        ...['--fleet', process.env.FLEET_FILE ?? fleet],
        ...['--scenario', join(root, 'seeds/scenario.json')],
        ...['--state', join(settings.dataDir, 'simulator')],
        ...['--days', String(settings.demoDays)],
      ],
      env: { ...process.env, ...broker },
      logDir,
    });
    running.simulator.process.on('message', (message: unknown) => {
      if (typeof message === 'object' && message !== null && 'historySentUntil_s' in message)
        history.until_s = Number(message.historySentUntil_s);
    });
    say(
      'simulating an invented fleet; its history arrives over MQTT, which takes a few minutes the first time',
    );
  }
  const server = `http://${shownHost}:${settings.port}`;
  const stopProgress = watchProgress(server, running.address, say, history);
  const stopLosses = watchLosses(server, say);
  running.stopProgress = () => {
    stopProgress();
    stopLosses();
  };
}

/** In the order of the flow: no new telemetry, what is queued is stored, then the server, the broker, the database. */
async function stopAll(running: Running): Promise<void> {
  running.stopProgress();
  await running.simulator?.stop();
  await running.server?.stop(20_000);
  await running.broker?.stop();
  await running.forgetDatabase();
  await running.postgres?.stop();
}

function firstToEnd(running: Running): Promise<string> {
  const parts = [running.broker, running.server, running.simulator].filter((part) => part !== null);
  return Promise.race([
    ...parts.map((part) =>
      part.ended.then((reason) =>
        [`the ${part.name} ${reason}; its last lines:`, ...part.lastLines(), `(${part.logFile})`].join(
          '\n  ',
        ),
      ),
    ),
    ...(running.postgres ? [running.postgres.ended.then(() => 'PostgreSQL ended')] : []),
  ]);
}

/** Runs until Ctrl-C or until one part ends; gives the exit code. */
export async function runEmbedded(): Promise<number> {
  const running: Running = {
    postgres: null,
    broker: null,
    server: null,
    simulator: null,
    stopProgress: () => undefined,
    forgetDatabase: async () => undefined,
    address: '',
  };
  let askToStop: () => void = () => undefined;
  const asked = new Promise<'asked'>((resolveAsked) => (askToStop = () => resolveAsked('asked')));
  process.on('SIGINT', askToStop);
  process.on('SIGTERM', askToStop);

  let lock: string | null = null;
  let code = 0;
  try {
    const settings = readEmbeddedSettings(process.env);
    lock = await takeDataDir(settings.dataDir);
    const outcome = await Promise.race([asked, startAll(settings, running)]);
    if (outcome !== 'asked') {
      const end = await Promise.race([asked, firstToEnd(running)]);
      if (end !== 'asked') {
        say(`${end}\n  Stopping everything else.`);
        code = 1;
      }
    }
    if (code === 0) say('stopping ...');
  } catch (error) {
    say(error instanceof StartError ? error.message : String((error as Error).stack ?? error));
    code = 1;
  }
  await stopAll(running);
  if (lock) await rm(lock, { force: true });
  if (code === 0) say('stopped; the data is kept.');
  return code;
}
