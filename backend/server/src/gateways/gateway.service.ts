import type { Identity } from '../people/identity.js';
import { personOf } from '../people/identity.js';
import { NotKnownError } from '../registry/fleet.service.js';
import type {
  GatewayRepository,
  StoredGateway,
  StoredRefusal,
} from '../storage/gateways/gateway.repository.js';
import type { Database } from '../storage/index.js';
import type { AuditRepository } from '../storage/people/audit.repository.js';
import type { RegistrationRepository } from '../storage/registry/registration.repository.js';
import type { BrokerPlace } from './broker-place.js';
import { handedKey, type HandedKey } from './handing-over/handed-key.js';
import { hashOfPassword, newGatewayPassword } from './password.js';
import { topicsOfSite, userOf } from './site-topics.js';

export interface GatewayParts {
  database: Database;
  gateways: GatewayRepository;
  registration: RegistrationRepository;
  audit: AuditRepository;
  place: BrokerPlace;
}

/** Who makes or revokes a key: a person, or whoever sits at the machine's command line. */
export interface KeyMaker {
  personId: number | null;
  name: string;
}

export const commandLine: KeyMaker = { personId: null, name: 'command line' };

const makerOf = (by: Identity): KeyMaker => ({ personId: personOf(by), name: by.name });

/** Keys of gateways: each is a user and a password at the broker, for the topics of its own site. */
export class GatewayService {
  constructor(private readonly parts: GatewayParts) {}

  async ofSite(site: string, { sites }: Pick<Identity, 'sites'>) {
    await this.requireSite(site);
    const [gateways, refusals] = await Promise.all([
      this.parts.gateways.list([site]),
      this.parts.gateways.refusals(site),
    ]);
    const of = (id: number | null) => refusals.filter(({ gatewayId }) => gatewayId === id).map(refusalView);
    return {
      broker: this.parts.place,
      topics: topicsOfSite(site).publish,
      gateways: gateways.map((gateway) => ({ ...gatewayView(gateway), refusals: of(gateway.id) })),
      // Where strangers come from is told only to who sees all sites.
      strangers: sites === null ? of(null) : null,
    };
  }

  /** Every key as brokers need it. */
  async handedKeys(): Promise<HandedKey[]> {
    return (await this.parts.gateways.keys()).map(handedKey);
  }

  async list(sites: readonly string[] | null) {
    return (await this.parts.gateways.list(sites)).map(gatewayView);
  }

  /** The password is returned here and never again. */
  make(by: Identity, site: string, name: string) {
    return this.makeBy(makerOf(by), site, name);
  }

  async makeBy(by: KeyMaker, site: string, name: string) {
    const password = newGatewayPassword();
    const passwordHash = await hashOfPassword(password);
    const { gateways, audit, database } = this.parts;
    const gateway = await database.transaction(async (client) => {
      const siteId = await gateways.holdSite(client, site);
      if (siteId === null) throw new NotKnownError(`There is no site ${site}.`);
      const made = await gateways.add(client, {
        ...{ siteId, name, passwordHash },
        ...{ madeBy: by.personId, madeByName: by.name },
      });
      await audit.add(
        { ...noted(by, 'made a key of a gateway', userOf(site, made.number)), detail: { site, name } },
        client,
      );
      return made;
    });
    await gateways.changed();
    return { gateway: { ...gatewayView(gateway), refusals: [] }, password };
  }

  revoke(by: Identity, site: string, number: number): Promise<void> {
    return this.revokeBy(makerOf(by), site, number);
  }

  async revokeBy(by: KeyMaker, site: string, number: number): Promise<void> {
    const { gateways, audit, database } = this.parts;
    const user = userOf(site, number);
    await database.transaction(async (client) => {
      if (!(await gateways.revoke(client, site, number, by.name)))
        throw new NotKnownError(`There is no key ${user} that is still valid.`);
      await audit.add({ ...noted(by, 'revoked a key of a gateway', user), detail: { site } }, client);
    });
    await gateways.changed();
  }

  private async requireSite(key: string): Promise<void> {
    if ((await this.parts.registration.site(key)) === null)
      throw new NotKnownError(`There is no site ${key}.`);
  }
}

const noted = ({ personId, name }: KeyMaker, action: string, subject: string) => ({
  ...{ personId, who: name },
  ...{ action, subject },
});

const gatewayView = ({ id: _id, madeAt, revokedAt, connectedAt, ...gateway }: StoredGateway) => ({
  ...gateway,
  user: userOf(gateway.site, gateway.number),
  madeAt: madeAt.toISOString(),
  revokedAt: revokedAt?.toISOString() ?? null,
  connectedAt: connectedAt?.toISOString() ?? null,
});

const refusalView = ({ reason, count, lastAt, detail }: StoredRefusal) => ({
  ...{ reason, count, detail },
  lastAt: lastAt.toISOString(),
});
