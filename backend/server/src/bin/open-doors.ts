import { isLoopback, type Config } from '../config/index.js';
import { inventedPeople } from '../people/invented-people.js';
import { StartFailure } from './start-failure.js';
import type { createPeople } from './people-services.js';

/**
 * Before anything but health is answered: a server that others can reach has accounts, the demo its people, and a
 * server without accounts a link that makes the first. Returns the path of that link.
 */
export async function openDoors(
  config: Pick<Config, 'host' | 'demo'>,
  { people, invitations, accounts }: ReturnType<typeof createPeople>,
): Promise<string | null> {
  if (await people.anyAccount()) return null;
  if (!isLoopback(config.host)) {
    if (await invitations.anyForAccount()) return null;
    throw new StartFailure(
      `Nobody has an account yet, and HOST=${config.host} lets others than this machine in. Make a link for the ` +
        'first account with `npx coldrounds first-account`, then start again; or set HOST=127.0.0.1.',
    );
  }
  if (config.demo) {
    await people.addInvented(inventedPeople);
    return null;
  }
  const token = await accounts.firstLink();
  return token === null ? null : `/join#${token}`;
}
