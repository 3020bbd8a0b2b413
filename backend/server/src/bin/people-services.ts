import type { Provider } from '@nestjs/common';
import { Place } from '../api/access/at-this-machine.js';
import { SessionAnswers } from '../api/access/session-answers.js';
import { isLoopback, type Config } from '../config/index.js';
import { AccessService } from '../people/access.service.js';
import { AccountService } from '../people/account.service.js';
import { AuditService } from '../people/audit.service.js';
import { OpenIdProvider } from '../people/openid/provider.js';
import { OpenIdService } from '../people/openid/openid.service.js';
import { CodeCheck } from '../people/second-factor/code-check.js';
import { CodeLimits } from '../people/second-factor/code-limits.js';
import { SecondFactorService } from '../people/second-factor/second-factor.service.js';
import { PasswordHasher } from '../people/sign-in/passwords.js';
import { SignInLimits } from '../people/sign-in/sign-in-limits.js';
import { SignInService } from '../people/sign-in/sign-in.service.js';
import { TokenService } from '../people/token.service.js';
import type { Database } from '../storage/index.js';
import { ApiTokenRepository } from '../storage/people/api-token.repository.js';
import { AuditRepository } from '../storage/people/audit.repository.js';
import { InvitationRepository } from '../storage/people/invitation.repository.js';
import { OpenIdRepository } from '../storage/people/openid.repository.js';
import { PersonRepository } from '../storage/people/person.repository.js';
import { SecondFactorRepository } from '../storage/people/second-factor.repository.js';
import { SessionRepository } from '../storage/people/session.repository.js';

/** Who may come in and what they may do, put together. */
export function createPeople(
  config: Pick<Config, 'host' | 'port' | 'demo' | 'publicUrl' | 'openId'>,
  database: Database,
  failed: (error: unknown) => void,
) {
  const repositories = {
    database,
    people: new PersonRepository(database),
    sessions: new SessionRepository(database),
    invitations: new InvitationRepository(database),
    tokens: new ApiTokenRepository(database),
    audit: new AuditRepository(database),
    secondFactors: new SecondFactorRepository(database),
  };
  const hasher = new PasswordHasher();
  const limits = new SignInLimits();
  const codes = new CodeCheck({ ...repositories, limits: new CodeLimits() });
  const access = new AccessService({ ...repositories, demo: config.demo });
  const signIn = new SignInService({ ...repositories, access, hasher, limits, codes });
  const accounts = new AccountService({ ...repositories, access, hasher, signIn });
  const address = (config.publicUrl ?? `http://localhost:${config.port}`).replace(/\/$/, '');
  const openId = new OpenIdService({
    ...{ ...repositories, access, signIn, failed },
    openIds: new OpenIdRepository(database),
    provider:
      config.openId &&
      new OpenIdProvider(config.openId, `${address}/api/sign-in/openid/return`, `${address}/`),
  });
  const place = new Place(isLoopback(config.host), config.publicUrl);
  const providers: Provider[] = [
    { provide: OpenIdService, useValue: openId },
    { provide: Place, useValue: place },
    { provide: SessionAnswers, useValue: new SessionAnswers({ access, signIn, openId, place }) },
    { provide: AccessService, useValue: access },
    { provide: SignInService, useValue: signIn },
    { provide: AccountService, useValue: accounts },
    {
      provide: SecondFactorService,
      useValue: new SecondFactorService({ ...repositories, hasher, limits, codes, signIn }),
    },
    { provide: TokenService, useValue: new TokenService(repositories) },
    { provide: AuditService, useValue: new AuditService(repositories.audit) },
  ];
  return { ...repositories, access, accounts, providers };
}
