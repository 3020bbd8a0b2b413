import type { Provider } from '@nestjs/common';
import type { Logger } from 'pino';
import type { Config } from '../config/index.js';
import type { BrokerPlace } from '../gateways/broker-place.js';
import { GatewayService } from '../gateways/gateway.service.js';
import { KeyKeeper } from '../gateways/handing-over/key-keeper.js';
import type { GatewayRepository } from '../storage/gateways/gateway.repository.js';
import type { Database } from '../storage/index.js';
import type { AuditRepository } from '../storage/people/audit.repository.js';
import type { RegistrationRepository } from '../storage/registry/registration.repository.js';

export interface GatewayServiceParts {
  database: Database;
  gateways: GatewayRepository;
  registration: RegistrationRepository;
  audit: AuditRepository;
}

/** Keys of gateways, and their way to the broker, put together. */
export function createGateways({ keys }: Pick<Config, 'keys'>, parts: GatewayServiceParts, logger: Logger) {
  const service = new GatewayService({ ...parts, place: placeOf(keys) });
  const keeper = new KeyKeeper({
    ...parts,
    to: { embedded: keys.embedded?.folder ?? null, mosquitto: keys.mosquitto },
    log: (level, detail, line) => logger[level](detail, line),
  });
  const providers: Provider[] = [{ provide: GatewayService, useValue: service }];
  return { service, keeper, providers };
}

const placeOf = ({ embedded, mosquitto }: Config['keys']): BrokerPlace =>
  embedded !== null
    ? { kind: 'embedded', listens: embedded.listens }
    : { kind: mosquitto === null ? 'none' : 'mosquitto', listens: [] };
