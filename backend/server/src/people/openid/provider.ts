import * as oidc from 'openid-client';
import type { OpenIdConfig } from '../../config/index.js';

/** What a provider says of somebody who signed in there. */
export interface OpenIdClaims {
  issuer: string;
  subject: string;
  /** In lower case; null: none, or the provider does not vouch for it. */
  verifiedEmail: string | null;
  name: string | null;
  /** Values of the claim that gives the role. */
  roleValues: string[];
}

const patience_s = 10;

/** The OpenID provider of the settings: code flow with PKCE (RFC 7636), state and nonce. */
export class OpenIdProvider {
  private found: Promise<oidc.Configuration> | undefined;

  /** @param redirectUri where the provider sends browsers back to; it has to be registered there */
  constructor(
    readonly config: OpenIdConfig,
    private readonly redirectUri: string,
    private readonly home: string,
  ) {}

  async begin(): Promise<{ location: string; state: string; nonce: string; verifier: string }> {
    const provider = await this.discovered();
    const [state, nonce, verifier] = [oidc.randomState(), oidc.randomNonce(), oidc.randomPKCECodeVerifier()];
    const location = oidc.buildAuthorizationUrl(provider, {
      redirect_uri: this.redirectUri,
      scope: 'openid email profile',
      state,
      nonce,
      code_challenge: await oidc.calculatePKCECodeChallenge(verifier),
      code_challenge_method: 'S256',
    });
    return { location: location.href, state, nonce, verifier };
  }

  /** Exchanges the code of an answer. Signature, issuer, audience, times, state and nonce are checked by the library. */
  async finish(
    query: string,
    { state, nonce, verifier }: { state: string; nonce: string; verifier: string },
  ): Promise<OpenIdClaims> {
    const provider = await this.discovered();
    const answer = new URL(this.redirectUri);
    answer.search = query;
    const tokens = await oidc.authorizationCodeGrant(provider, answer, {
      ...{ expectedState: state, expectedNonce: nonce, pkceCodeVerifier: verifier },
      idTokenExpected: true,
    });
    const identity = tokens.claims()!;
    const asks = provider.serverMetadata().userinfo_endpoint !== undefined && !('email_verified' in identity);
    const more = asks ? await oidc.fetchUserInfo(provider, tokens.access_token, identity.sub) : {};
    const claims: Record<string, unknown> = { ...more, ...identity };
    const { email, name } = claims;
    return {
      issuer: identity.iss,
      subject: identity.sub,
      verifiedEmail:
        claims.email_verified === true && typeof email === 'string' ? email.trim().toLowerCase() : null,
      name: typeof name === 'string' && name.trim() !== '' ? name.trim().slice(0, 100) : null,
      roleValues: this.config.roles === null ? [] : textsOf(claims[this.config.roles.claim]),
    };
  }

  /** Where a browser goes to sign out at the provider as well; null: the provider has no such page. */
  async signOutAddress(): Promise<string | null> {
    const provider = await this.discovered();
    if (provider.serverMetadata().end_session_endpoint === undefined) return null;
    return oidc.buildEndSessionUrl(provider, { post_logout_redirect_uri: this.home }).href;
  }

  /** Asked once, and again after a failure. The library refuses metadata of another issuer. */
  private discovered(): Promise<oidc.Configuration> {
    this.found ??= oidc
      .discovery(new URL(this.config.issuer), this.config.clientId, this.config.clientSecret, undefined, {
        timeout: patience_s,
        // The settings allow plain HTTP on this machine only.
        execute: this.config.issuer.startsWith('http:') ? [oidc.allowInsecureRequests] : [],
      })
      .catch((error: unknown) => {
        this.found = undefined;
        throw error;
      });
    return this.found;
  }
}

const textsOf = (claim: unknown): string[] =>
  (Array.isArray(claim) ? claim : [claim]).filter((value) => typeof value === 'string');
