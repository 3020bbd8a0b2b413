import type { ApiTokenRepository } from '../storage/people/api-token.repository.js';
import type { PersonRepository, StoredPerson } from '../storage/people/person.repository.js';
import type { SessionLimits, SessionRepository } from '../storage/people/session.repository.js';
import { NotSignedInError, seesSite, somebodyAtThisMachine, type Identity } from './identity.js';
import { abilitiesOf, type Ability, type PersonRole } from './roles.js';
import { hashOf } from './sign-in/secrets.js';

/** A working day without use, or two weeks in all. */
export const sessionLimits: SessionLimits = { idle_s: 24 * 3600, longest_s: 14 * 86_400 };

export interface Credentials {
  session?: string;
  bearer?: string;
  /** The request came straight from this machine, to an address of this machine. */
  atThisMachine: boolean;
}

/** `accounts`: people sign in. Before there is an account, on loopback only: `demo`, or `set-up` without the demo. */
export type AccessMode = 'accounts' | 'demo' | 'set-up';

export interface AccessParts {
  people: PersonRepository;
  sessions: SessionRepository;
  tokens: ApiTokenRepository;
  demo: boolean;
}

/** How often a process looks whether the first account was made, by whichever process. */
const lookAgain_ms = 2_000;

/** Who asks. */
export class AccessService {
  private accounts = { known: false, looked_ms: -Infinity };

  constructor(
    private readonly parts: AccessParts,
    private readonly now_ms: () => number = Date.now,
  ) {}

  async mode(): Promise<AccessMode> {
    if (await this.hasAccounts()) return 'accounts';
    return this.parts.demo ? 'demo' : 'set-up';
  }

  /** The first account was made just now. */
  accountMade(): void {
    this.accounts.known = true;
  }

  /** Once there is an account there always is one, so it is asked no more. */
  async hasAccounts(): Promise<boolean> {
    if (!this.accounts.known && this.now_ms() - this.accounts.looked_ms > lookAgain_ms) {
      this.accounts.looked_ms = this.now_ms();
      this.accounts.known = await this.parts.people.anyAccount();
    }
    return this.accounts.known;
  }

  /** Null: nobody is signed in. */
  async identify({ session, bearer, atThisMachine }: Credentials): Promise<Identity | null> {
    if (bearer !== undefined) return this.byToken(bearer);
    const mode = await this.mode();
    const person =
      session === undefined ? null : await this.parts.sessions.person(hashOf(session), sessionLimits);
    if (person !== null && !person.invented) return identityOf(person, 'session', person.openId);
    if (mode === 'accounts' || !atThisMachine) return null;
    if (mode === 'set-up') return somebodyAtThisMachine;
    const shown = person ?? (await this.parts.people.invented())[0];
    return shown === undefined ? somebodyAtThisMachine : identityOf(shown, 'demo');
  }

  /** In the demo: whom one can go on as. */
  async inventedPeople(): Promise<{ id: number; name: string; role: PersonRole }[]> {
    return (await this.parts.people.invented()).map(({ id, name, role }) => ({
      id,
      name,
      role: role as PersonRole,
    }));
  }

  private async byToken(token: string): Promise<Identity> {
    const holder = await this.parts.tokens.holder(hashOf(token));
    if (holder === null)
      throw new NotSignedInError('This API token is not valid: unknown, expired or revoked.');
    const identity = identityOf(holder, 'token');
    const granted = [...identity.abilities].filter((ability) => holder.scopes.includes(ability));
    return { ...identity, abilities: new Set<Ability>(granted) };
  }

  /** Whether the identity may see a finding; one that does not exist is for the caller to miss. */
  async seesFinding(identity: Identity, findingId: string): Promise<boolean> {
    if (identity.sites === null) return true;
    const site = await this.parts.people.siteOf('finding', findingId);
    return site === null || seesSite(identity, site);
  }

  /** The same of a diagnosis. */
  async seesDiagnosis(identity: Identity, diagnosisId: string): Promise<boolean> {
    if (identity.sites === null) return true;
    const site = await this.parts.people.siteOf('diagnosis', diagnosisId);
    return site === null || seesSite(identity, site);
  }
}

/** @param openId the session was begun at a provider, whose own second factor counts */
export function identityOf(person: StoredPerson, by: Identity['by'], openId = false): Identity {
  const needed = by === 'session' && !openId && person.secondFactorNeeded && !person.secondFactor;
  return {
    personId: person.id,
    name: person.name,
    role: person.role as PersonRole,
    sites: person.sites,
    abilities: needed ? new Set() : abilitiesOf(person.role as PersonRole),
    secondFactor: needed ? 'needed' : person.secondFactor ? 'on' : 'none',
    by,
  };
}
