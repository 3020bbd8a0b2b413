import { queryOptions } from '@tanstack/react-query';
import { client, read } from './client.js';
import type { components } from './schema.js';

type Schemas = components['schemas'];
export type Session = Schemas['Session'];
export type Person = NonNullable<Session['person']>;
export type Ability = Person['abilities'][number];
export type PersonRole = Schemas['PersonRole'];
export type Account = Schemas['Account'];
export type ApiToken = Schemas['ApiToken'];
export type TokenScope = ApiToken['scopes'][number];

export const sessionQuery = queryOptions({
  queryKey: ['session'],
  queryFn: ({ signal }) => read(client.GET('/api/session', { signal })),
  staleTime: 60_000,
  // Everything else waits for it: who cannot be told now, as the server is starting, is asked for again.
  retry: true,
  retryDelay: 2_000,
});

export const peopleQuery = queryOptions({
  queryKey: ['people'],
  queryFn: ({ signal }) => read(client.GET('/api/people', { signal })),
  staleTime: 60_000,
});

export const accountsQuery = queryOptions({
  queryKey: ['accounts'],
  queryFn: ({ signal }) => read(client.GET('/api/accounts', { signal })),
});

export const tokensQuery = queryOptions({
  queryKey: ['tokens'],
  queryFn: ({ signal }) => read(client.GET('/api/tokens', { signal })),
});

export const auditQuery = (before: number | undefined) =>
  queryOptions({
    queryKey: ['audit-log', before ?? 'newest'],
    queryFn: ({ signal }) => read(client.GET('/api/audit-log', { params: { query: { before } }, signal })),
  });

export const ownSessionsQuery = queryOptions({
  queryKey: ['sessions'],
  queryFn: ({ signal }) => read(client.GET('/api/sessions', { signal })),
});

export const recoveryCodesQuery = queryOptions({
  queryKey: ['recovery-codes'],
  queryFn: ({ signal }) => read(client.GET('/api/session/second-factor/recovery-codes', { signal })),
});

export const secondFactorRuleQuery = queryOptions({
  queryKey: ['second-factor-rule'],
  queryFn: ({ signal }) => read(client.GET('/api/second-factor-rule', { signal })),
});

export const signIn = (body: { email: string; password: string; code?: string }) =>
  read(client.POST('/api/sign-in', { body }));
export const switchTo = (person: number) => read(client.POST('/api/session/person', { body: { person } }));
export const changePassword = (body: { current: string; wanted: string }) =>
  read(client.POST('/api/session/password', { body }));
export const lookAtInvitation = (token: string) =>
  read(client.POST('/api/invitations/look', { body: { token } }));
export const join = (body: { token: string; password: string; name?: string; email?: string }) =>
  read(client.POST('/api/invitations/join', { body }));
export const invite = (body: { name: string; email: string; role: PersonRole; sites: string[] | null }) =>
  read(client.POST('/api/accounts', { body }));
export const newPasswordLink = (id: number) =>
  read(client.POST('/api/accounts/{id}/link', { params: { path: { id } } }));
export const changeAccount = (
  id: number,
  body: { name: string; role: PersonRole; sites: string[] | null; active: boolean },
) => read(client.PATCH('/api/accounts/{id}', { params: { path: { id } }, body }));
export const beginSecondFactor = (password: string) =>
  read(client.POST('/api/session/second-factor', { body: { password } }));
export const confirmSecondFactor = (code: string) =>
  read(client.POST('/api/session/second-factor/confirm', { body: { code } }));
export const renewRecoveryCodes = (body: { password: string; code: string }) =>
  read(client.POST('/api/session/second-factor/recovery-codes', { body }));
export const turnSecondFactorOff = (body: { password: string; code: string }) =>
  read(client.POST('/api/session/second-factor/off', { body }));
export const setSecondFactorRule = (roles: PersonRole[]) =>
  read(client.PUT('/api/second-factor-rule', { body: { roles } }));
export const makeToken = (body: { name: string; scopes: TokenScope[]; days: number }) =>
  read(client.POST('/api/tokens', { body }));

/** For calls that answer nothing. */
export async function done(pending: Promise<{ error?: unknown; response: Response }>): Promise<void> {
  const { response, ...rest } = await pending;
  if (!response.ok) await read(Promise.resolve({ ...rest, response }));
}
/** Where to go on to: the page of the OpenID provider that ends the session there, or null. */
export const signOut = () => read(client.POST('/api/sign-out'));
export const takeSecondFactorAway = (id: number) =>
  done(client.DELETE('/api/accounts/{id}/second-factor', { params: { path: { id } } }));
export const endSessionsOf = (id: number) =>
  done(client.POST('/api/accounts/{id}/sign-out', { params: { path: { id } } }));
export const endSession = (id: number) =>
  done(client.DELETE('/api/sessions/{id}', { params: { path: { id } } }));
export const revokeToken = (id: number) =>
  done(client.DELETE('/api/tokens/{id}', { params: { path: { id } } }));
