import type { Provider } from '@nestjs/common';
import { DecisionService, type DecisionParts } from '../decisions/decision.service.js';
import { FleetService } from '../registry/fleet.service.js';
import { DecisionRepository } from '../storage/decisions/decision.repository.js';

/** What people decide on findings, put together. */
export function createDecisions(parts: Omit<DecisionParts, 'decisions'> & { fleet: FleetService }) {
  const decisions = new DecisionRepository(parts.database);
  const service = new DecisionService({ ...parts, decisions });
  const providers: Provider[] = [
    { provide: FleetService, useValue: parts.fleet },
    { provide: DecisionService, useValue: service },
  ];
  return { decisions, service, providers };
}
