import { NotKnownError } from '../registry/fleet.service.js';
import type { AuditRepository } from '../storage/people/audit.repository.js';
import type { InvitationRepository } from '../storage/people/invitation.repository.js';
import type { PersonRepository, StoredPerson } from '../storage/people/person.repository.js';
import type { SessionRepository } from '../storage/people/session.repository.js';
import type { Database } from '../storage/index.js';
import type { AccessService } from './access.service.js';
import { BadEntryError } from './bad-entry.js';
import type { Identity } from './identity.js';
import type { PasswordHasher } from './sign-in/passwords.js';
import type { PersonRole } from './roles.js';
import { hashOf, newSecret } from './sign-in/secrets.js';
import { hashAcceptable, type SignInService, type StartedSession } from './sign-in/sign-in.service.js';

export interface AccountParts {
  database: Database;
  people: PersonRepository;
  sessions: SessionRepository;
  invitations: InvitationRepository;
  audit: AuditRepository;
  access: AccessService;
  hasher: PasswordHasher;
  signIn: SignInService;
}

export interface Invited {
  name: string;
  email: string;
  role: PersonRole;
  /** Keys of sites; null: all. */
  sites: string[] | null;
}

export interface Joining {
  token: string;
  password: string;
  name?: string;
  email?: string;
  address?: string;
}

const invitationValid_s = 7 * 86_400;
const firstValid_s = 24 * 3600;

/** Accounts: made by a link that works once, changed by administrators. */
export class AccountService {
  constructor(private readonly parts: AccountParts) {}

  /** Everybody with an account, by name. */
  list(): Promise<StoredPerson[]> {
    return this.parts.people.all();
  }

  /** Secret of the link that makes the first administrator; null where there are accounts. Earlier ones become void. */
  async firstLink(): Promise<string | null> {
    const { people, invitations, database } = this.parts;
    if (await people.anyAccount()) return null;
    const token = newSecret();
    await database.transaction(async (client) => {
      await invitations.withdrawFirst(client);
      await invitations.add(
        {
          ...{
            tokenHash: hashOf(token),
            personId: null,
            name: null,
            email: null,
            siteIds: null,
            madeBy: null,
          },
          ...{ role: 'administrator', validFor_s: firstValid_s },
        },
        client,
      );
    });
    return token;
  }

  /** Secret of a link that makes an account. */
  async invite(by: Identity, { name, email: typed, role, sites }: Invited): Promise<string> {
    const { people, invitations, audit, database } = this.parts;
    const email = typed.trim().toLowerCase();
    if ((await people.byEmail(email)) !== null)
      throw new BadEntryError([{ name: 'email', reason: 'has an account already' }]);
    const siteIds = await this.siteIds(sites);
    const token = newSecret();
    await database.transaction(async (client) => {
      await invitations.add(
        {
          ...{ tokenHash: hashOf(token), personId: null, name, email, role, siteIds, madeBy: by.personId },
          validFor_s: invitationValid_s,
        },
        client,
      );
      await audit.add(
        {
          ...{ personId: by.personId, who: by.name, action: 'invited', subject: email },
          detail: { name, role, sites },
        },
        client,
      );
    });
    return token;
  }

  /** Secret of a link by which a person sets a new password. */
  async resetLink(by: Identity, personId: number): Promise<string> {
    const person = await this.person(personId);
    if (person.invented) throw new BadEntryError([{ name: 'id', reason: 'is one of the invented people' }]);
    const token = newSecret();
    await this.parts.database.transaction(async (client) => {
      await this.parts.invitations.add(
        {
          ...{
            tokenHash: hashOf(token),
            personId,
            name: null,
            email: null,
            role: person.role,
            siteIds: null,
          },
          ...{ madeBy: by.personId, validFor_s: firstValid_s },
        },
        client,
      );
      await this.parts.audit.add(
        {
          ...{ personId: by.personId, who: by.name, action: 'made a link for a new password' },
          subject: person.email ?? person.name,
        },
        client,
      );
    });
    return token;
  }

  /** What a link is for, before it is used. */
  async invitation(
    token: string,
  ): Promise<{ kind: 'account' | 'password'; name: string | null; email: string | null }> {
    const found = await this.parts.invitations.find(hashOf(token));
    if (found === null) throw new NotKnownError('This link is not valid: it was used, or its time is over.');
    if (found.personId === null) return { kind: 'account', name: found.name, email: found.email };
    const { name, email } = await this.person(found.personId);
    return { kind: 'password', name, email };
  }

