import { RateLimiterMemory } from 'rate-limiter-flexible';
import type { Database } from '../../storage/index.js';
import type { AuditRepository } from '../../storage/people/audit.repository.js';
import type { OpenIdRepository } from '../../storage/people/openid.repository.js';
import type { PersonRepository, StoredPerson } from '../../storage/people/person.repository.js';
import { NotKnownError } from '../../registry/fleet.service.js';
import type { AccessService } from '../access.service.js';
import { NotAllowedError, NotSignedInError, TooManyAttemptsError } from '../identity.js';
import type { PersonRole } from '../roles.js';
import { hashOf, newSecret } from '../sign-in/secrets.js';
import { networkOf } from '../sign-in/sign-in-limits.js';
import type { SignInService, StartedSession } from '../sign-in/sign-in.service.js';
import type { OpenIdClaims, OpenIdProvider } from './provider.js';

export interface OpenIdParts {
  database: Database;
  people: PersonRepository;
  openIds: OpenIdRepository;
  audit: AuditRepository;
  access: AccessService;
  signIn: SignInService;
  /** Null: nobody signs in by OpenID Connect. */
  provider: OpenIdProvider | null;
  /** Called with what went wrong at the provider, for the log. */
  failed: (error: unknown) => void;
}

/** How long somebody may take at the provider. */
const validFor_s = 600;
/** Sign-ins begun from one network in that time. */
const perNetwork = 60;

/** Sign-in by an OpenID provider. */
export class OpenIdService {
  private readonly begun = new RateLimiterMemory({ points: perNetwork, duration: validFor_s });

  constructor(private readonly parts: OpenIdParts) {}

  /** How the provider is called on the button; null: there is none. */
  get name(): string | null {
    return this.parts.provider?.config.name ?? null;
  }

  /** Where the browser has to go, and the secret that binds the answer to it. */
  async begin(returnTo: string, address: string): Promise<{ location: string; browser: string }> {
    const provider = this.provider();
    await this.begun.consume(networkOf(address)).catch(() => {
      throw new TooManyAttemptsError(validFor_s);
    });
    const { location, ...attempt } = await this.atProvider(() => provider.begin());
    const browser = newSecret();
    await this.parts.openIds.begin(hashOf(browser), { ...attempt, returnTo: pathOf(returnTo) }, validFor_s);
    return { location, browser };
  }

  /** Who came back from the provider is signed in where there is an account for them. */
  async finish(
    query: string,
    browser: string | undefined,
    address: string,
  ): Promise<{ started: StartedSession; returnTo: string }> {
    const provider = this.provider();
    const attempt = browser === undefined ? null : await this.parts.openIds.take(hashOf(browser));
    if (attempt === null) throw new NotSignedInError('This sign-in was not begun here, or its time is over.');
    const claims = await this.atProvider(() => provider.finish(query, attempt));
    const person = await this.admit(claims, address);
    const started = await this.parts.signIn.begin(person, { openId: true, address });
    return { started, returnTo: attempt.returnTo };
  }

  /** Where the browser goes to end the session at the provider too. */
  async signOutAddress(): Promise<string | null> {
    return (await this.parts.provider?.signOutAddress().catch(() => null)) ?? null;
  }

  private provider(): OpenIdProvider {
    if (this.parts.provider === null) throw new NotKnownError('Nobody signs in by OpenID Connect here.');
    return this.parts.provider;
  }

  private async atProvider<Result>(work: () => Promise<Result>): Promise<Result> {
    try {
      return await work();
    } catch (error) {
      this.parts.failed(error);
      throw new NotSignedInError('The sign-in at the provider did not succeed.');
    }
  }

  private async admit(claims: OpenIdClaims, address: string): Promise<StoredPerson> {
    const { database, audit, access } = this.parts;
    const takesRoles = this.parts.provider?.config.roles != null;
    const role = this.roleOf(claims);
    const person = await database.transaction(async (client) => {
      if (takesRoles && role === null) return null;
      const known = await this.parts.openIds.person(claims.issuer, claims.subject, client);
      const found = known ?? (await this.tied(claims, role, client));
      if (found === null || !found.active || found.invented) return null;
      if (role === null || role === found.role) return found;
      return this.withRole(found, role, client);
    });
    const who = claims.verifiedEmail ?? 'unknown';
    if (person === null) {
      await audit.add({ personId: null, who, action: 'sign-in by OpenID refused', address });
      throw new NotAllowedError('There is no account for you here. An administrator can make one.');
    }
    access.accountMade();
    await audit.add({ personId: person.id, who: person.name, action: 'signed in by OpenID', address });
    return person;
  }

  /** The role that the provider gives; null: it gives none, or roles are not taken from it. */
  private roleOf({ roleValues }: OpenIdClaims): PersonRole | null {
    const roles = this.parts.provider?.config.roles ?? null;
    return roles?.ofValue.find(([value]) => roleValues.includes(value))?.[1] ?? null;
  }

  /** The account with the address that the provider vouches for, or a new one where the provider gives a role. */
  private async tied(
    { issuer, subject, verifiedEmail, name }: OpenIdClaims,
    role: PersonRole | null,
    client: Parameters<OpenIdRepository['tie']>[3],
  ): Promise<StoredPerson | null> {
    const { people, openIds, audit } = this.parts;
    if (verifiedEmail === null) return null;
    let person = await people.byEmail(verifiedEmail);
    if (person === null) {
      if (role === null) return null;
      const id = await people.add(
        { name: name ?? verifiedEmail, email: verifiedEmail, role, siteIds: null, passwordHash: null },
        client,
      );
      await audit.add(
        { personId: id, who: verifiedEmail, action: 'made the account by OpenID', detail: { role } },
        client,
      );
      person = (await people.byId(id, client))!;
    }
    // An account that belongs to another identity of the provider is not handed to one that has its address now.
    return (await openIds.tie(issuer, subject, person.id, client)) ? person : null;
  }

  private async withRole(
    person: StoredPerson,
    role: PersonRole,
    client: Parameters<OpenIdRepository['tie']>[3],
  ): Promise<StoredPerson> {
    const { people, audit } = this.parts;
    // Whoever alone can administer stays able to, whatever the provider says.
    if (person.role === 'administrator' && (await people.otherAdministrators(person.id, client)) === 0)
      return person;
    await people.setRole(person.id, role, client);
    await audit.add(
      {
        ...{ personId: person.id, who: person.name, action: 'got the role that OpenID gives' },
        detail: { before: person.role, after: role },
      },
      client,
    );
    return { ...person, role };
  }
}

/** A path of this server; anything else leads to the round. */
export const pathOf = (text: string): string => (/^\/(?![/\\])[^\\\s]*$/.test(text) ? text : '/');
