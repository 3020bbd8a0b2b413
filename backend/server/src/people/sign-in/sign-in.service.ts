import type { AuditRepository } from '../../storage/people/audit.repository.js';
import type { PersonRepository, StoredPerson } from '../../storage/people/person.repository.js';
import type { SessionRepository } from '../../storage/people/session.repository.js';
import type { Database } from '../../storage/index.js';
import { NotKnownError } from '../../registry/fleet.service.js';
import { identityOf, sessionLimits, type AccessService } from '../access.service.js';
import { BadEntryError } from '../bad-entry.js';
import {
  NotAllowedError,
  NotSignedInError,
  personOf,
  SecondFactorAskedError,
  TooManyAttemptsError,
  type Identity,
} from '../identity.js';
import type { CodeCheck } from '../second-factor/code-check.js';
import { objectionTo, type PasswordHasher } from './passwords.js';
import { hashOf, newSecret } from './secrets.js';
import { HeldRefusals } from './held-refusals.js';
import type { SignInLimits } from './sign-in-limits.js';

/** A session that has just begun, with the secrets for the browser's cookies. */
export interface StartedSession {
  identity: Identity;
  session: string;
  /** Null: the browser keeps what it has. */
  device: string | null;
}

export interface SignInParts {
  database: Database;
  people: PersonRepository;
  sessions: SessionRepository;
  audit: AuditRepository;
  access: AccessService;
  hasher: PasswordHasher;
  limits: SignInLimits;
  codes: CodeCheck;
}

export interface SignInAttempt {
  email: string;
  password: string;
  address: string;
  /** The browser's own secret from an earlier sign-in. */
  device?: string;
  /** Of the second factor, or a recovery code. */
  code?: string;
}

/** Signing in and out. */
export class SignInService {
  private readonly refusals = new HeldRefusals();

  constructor(private readonly parts: SignInParts) {}

  /** Refusals of who tried too often are held back, or a flood would be answered as fast as it can ask. */
  async signIn(attempt: SignInAttempt): Promise<StartedSession> {
    try {
      return await this.tried(attempt);
    } catch (error) {
      if (error instanceof TooManyAttemptsError) await this.refusals.hold();
      throw error;
    }
  }

  private async tried({
    email: typed,
    password,
    address,
    device,
    code,
  }: SignInAttempt): Promise<StartedSession> {
    const { people, sessions, audit, hasher, limits } = this.parts;
    const email = typed.trim().toLowerCase();
    // Who has no browser of their own to show is counted before anything is looked up, so that a flood costs nothing.
    if (device === undefined) await limits.take({ email, address, device: null });
    const person = await people.byEmail(email);
    const isKnown =
      person !== null && device !== undefined && (await sessions.isKnownDevice(hashOf(device), person.id));
    const attempt = { email, address, device: isKnown ? hashOf(device).toString('base64') : null };
    if (device !== undefined) await limits.take(attempt);
    const right = await hasher.verify(person?.active ? person.passwordHash : null, password);
    if (!right || person === null) {
      // Attempts beyond the limit never get here, so that nobody can flood the log.
      await audit.add({
        personId: person?.id ?? null,
        who: person?.name ?? 'unknown',
        action: 'sign-in refused',
        address,
      });
      throw new NotSignedInError('The e-mail address or the password is wrong.');
    }
    await limits.succeeded(attempt);
    const by = person.secondFactor
      ? await this.secondFactor(person, { code, address, device: attempt.device })
      : {};
    if (person.passwordHash !== null && hasher.isOld(person.passwordHash))
      await people.setPassword(person.id, await hasher.hash(password), this.parts.database);
    await audit.add({ personId: person.id, who: person.name, action: 'signed in', detail: by, address });
    return this.begin(person, { device: isKnown ? device : undefined, address });
  }

  /** Asks for the code, or refuses a wrong one. */
  private async secondFactor(
    person: StoredPerson,
    { code, address, device }: { code?: string; address: string; device: string | null },
  ): Promise<{ secondFactor: string }> {
    if (code === undefined || code === '')
      throw new SecondFactorAskedError('Now the code of your authenticator, or a recovery code.');
    try {
      return { secondFactor: await this.parts.codes.require(person, code, device) };
    } catch (error) {
      if (!(error instanceof BadEntryError)) throw error;
      await this.parts.audit.add({
        ...{ personId: person.id, who: person.name, action: 'second factor refused', address },
      });
      throw new SecondFactorAskedError('This code is not the present one, or was used already.');
    }
  }