  /**
   * Uses a link up: makes the account, or sets the password, and signs in. Null: it is to sign in, as the account has a
   * second factor, which a link does not replace.
   */
  async join({ token, password, address, ...typed }: Joining): Promise<StartedSession | null> {
    const { people, sessions, invitations, audit, database, hasher, signIn, access } = this.parts;
    const { kind, ...known } = await this.invitation(token);
    const name = known.name ?? typed.name?.trim() ?? '';
    const email = (known.email ?? typed.email ?? '').trim().toLowerCase();
    if (name === '') throw new BadEntryError([{ name: 'name', reason: 'is missing' }]);
    if (!/^[^\s@]+@[^\s@]+$/.test(email))
      throw new BadEntryError([{ name: 'email', reason: 'is not an e-mail address' }]);
    if (kind === 'account' && (await people.byEmail(email)) !== null)
      throw new BadEntryError([{ name: 'email', reason: 'has an account already' }]);
    const passwordHash = await hashAcceptable(hasher, password, [name, email], 'password');
    const person = await database.transaction(async (client) => {
      const used = await invitations.use(hashOf(token), client);
      if (used === null) throw new NotKnownError('This link is not valid: it was used, or its time is over.');
      let id = used.personId;
      if (id === null)
        id = await people.add({ name, email, role: used.role, siteIds: used.siteIds, passwordHash }, client);
      else {
        await people.setPassword(id, passwordHash, client);
        await sessions.endAllOf(id, client);
      }
      const action = kind === 'account' ? 'made the account' : 'set a new password by a link';
      await audit.add({ personId: id, who: name, action, detail: { role: used.role }, address }, client);
      return (await people.byId(id, client))!;
    });
    access.accountMade();
    return person.secondFactor ? null : signIn.begin(person, { address });
  }

  /** Changes an account; one that is closed loses its sessions at once. */
  async change(
    by: Identity,
    personId: number,
    change: { name: string; role: PersonRole; sites: string[] | null; active: boolean },
  ): Promise<StoredPerson> {
    const { people, sessions, audit, database } = this.parts;
    const before = await this.person(personId);
    if (before.invented) throw new BadEntryError([{ name: 'id', reason: 'is one of the invented people' }]);
    const siteIds = await this.siteIds(change.sites);
    await database.transaction(async (client) => {
      const stays = change.role === 'administrator' && change.active && change.sites === null;
      if (
        before.role === 'administrator' &&
        !stays &&
        (await people.otherAdministrators(personId, client)) === 0
      )
        throw new BadEntryError([{ name: 'role', reason: 'cannot change: this is the only administrator' }]);
      await people.change(personId, { ...change, siteIds }, client);
      if (!change.active) await sessions.endAllOf(personId, client);
      await audit.add(
        {
          ...{ personId: by.personId, who: by.name, action: 'changed an account' },
          subject: before.email ?? before.name,
          detail: {
            before: { name: before.name, role: before.role, sites: before.sites, active: before.active },
            after: change,
          },
        },
        client,
      );
    });
    return this.person(personId);
  }

  /** Ends all sessions of a person, who may sign in again. */
  async endSessions(by: Identity, personId: number): Promise<void> {
    const person = await this.person(personId);
    await this.parts.database.transaction(async (client) => {
      await this.parts.sessions.endAllOf(personId, client);
      await this.parts.audit.add(
        {
          ...{ personId: by.personId, who: by.name, action: 'ended all sessions of an account' },
          subject: person.email ?? person.name,
        },
        client,
      );
    });
  }

  private async person(id: number): Promise<StoredPerson> {
    const person = await this.parts.people.byId(id);
    if (person === null) throw new NotKnownError('There is no such account.');
    return person;
  }

  private async siteIds(keys: readonly string[] | null): Promise<number[] | null> {
    if (keys === null) return null;
    const found = await this.parts.people.siteIds(keys);
    const missing = keys.find((key) => !found.some((site) => site.key === key));
    if (missing !== undefined)
      throw new BadEntryError([{ name: 'sites', reason: `there is no site ${missing}` }]);
    return found.map(({ id }) => id);
  }
}
