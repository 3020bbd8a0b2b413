import type { DocumentImport } from '../registry/changing/document-import.js';
import type { NestExpressApplication } from '@nestjs/platform-express';
import { readFile } from 'node:fs/promises';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Logger } from 'pino';
import { startHttpServer, stopHttpServer } from '../api/http-server.js';
import type { Config } from '../config/index.js';
import { createPool, Database, DatabaseVersionError, migrate } from '../storage/index.js';
import { usesColdStore } from '../storage/cold/cold-store.js';
import { openDoors } from './open-doors.js';
import { createServices, type ProcessState } from './services.js';
import { StartFailure } from './start-failure.js';
import { builtThread, type StartThread } from './study-services.js';

export { StartFailure };

export interface RunningServer {
  stop: () => Promise<void>;
  /** Address of the page that makes the first account, which works once; null where there are accounts or the demo. */
  firstAccount: string | null;
}

const databasePatience_ms = 60_000;

/** Answers HTTP at once (health says `starting`), then brings the store up to date and starts its roles. */
export async function startServer(
  config: Config,
  logger: Logger,
  startThread: StartThread | null = builtThread,
): Promise<RunningServer> {
  const database = new Database(createPool(config.databaseUrl, { max: 16 }));
  const state: ProcessState = { ready: false, engine: null, startThread };
  const services = createServices(config, database, logger, state);
  let http: NestExpressApplication | undefined;
  let firstPath: string | null = null;
  const stop = async () => {
    state.ready = false;
    services.progress.stop();
    // Streams of events have no end of their own, so they end first; no part waits for another that hangs.
    const ended = await Promise.allSettled([
      services.live.stop(),
      services.attention.stop(),
      services.decisions.clock.stop(),
      services.notices.stop(),
      services.gateways.keeper.stop(),
      http && stopHttpServer(http),
      services.ingest?.stop(),
      services.assessment?.stop(),
      services.cold.moving?.stop(),
      services.thread?.stop(),
    ]);
    await services.cold.store?.close();
    await database.close();
    const failed = ended.find((result) => result.status === 'rejected');
    if (failed !== undefined) throw failed.reason;
  };
  try {
    // Health is answered in every role, so that a supervisor can look; the rest only in the role `api`.
    const withApi = config.roles.includes('api');
    http = await listenOrExplain(
      () =>
        startHttpServer({
          host: config.host,
          port: config.port,
          providers: services.providers,
          logger,
          staticDir: withApi ? staticFolder(config) : undefined,
          trustedProxies: config.trustedProxies,
          isReady: () => state.ready && withApi,
        }),
      config,
    );
    state.engine = (await migrateWhenReachable(database, logger)).engine;
    await requireColdStore(config, database);
    if (withApi) firstPath = await openDoors(config, services.people);
    if (config.fleetFile !== undefined) await importFleet(services.documents, config.fleetFile, logger);
    await services.gateways.keeper.start();
    services.live.start();
    services.progress.start();
    if (withApi) {
      services.attention.start();
      services.decisions.clock.start();
      services.notices.start();
    }
    services.ingest?.start();
    await services.assessment?.start();
    services.cold.moving?.start();
    services.cold.moving?.wake();
    services.thread?.start();
    state.ready = true;
    logger.info({ roles: config.roles, port: config.port, storage: state.engine }, 'ready');
  } catch (error) {
    await stop().catch(() => {});
    throw error;
  }
  const address = config.publicUrl?.replace(/\/$/, '') ?? `http://localhost:${config.port}`;
  return { stop, firstAccount: firstPath === null ? null : `${address}${firstPath}` };
}

async function listenOrExplain(
  start: () => Promise<NestExpressApplication>,
  config: Config,
): Promise<NestExpressApplication> {
  try {
    return await start();
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EADDRINUSE')
      throw new StartFailure(
        `Port ${config.port} is in use. Set PORT to a free port, or stop the program that uses it.`,
      );
    if (code === 'EACCES')
      throw new StartFailure(
        `Coldrounds is not allowed to use port ${config.port}. Set PORT to one above 1023.`,
      );
    if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND')
      throw new StartFailure('HOST is not an address of this machine. Set it to one of its addresses.');
    throw error;
  }
}

/** A database that is still starting is waited for; one that refuses is not. */
async function migrateWhenReachable(database: Database, logger: Logger) {
  const until = Date.now() + databasePatience_ms;
  let said = false;
  for (;;) {
    try {
      return await migrate(database.pool);
    } catch (error) {
      if (error instanceof DatabaseVersionError) throw new StartFailure(error.message);
      const { code } = error as { code?: string };
      if (code === '28P01' || code === '28000')
        throw new StartFailure('The database rejects the user or password in DATABASE_URL.');
      if (code === '3D000') throw new StartFailure('The database named in DATABASE_URL does not exist.');
      if (code === '42501')
        throw new StartFailure('The user in DATABASE_URL is not allowed to create tables.');
      if (Date.now() > until)
        throw new StartFailure(
          `The database at DATABASE_URL is not answering (${code ?? (error as Error).message}).`,
        );
      if (!said) logger.warn({ err: error }, 'waiting for the database');
      said = true;
      await new Promise((resolve) => setTimeout(resolve, 1_000));
    }
  }
}

/** Without the place that readings were moved to, judgements and exports of the past would be wrong without a word. */
async function requireColdStore(config: Config, database: Database): Promise<void> {
  if (config.cold === null && (await usesColdStore(database)))
    throw new StartFailure(
      'Readings of this database lie in a cold store. Set READINGS_COLD_FOLDER or READINGS_COLD_BUCKET as it was.',
    );
}

async function importFleet(documents: DocumentImport, path: string, logger: Logger): Promise<void> {
  const { sites, units } = await documents.import(await readDocument(path), true);
  logger.info({ sites, units }, 'registry imported');
}

/** Reads a JSON file, or says what is wrong with it. */
export async function readDocument(path: string): Promise<unknown> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch {
    throw new StartFailure(`Cannot read the registry file ${path}.`);
  }
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new StartFailure(`The registry file ${path} is not valid JSON: ${(error as Error).message}`);
  }
}

function staticFolder(config: Config): string | undefined {
  if (config.staticDir !== undefined) return config.staticDir;
  const built = fileURLToPath(new URL('../../../../frontend/dist', import.meta.url));
  return existsSync(built) ? built : undefined;
}
