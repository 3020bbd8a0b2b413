import type { Provider } from '@nestjs/common';
import { AccuracyService } from '../decisions/accuracy/accuracy.service.js';
import { DecisionService, type DecisionParts } from '../decisions/decision.service.js';
import { PlanClock, type PlanClockParts } from '../decisions/plan-clock.js';
import { FleetService } from '../registry/fleet.service.js';

/** What people decide on findings, put together. */
export function createDecisions(
  parts: DecisionParts & Omit<PlanClockParts, 'returned'> & { fleet: FleetService },
) {
  const providers: Provider[] = [
    { provide: FleetService, useValue: parts.fleet },
    { provide: DecisionService, useValue: new DecisionService(parts) },
    { provide: AccuracyService, useValue: new AccuracyService(parts.decisions) },
  ];
  return { clock: new PlanClock({ ...parts, returned: parts.decided }), providers };
}
