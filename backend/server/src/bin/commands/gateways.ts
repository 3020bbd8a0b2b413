import type { Command } from 'commander';
import { withSecretFiles } from '../../config/index.js';
import { commandLine, type GatewayService } from '../../gateways/gateway.service.js';
import { reloadMosquitto, writeMosquittoFiles } from '../../gateways/handing-over/mosquitto-files.js';
import { gatewayOf, topicsOfSite } from '../../gateways/site-topics.js';
import { CommandError } from './command-error.js';

type WithGateways = (work: (gateways: GatewayService) => Promise<void>) => Promise<void>;

/** `gateway add`, `list`, `revoke` and `files`. */
export function addGateways(program: Command, withGateways: WithGateways, say: (line: string) => void): void {
  const gateway = program
    .command('gateway')
    .description('keys of gateways: each may publish for its own site at the broker');
  gateway
    .command('add')
    .description('make a key for a gateway of a site; its password is shown this once')
    .argument('<site>', 'key of the site in the registry')
    .option('--name <name>', 'what the gateway is called, or where it stands', 'gateway')
    .action((site: string, { name }: { name: string }) =>
      withGateways(async (gateways) => {
        const made = await gateways.makeBy(commandLine, site, name);
        say(`user      ${made.gateway.user}`);
        say(`password  ${made.password}`);
        say(`It may publish on ${topicsOfSite(site).publish[0]}, and in Sparkplug B in the group ${site}.`);
        say('The password is not kept and cannot be shown again.');
      }),
    );
  gateway
    .command('list')
    .description('list the keys of a site, or of all')
    .argument('[site]')
    .action((site?: string) =>
      withGateways(async (gateways) => {
        const keys = await gateways.list(site === undefined ? null : [site]);
        if (keys.length === 0) say('There is no key yet. Make one with: npx coldrounds gateway add SITE');
        for (const { user, name, madeAt, madeBy, connectedAt, revokedAt } of keys)
          say(
            [
              user,
              name,
              `made ${madeAt} by ${madeBy}`,
              revokedAt === null
                ? `last let in ${connectedAt ?? 'never, as far as known'}`
                : `revoked ${revokedAt}`,
            ].join('\t'),
          );
      }),
    );
  gateway
    .command('revoke')
    .description('end a key at once; whoever is connected by it is disconnected')
    .argument('<user>', 'user of the gateway at the broker, such as town-hall.1')
    .action((user: string) =>
      withGateways(async (gateways) => {
        const of = gatewayOf(user);
        if (of === null) throw new CommandError(`${user} is no user of a gateway: expected SITE.NUMBER.`);
        await gateways.revokeBy(commandLine, of.site, of.number);
        say(`The key ${user} is revoked.`);
      }),
    );
  addFiles(gateway, withGateways, say);
}

function addFiles(gateway: Command, withGateways: WithGateways, say: (line: string) => void): void {
  gateway
    .command('files')
    .description(
      "write Mosquitto's password and access files once; a server with MOSQUITTO_FILES does it by itself",
    )
    .argument('<folder>')
    .option('--pid-file <file>', 'of the Mosquitto that is to read them again')
    .action((folder: string, { pidFile }: { pidFile?: string }) =>
      withGateways(async (gateways) => {
        const { MQTT_USERNAME: user, MQTT_PASSWORD: password } = withSecretFiles(process.env).variables;
        if (!user || !password)
          throw new CommandError(
            'Set MQTT_USERNAME and MQTT_PASSWORD, by which Coldrounds itself signs in there.',
          );
        const changed = await writeMosquittoFiles(folder, { user, password }, await gateways.handedKeys());
        if (changed && pidFile !== undefined) await reloadMosquitto(pidFile);
        say(
          changed
            ? `${folder} has the files passwords and acl${pidFile === undefined ? '; have Mosquitto read them again (SIGHUP)' : ', and Mosquitto reads them'}.`
            : `The files in ${folder} are up to date.`,
        );
      }),
    );
}
