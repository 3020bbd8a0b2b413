import type { Provider } from '@nestjs/common';
import { AccuracyService } from '../decisions/accuracy/accuracy.service.js';
import { DecisionService, type DecisionParts } from '../decisions/decision.service.js';
import { PlanClock, type PlanClockParts } from '../decisions/plan-clock.js';
import { CalendarService } from '../pages/plan/calendar.service.js';
import { DayPlanService, type DayPlanParts } from '../pages/plan/day-plan.service.js';
import { FleetService } from '../registry/fleet.service.js';
import { CalendarAddressRepository } from '../storage/people/calendar-address.repository.js';

/** What people decide on findings, put together. */
export function createDecisions(
  parts: DecisionParts & DayPlanParts & Omit<PlanClockParts, 'returned'> & { fleet: FleetService },
) {
  const plans = new DayPlanService(parts);
  const addresses = new CalendarAddressRepository(parts.database);
  const providers: Provider[] = [
    { provide: FleetService, useValue: parts.fleet },
    { provide: DecisionService, useValue: new DecisionService(parts) },
    { provide: DayPlanService, useValue: plans },
    { provide: CalendarService, useValue: new CalendarService({ ...parts, addresses, plans }) },
    { provide: AccuracyService, useValue: new AccuracyService(parts.decisions) },
  ];
  return { clock: new PlanClock({ ...parts, returned: parts.decided }), providers };
}
