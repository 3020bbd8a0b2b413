import { NotKnownError } from '../../registry/fleet.service.js';
import type { Database } from '../../storage/index.js';
import type { AuditRepository } from '../../storage/people/audit.repository.js';
import type { PersonRepository, StoredPerson } from '../../storage/people/person.repository.js';
import type { SecondFactorRepository } from '../../storage/people/second-factor.repository.js';
import type { SessionRepository } from '../../storage/people/session.repository.js';
import { BadEntryError } from '../bad-entry.js';
import { NotAllowedError, personOf, type Identity } from '../identity.js';
import { personRoles, type PersonRole } from '../roles.js';
import type { PasswordHasher } from '../sign-in/passwords.js';
import type { SignInLimits } from '../sign-in/sign-in-limits.js';
import { requirePassword, type SignInService, type StartedSession } from '../sign-in/sign-in.service.js';
import type { CodeCheck } from './code-check.js';
import { enrolment, newTotpSecret, stepOfCode } from './one-time-password.js';
import { newRecoveryCodes, recoveryHashOf } from './recovery-codes.js';

export interface SecondFactorParts {
  database: Database;
  people: PersonRepository;
  sessions: SessionRepository;
  secondFactors: SecondFactorRepository;
  audit: AuditRepository;
  hasher: PasswordHasher;
  limits: SignInLimits;
  codes: CodeCheck;
  signIn: SignInService;
}

/** What a person types to show that it is them, beside their session. */
export interface Shown {
  password: string;
  address: string;
}

/** A person's own second factor, and which roles must have one. */
export class SecondFactorService {
  constructor(
    private readonly parts: SecondFactorParts,
    private readonly now_ms: () => number = Date.now,
  ) {}

  /** Begins to set one up: the secret goes into an authenticator, and nothing is asked for before `confirm`. */
  async begin(identity: Identity, shown: Shown): Promise<{ secret: string; address: string }> {
    const person = await this.owner(identity, shown);
    const secret = newTotpSecret();
    if (!(await this.parts.secondFactors.begin(person.id, secret)))
      throw new BadEntryError([
        { name: 'password', reason: 'is right, but a second factor is in use already' },
      ]);
    return enrolment(secret, person.email ?? person.name);
  }

  /** The first code shows that the authenticator has the secret. All other sessions end. */
  async confirm(
    identity: Identity,
    { code, address }: { code: string; address: string },
  ): Promise<{ started: StartedSession; recoveryCodes: string[] }> {
    const { database, people, sessions, secondFactors, audit, codes, signIn } = this.parts;
    const person = await this.account(identity);
    const begun = await secondFactors.of(person.id);
    if (begun === null || begun.confirmed)
      throw new BadEntryError([
        { name: 'code', reason: 'is not asked for: begin to set a second factor up first' },
      ]);
    await codes.count(person.id, null);
    const step = stepOfCode(begun.secret, code.replace(/\s/g, ''), this.now_ms());
    if (step === null)
      throw new BadEntryError([
        { name: 'code', reason: 'is not the present one; the clock of the telephone may be wrong' },
      ]);
    const recoveryCodes = newRecoveryCodes();
    await database.transaction(async (client) => {
      if (!(await secondFactors.confirm(person.id, begun.secret, step, client)))
        throw new BadEntryError([{ name: 'code', reason: 'is of a secret that is not valid any more' }]);
      await secondFactors.keepRecoveryCodes(person.id, recoveryCodes.map(hashOfOwn), client);
      await sessions.endAllOf(person.id, client);
      await audit.add(
        { personId: person.id, who: person.name, action: 'set up a second factor', address },
        client,
      );
    });
    await codes.uncount(person.id, null);
    const now = (await people.byId(person.id))!;
    return { started: await signIn.begin(now, { address }), recoveryCodes };
  }

  /** New recovery codes; the earlier ones work no more. */
  async renewRecoveryCodes(identity: Identity, shown: Shown & { code: string }): Promise<string[]> {
    const { database, secondFactors, audit, codes } = this.parts;
    const person = await this.owner(identity, shown);
    await codes.require(person, shown.code, null);
    const recoveryCodes = newRecoveryCodes();
    await database.transaction(async (client) => {
      await secondFactors.keepRecoveryCodes(person.id, recoveryCodes.map(hashOfOwn), client);
      await audit.add(
        { personId: person.id, who: person.name, action: 'made new recovery codes', address: shown.address },
        client,
      );
    });
    return recoveryCodes;
  }

  /** Gives the second factor up. */
  async turnOff(identity: Identity, shown: Shown & { code: string }): Promise<StartedSession> {
    const { database, people, sessions, secondFactors, audit, codes, signIn } = this.parts;
    const person = await this.owner(identity, shown);
    if (person.secondFactorNeeded)
      throw new NotAllowedError('Your role needs a second factor; an administrator can change that.');
    await codes.require(person, shown.code, null);
    await database.transaction(async (client) => {
      await secondFactors.remove(person.id, client);
      await sessions.endAllOf(person.id, client);
      await audit.add(
        {
          personId: person.id,
          who: person.name,
          action: 'gave up the second factor',
          address: shown.address,
        },
        client,
      );
    });
    return signIn.begin((await people.byId(person.id))!, { address: shown.address });
  }

  /** Recovery codes that were not used yet. */
  recoveryCodesLeft(identity: Identity): Promise<number> {
    return this.parts.secondFactors.recoveryCodesLeft(personOf(identity));
  }

  /** For somebody who has lost it, by an administrator who knows who they are; all their sessions end. */
  async takeAway(by: Identity, personId: number): Promise<void> {
    const { database, people, sessions, secondFactors, audit } = this.parts;
    const person = await people.byId(personId);
    if (person === null) throw new NotKnownError('There is no such account.');
    await database.transaction(async (client) => {
      if (!(await secondFactors.remove(personId, client)))
        throw new NotKnownError('This account has no second factor.');
      await sessions.endAllOf(personId, client);
      await audit.add(
        {
          ...{ personId: by.personId, who: by.name, action: 'took a second factor away' },
          subject: person.email ?? person.name,
        },
        client,
      );
    });
  }

  async rolesThatNeedIt(): Promise<PersonRole[]> {
    const roles = await this.parts.secondFactors.rolesThatNeedIt();
    return personRoles.filter((role) => roles.includes(role));
  }

  async setRolesThatNeedIt(by: Identity, roles: readonly PersonRole[]): Promise<PersonRole[]> {
    const { database, secondFactors, audit } = this.parts;
    const before = await this.rolesThatNeedIt();
    await database.transaction(async (client) => {
      await secondFactors.setRolesThatNeedIt(roles, client);
      await audit.add(
        {
          ...{ personId: by.personId, who: by.name, action: 'changed which roles need a second factor' },
          detail: { before, after: roles },
        },
        client,
      );
    });
    return this.rolesThatNeedIt();
  }

  private async account(identity: Identity): Promise<StoredPerson> {
    const person = await this.parts.people.byId(personOf(identity));
    if (identity.by !== 'session' || person?.passwordHash == null)
      throw new NotAllowedError(
        'A second factor belongs to an account with a password, signed in with a browser. Who signs in by OpenID has that of the provider.',
      );
    return person;
  }

  private async owner(identity: Identity, { password, address }: Shown): Promise<StoredPerson> {
    const person = await this.account(identity);
    await requirePassword(this.parts, person, password, address, 'password');
    return person;
  }
}

const hashOfOwn = (code: string): Buffer => recoveryHashOf(code)!;
