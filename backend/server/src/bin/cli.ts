import { Command, CommanderError } from 'commander';
import { UnknownRefrigerantError } from '@coldrounds/core';
import { addAssess } from './commands/assess.js';
import { addProperties } from './commands/properties.js';

/** Names of errors whose message is written for the person who typed the command. */
const plain = new Set([
  'CommandError',
  'ConfigurationError',
  'StartFailure',
  'RegistryError',
  'NotKnownError',
  'BadParameterError',
  'DatabaseVersionError',
  'DumpError',
  'SeriesError',
  'OutOfRangeError',
  'ArgumentError',
  'UnknownRefrigerantError',
]);

export function createProgram(): Command {
  const program = new Command('coldrounds')
    .description(
      'Ranks the chillers of a fleet by the attention they need, from their telemetry. Coldrounds only reads; it never commands equipment.',
    )
    .exitOverride()
    .showHelpAfterError('(run coldrounds --help for the list of commands)');
  addAssess(program);
  addProperties(program);
  program
    .command('serve')
    .description('run the server; settings come from the environment')
    .action(async () => (await import('./serve.js')).serve());
  return program;
}

/** Why the database of DATABASE_URL cannot be used, for the person who typed the command; null: it is something else. */
export function databaseProblem(error: unknown): string | null {
  const { code, hostname, message } = error as { code?: unknown; hostname?: string; message?: string };
  if (code === undefined && message?.startsWith('timeout exceeded when trying to connect'))
    return 'The database does not answer: its host in DATABASE_URL cannot be reached.';
  switch (code) {
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
      return `The database's host ${hostname ?? ''} in DATABASE_URL cannot be found. Check its name.`.replace(
        '  ',
        ' ',
      );
    case 'ECONNREFUSED':
      return 'The database does not answer.';
    case 'ETIMEDOUT':
    case 'EHOSTUNREACH':
    case 'ENETUNREACH':
      return 'The database does not answer: its host in DATABASE_URL cannot be reached.';
    case '28P01':
    case '28000':
      return 'The database rejects the user or password in DATABASE_URL.';
    case '3D000':
      return 'The database named in DATABASE_URL does not exist.';
    default:
      return null;
  }
}

export async function runCommand(argv: string[]): Promise<number> {
  const program = createProgram();
  // Commands that need the store bring in the database driver; the others start without it.
  const needsStore = !['assess', 'properties', 'serve'].includes(argv[0] ?? '');
  if (needsStore) (await import('./commands/store.js')).addStoreCommands(program);
  for (const command of program.commands) command.exitOverride();
  try {
    await program.parseAsync(argv, { from: 'user' });
    return 0;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode;
    if (error instanceof UnknownRefrigerantError)
      console.error(
        `Coldrounds has no property table for "${error.refrigerant}". Did you mean ${error.nearest.join(', ')}?`,
      );
    else if (error instanceof Error && plain.has(error.name)) console.error(error.message);
    else if (databaseProblem(error) !== null) console.error(databaseProblem(error));
    else console.error(error);
    return 1;
  }
}
