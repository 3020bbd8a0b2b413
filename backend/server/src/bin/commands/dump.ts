import type { Command } from 'commander';
import type { Database } from '../../storage/index.js';
import { dump } from '../../storage/dump/dump.js';
import { restore } from '../../storage/dump/restore.js';
import type { DumpManifest } from '../../storage/dump/dumped-tables.js';

type WithDatabase = (work: (database: Database) => Promise<void>) => Promise<void>;

const rowsOf = ({ tables }: DumpManifest): number => tables.reduce((sum, { rows }) => sum + rows, 0);

/** Backups: everything in the store as files, and back. */
export function addDumps(program: Command, withDatabase: WithDatabase, say: (line: string) => void): void {
  program
    .command('dump')
    .description('write everything in the database to a new folder; the server may go on meanwhile')
    .argument('<folder>')
    .action((folder: string) =>
      withDatabase(async ({ pool }) => {
        const manifest = await dump(pool, folder);
        say(`${manifest.tables.length} tables with ${rowsOf(manifest)} rows are in ${folder}.`);
      }),
    );
  program
    .command('restore')
    .description(
      'put a dump into a database that has no sites and no accounts; start the server again after it',
    )
    .argument('<folder>')
    .action((folder: string) =>
      withDatabase(async ({ pool }) => {
        const manifest = await restore(pool, folder);
        say(
          `The dump of ${manifest.madeAt} is restored: ${rowsOf(manifest)} rows. Start the server again if it is running.`,
        );
      }),
    );
}