  /** Starts a session of somebody who has shown who they are. */
  async begin(
    person: StoredPerson,
    by: { device?: string; openId?: boolean; address?: string } = {},
  ): Promise<StartedSession> {
    const session = newSecret();
    const device = by.device ?? newSecret();
    await this.parts.sessions.start(hashOf(session), person.id, sessionLimits, by);
    await this.parts.sessions.knowDevice(hashOf(device), person.id);
    return { identity: identityOf(person, 'session', by.openId), session, device };
  }

  /** Ends a session without a word in the log, as another takes its place. */
  async forget(session: string | undefined): Promise<void> {
    if (session !== undefined) await this.parts.sessions.end(hashOf(session));
  }

  /** Whether the session was begun at an OpenID provider, where it may go on. */
  async signOut(session: string | undefined, identity: Identity): Promise<boolean> {
    if (session === undefined) return false;
    const byOpenId = await this.parts.sessions.end(hashOf(session));
    if (identity.by === 'session')
      await this.parts.audit.add({ personId: identity.personId, who: identity.name, action: 'signed out' });
    return byOpenId;
  }

  /** In the demo: go on as another of the invented people. */
  async switchTo(personId: number, identity: Identity): Promise<StartedSession> {
    const person = await this.parts.people.byId(personId);
    if (identity.by !== 'demo' || person === null || !person.invented)
      throw new NotAllowedError('Only the demo on this machine can switch to one of its invented people.');
    const session = newSecret();
    await this.parts.sessions.start(hashOf(session), person.id, sessionLimits);
    return { identity: identityOf(person, 'demo'), session, device: null };
  }

  /** Sets another password and ends all sessions of the person but the new one that it returns. */
  async changePassword(
    identity: Identity,
    { current, wanted, address }: { current: string; wanted: string; address: string },
  ): Promise<StartedSession> {
    const { database, people, sessions, audit, hasher, limits } = this.parts;
    const person = await people.byId(personOf(identity));
    if (identity.by !== 'session' || person?.email == null)
      throw new NotAllowedError('A password is changed by its owner, signed in with a browser.');
    await requirePassword({ hasher, limits }, person, current, address, 'current');
    const passwordHash = await hashAcceptable(hasher, wanted, [person.name, person.email], 'wanted');
    await database.transaction(async (client) => {
      await people.setPassword(person.id, passwordHash, client);
      await sessions.endAllOf(person.id, client);
      await audit.add(
        { personId: person.id, who: person.name, action: 'changed the password', address },
        client,
      );
    });
    return this.begin(person, { address });
  }

  /** The person's own sessions; `session` is the one that asks. */
  async sessions(identity: Identity, session: string | undefined) {
    const own = session === undefined ? null : hashOf(session);
    return this.parts.sessions.of(personOf(identity), own, sessionLimits);
  }

  /** Ends one of the person's own sessions. */
  async endOne(identity: Identity, id: number): Promise<void> {
    const { database, sessions, audit } = this.parts;
    const personId = personOf(identity);
    await database.transaction(async (client) => {
      if (!(await sessions.endOne(personId, id, client)))
        throw new NotKnownError('You have no such session that goes on.');
      await audit.add(
        { personId, who: identity.name, action: 'ended a session', subject: String(id) },
        client,
      );
    });
  }
}

/** Asks a person who is signed in for their password again. */
export async function requirePassword(
  { hasher, limits }: Pick<SignInParts, 'hasher' | 'limits'>,
  person: StoredPerson,
  password: string,
  address: string,
  field: string,
): Promise<void> {
  const attempt = { email: person.email ?? '', address, device: `person ${person.id}` };
  await limits.take(attempt);
  if (!(await hasher.verify(person.passwordHash, password)))
    throw new BadEntryError([{ name: field, reason: 'is not your password' }]);
  await limits.succeeded(attempt);
}

/** The hash of a password that is good enough, or an error that names the field. */
export async function hashAcceptable(
  hasher: PasswordHasher,
  password: string,
  about: readonly (string | null)[],
  field: string,
): Promise<string> {
  const reason = objectionTo(password, about);
  if (reason !== null) throw new BadEntryError([{ name: field, reason }]);
  return hasher.hash(password);
}
