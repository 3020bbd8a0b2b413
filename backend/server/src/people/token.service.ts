import { NotKnownError } from '../registry/fleet.service.js';
import type { ApiTokenRepository, StoredToken } from '../storage/people/api-token.repository.js';
import type { AuditRepository } from '../storage/people/audit.repository.js';
import { NotAllowedError, personOf, type Identity } from './identity.js';
import type { TokenScope } from './roles.js';
import { hashOf, newSecret } from './sign-in/secrets.js';

export interface TokenParts {
  tokens: ApiTokenRepository;
  audit: AuditRepository;
}

/** A person's own tokens for machines: each may do what its scopes name and its person may. */
export class TokenService {
  constructor(private readonly parts: TokenParts) {}

  list(identity: Identity): Promise<StoredToken[]> {
    return this.parts.tokens.of(personOf(identity));
  }

  /** The secret is returned here and never again. */
  async make(
    identity: Identity,
    wanted: { name: string; scopes: TokenScope[]; days: number },
  ): Promise<{ token: StoredToken; secret: string }> {
    if (identity.by === 'token') throw new NotAllowedError('A token cannot make tokens.');
    const beyond = wanted.scopes.find((scope) => !identity.abilities.has(scope));
    if (beyond !== undefined) throw new NotAllowedError(`Your role does not allow "${beyond}".`);
    const secret = newSecret();
    const token = await this.parts.tokens.add(personOf(identity), {
      ...{ name: wanted.name, scopes: wanted.scopes },
      ...{ hash: hashOf(secret), validFor_s: wanted.days * 86_400 },
    });
    await this.note(identity, 'made an API token', token.name, { id: token.id, scopes: token.scopes });
    return { token, secret };
  }

  async revoke(identity: Identity, id: number): Promise<void> {
    if (!(await this.parts.tokens.revoke(id, personOf(identity))))
      throw new NotKnownError('You have no such API token that is still valid.');
    await this.note(identity, 'revoked an API token', String(id), { id });
  }

  private note({ personId, name }: Identity, action: string, subject: string, detail: object): Promise<void> {
    return this.parts.audit.add({ personId, who: name, action, subject, detail });
  }
}
