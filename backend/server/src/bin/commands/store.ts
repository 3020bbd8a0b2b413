import type { Command } from 'commander';
import { pino } from 'pino';
import { readConfig, withSecretFiles } from '../../config/index.js';
import { databaseOfRun } from '../../embedded/database-address.js';
import { usesColdStore } from '../../storage/cold/cold-store.js';
import { createPool, Database, migrate } from '../../storage/index.js';
import { RejudgeRepository } from '../../storage/assessment/rejudge.repository.js';
import { DailyFiguresRepository } from '../../storage/repositories/results/daily-figures.repository.js';
import { readDocument } from '../server-process.js';
import { createServices } from '../services.js';
import { CommandError } from './command-error.js';
import { addDumps } from './dump.js';
import { addExports } from './export.js';
import { addGateways } from './gateways.js';
import { importLog, type ImportOptions } from './import-log.js';
import { columnsOption, datesOption } from './log-options.js';

type Services = ReturnType<typeof createServices>;

/** The store that DATABASE_URL names, or else that of the embedded run on this machine. */
async function storeAddress(): Promise<string> {
  const given = withSecretFiles(process.env).variables.DATABASE_URL;
  if (given) return given;
  const dataDir = process.env.DATA_DIR || 'data';
  const url = await databaseOfRun(dataDir);
  if (url === undefined)
    throw new CommandError(
      `No database found: Coldrounds is not running on the data folder ${dataDir}. Run npm start first, or set DATA_DIR or DATABASE_URL.`,
    );
  return url;
}

/** Runs `work` with the store, brought up to date, and lets go of it in any case. */
async function withStore(work: (services: Services, database: Database) => Promise<void>): Promise<void> {
  const config = readConfig({ ...process.env, ROLES: 'api', DATABASE_URL: await storeAddress() });
  const database = new Database(
    createPool(config.databaseUrl, { max: 4, applicationName: 'coldrounds command' }),
  );
  try {
    const { engine } = await migrate(database.pool);
    const logger = pino({ level: 'silent' });
    if (config.cold === null && (await usesColdStore(database)))
      throw new CommandError(
        'Readings of this database lie in a cold store. Set READINGS_COLD_FOLDER or READINGS_COLD_BUCKET as the server has it.',
      );
    const services = createServices(config, database, logger, { ready: true, engine });
    try {
      await work(services, database);
    } finally {
      await services.cold.store?.close();
    }
  } finally {
    await database.close();
  }
}

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

export function addStoreCommands(program: Command): void {
  program
    .command('migrate')
    .description('bring the database schema up to date')
    .action(() => withStore(async () => say('The database is up to date.')));

  program
    .command('first-account')
    .description('print a link that makes the first administrator; it works once, for a day')
    .action(() =>
      withStore(async ({ people }) => {
        const token = await people.accounts.firstLink();
        if (token === null)
          throw new CommandError('There are accounts already. An administrator can invite others.');
        const address = process.env.PUBLIC_URL || `http://localhost:${process.env.PORT || 8080}`;
        say(`${address.replace(/\/$/, '')}/join#${token}`);
      }),
    );

  program
    .command('registry')
    .description('add and update sites and units from a registry document; nothing is removed')
    .argument('<fleet.json>')
    .action((path: string) =>
      withStore(async ({ documents }) => {
        const { sites, units } = await documents.import(await readDocument(path));
        say(
          `The registry document is imported: ${sites} ${sites === 1 ? 'site' : 'sites'}, ${units} ${units === 1 ? 'unit' : 'units'}.`,
        );
      }),
    );

  program
    .command('rejudge')
    .description('judge every window of the whole fleet or of one unit again from its readings')
    .argument('[site/unit]')
    .action((path?: string) =>
      withStore(async ({ fleet }, database) => {
        const circuits = path === undefined ? undefined : (await fleet.unit(unitPath(path))).circuits;
        const windows = await new RejudgeRepository(database).mark(circuits?.map(({ id }) => id));
        say(`${windows} windows are due again. The server judges them, the last day's first.`);
      }),
    );

  program
    .command('daily-figures')
    .description('work out what the field study needs of the days that were judged before it kept them')
    .action(() =>
      withStore(async (_, database) => {
        const days = await new DailyFiguresRepository(database).fill();
        say(`The figures of ${days} days of circuits are worked out.`);
      }),
    );

  addDumps(program, (work) => withStore((_, database) => work(database)), say);
  addGateways(program, (work) => withStore(({ gateways }) => work(gateways.service)), say);
  addImport(program);
  addExports(program, withStore, say);
}

function addImport(program: Command): void {
  program
    .command('import')
    .description("load one circuit's log into the database, as if it had arrived as telemetry")
    .argument('<log>', 'CSV or XLSX with named columns')
    .requiredOption('--site <key>')
    .requiredOption('--unit <key>')
    .requiredOption('--circuit <number>', 'number of the circuit in the unit', Number)
    .option('--refrigerant <name>', 'refrigerant of the log, checked against the registry')
    .addOption(datesOption())
    .addOption(columnsOption())
    .action((path: string, options: ImportOptions) =>
      withStore(async ({ fleet }, database) => {
        const { said, warnings } = await importLog(fleet, database, path, options);
        for (const warning of warnings) process.stderr.write(`${warning}\n`);
        say(said);
      }),
    );
}

function unitPath(path: string): { site: string; unit: string } {
  const [site, unit, ...rest] = path.split('/');
  if (!site || !unit || rest.length > 0) throw new CommandError('Expected <site/unit>.');
  return { site, unit };
}
