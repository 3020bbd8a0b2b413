import type { CanActivate, ExecutionContext } from '@nestjs/common';
import type { Reflector } from '@nestjs/core';
import type { AccessService } from '../../people/access.service.js';
import { NotAllowedError, NotSignedInError, seesSite, type Identity } from '../../people/identity.js';
import { accessKey, type Access, type IdentifiedRequest } from './allows.js';
import { OutsideSitesError } from '../errors.js';
import type { RequestLimits } from './request-limits.js';
import { isAtThisMachine, type Place } from './at-this-machine.js';
import { sessionOf } from './cookies.js';
import { requireOwnOrigin } from './own-origin.js';

const reading = new Set(['GET', 'HEAD', 'OPTIONS']);

/** Lets a request through when whoever asks may make it, by role and by site. */
export class AccessGuard implements CanActivate {
  constructor(
    private readonly reflector: Reflector,
    private readonly access: AccessService,
    private readonly place: Place,
    private readonly limits: RequestLimits,
  ) {}

  async canActivate(context: ExecutionContext): Promise<boolean> {
    const request = context.switchToHttp().getRequest<IdentifiedRequest>();
    const isReading = reading.has(request.method);
    const rule =
      this.reflector.get<Access | undefined>(accessKey, context.getHandler()) ??
      ({ needs: isReading ? 'read' : 'administer' } satisfies Access);
    if (rule.needs === null && isReading && !wantsIdentity(request)) return true;
    if (rule.atThisMachine === true && isReading && isAtThisMachine(request, this.place)) return true;
    const bearer = /^Bearer (\S+)$/.exec(request.headers.authorization ?? '')?.[1];
    // A browser sends cookies, and this machine its place, without being asked by our page; a token it does not.
    if (!isReading && bearer === undefined) requireOwnOrigin(request, this.place);
    const credentials = {
      bearer,
      session: sessionOf(request),
      atThisMachine: isAtThisMachine(request, this.place),
    };
    request.identifyAgain = () => this.access.identify(credentials);
    request.identity = await request.identifyAgain();
    if (rule.needs === null) return true;
    if (request.identity === null) throw new NotSignedInError('Sign in first.');
    await this.limits.take(request.identity);
    if (rule.beforeSecondFactor === true && request.identity.secondFactor === 'needed') return true;
    if (!request.identity.abilities.has(rule.needs)) throw notAllowed(request.identity);
    await this.requireSite(request, request.identity, rule);
    return true;
  }

  /** What lies outside a person's sites is answered as if it did not exist. */
  private async requireSite(
    request: IdentifiedRequest,
    identity: Identity,
    { scope }: Access,
  ): Promise<void> {
    if (identity.sites === null || scope === 'filtered' || scope === 'no-site') return;
    const { site, unit, id = '' } = request.params as Record<string, string | undefined>;
    if (site !== undefined) {
      if (!seesSite(identity, site))
        throw new OutsideSitesError(
          unit === undefined ? `There is no site ${site}.` : `There is no unit ${site}/${unit}.`,
        );
    } else if (scope === 'finding') {
      if (!(await this.access.seesFinding(identity, id)))
        throw new OutsideSitesError(`There is no finding ${id}.`);
    } else if (scope === 'diagnosis') {
      if (!(await this.access.seesDiagnosis(identity, id)))
        throw new OutsideSitesError(`There is no diagnosis ${id}.`);
    } else throw new NotAllowedError('This covers all sites, and your account is limited to some of them.');
  }
}

/** Health is asked all the time, and before the store can answer; only the session's own routes need to know who asks. */
const wantsIdentity = (request: IdentifiedRequest): boolean => request.path !== '/api/health';

const notAllowed = (identity: Identity): NotAllowedError =>
  new NotAllowedError(
    identity.secondFactor === 'needed'
      ? 'Your role needs a second factor: set it up first, on the page of your account.'
      : identity.by === 'this-machine'
        ? 'This needs an account. Open the one-time link that the server printed at its start.'
        : identity.by === 'token'
          ? 'The scopes of this API token, or the role of its owner, do not allow this.'
          : `The role ${identity.role} does not allow this.`,
  );
