import { personOf, type Identity } from '../../people/identity.js';
import { hashOf, newSecret } from '../../people/sign-in/secrets.js';
import { NotKnownError } from '../../registry/fleet.service.js';
import type { CalendarAddressRepository } from '../../storage/people/calendar-address.repository.js';
import type { AuditRepository } from '../../storage/people/audit.repository.js';
import type { PersonRepository } from '../../storage/people/person.repository.js';
import { calendarFile } from './calendar-file.js';
import type { DayPlanService } from './day-plan.service.js';

export interface CalendarParts {
  addresses: CalendarAddressRepository;
  people: Pick<PersonRepository, 'byId'>;
  audit: AuditRepository;
  plans: Pick<DayPlanService, 'plan'>;
}

/**
 * A person's work as a calendar. A calendar program asks without signing in, so the address to subscribe to carries a
 * secret of its own, which opens this one calendar and nothing else, and can be made void at any time.
 */
export class CalendarService {
  constructor(private readonly parts: CalendarParts) {}

  /** Makes the address; an earlier one of the same person becomes void. The secret is returned here and never again. */
  async makeAddress(who: Identity): Promise<string> {
    const secret = newSecret();
    await this.parts.addresses.set(personOf(who), hashOf(secret));
    await this.note(who, 'made a calendar address');
    return secret;
  }

  async voidAddress(who: Identity): Promise<void> {
    if (!(await this.parts.addresses.remove(personOf(who))))
      throw new NotKnownError('You have no calendar address.');
    await this.note(who, 'made the calendar address void');
  }

  /** When the person's address was made and last used; null: there is none. */
  async address(who: Identity): Promise<{ madeAt: string; usedAt: string | null } | null> {
    const known = who.personId === null ? null : await this.parts.addresses.of(who.personId);
    if (known === null) return null;
    return { madeAt: known.madeAt.toISOString(), usedAt: known.usedAt?.toISOString() ?? null };
  }

  /** @param file `{secret}.ics`; @param address of the pages */
  async subscribed(file: string, address: string): Promise<string> {
    const secret = /^([\w-]{20,200})\.ics$/.exec(file)?.[1];
    const holder = secret === undefined ? null : await this.parts.addresses.holder(hashOf(secret));
    const person = holder === null ? null : await this.parts.people.byId(holder);
    if (!person?.active) throw new NotKnownError('There is no calendar at this address.');
    return this.calendar(person.id, person, address);
  }

  /** The calendar of a person as somebody else may see it. */
  async calendar(personId: number, viewer: Pick<Identity, 'sites'>, address: string): Promise<string> {
    const { person, sites } = await this.parts.plans.plan(personId, null, viewer);
    return calendarFile({ personId: person.id, personName: person.name, sites, address });
  }

  private note({ personId, name }: Identity, action: string): Promise<void> {
    return this.parts.audit.add({ personId, who: name, action });
  }
}
