import { createParamDecorator, SetMetadata, type ExecutionContext } from '@nestjs/common';
import type { Request } from 'express';
import type { Identity } from '../../people/identity.js';
import type { Ability } from '../../people/roles.js';

/**
 * How a route keeps to the sites that a person is limited to: `filtered`: its answer holds only these; `finding`,
 * `diagnosis`: its `:id` is one of these; `no-site`: it tells nothing of any site. A route with `:site` in its path
 * needs none of them, and any other without one answers only people who may see all sites.
 */
export type SiteScope = 'filtered' | 'finding' | 'diagnosis' | 'no-site';

export interface Access {
  /** Null: anybody, signed in or not. */
  needs: Ability | null;
  scope?: SiteScope;
  /** Also for whoever is at this machine, signed in or not. */
  atThisMachine?: boolean;
  /** Also for whoever has still to set up the second factor that their role needs. */
  beforeSecondFactor?: boolean;
}

export const accessKey = 'coldrounds:access';

/** What a route needs. Without it a route that reads needs `read`, and any other `administer`. */
export const Allows = (needs: Ability, scope?: SiteScope) =>
  SetMetadata(accessKey, { needs, scope } satisfies Access);

/** The same, and whoever is at this machine may call it as well, as programs that watch over the server there. */
export const AllowsAtThisMachine = (needs: Ability) =>
  SetMetadata(accessKey, { needs, atThisMachine: true } satisfies Access);

/** For everybody with an account, also before they have set up the second factor that their role needs. */
export const AllowsBeforeSecondFactor = () =>
  SetMetadata(accessKey, {
    ...{ needs: 'read', scope: 'no-site', beforeSecondFactor: true },
  } satisfies Access);

/** Anybody may call it. */
export const Public = () => SetMetadata(accessKey, { needs: null, scope: 'no-site' } satisfies Access);

export type IdentifiedRequest = Request & {
  identity?: Identity | null;
  /** Who asks, looked up anew: null once the session has ended. */
  identifyAgain?: () => Promise<Identity | null>;
};

/** Who asks; on a public route null where nobody is signed in. */
export const Who = createParamDecorator(
  (_: unknown, context: ExecutionContext) =>
    context.switchToHttp().getRequest<IdentifiedRequest>().identity ?? null,
);
