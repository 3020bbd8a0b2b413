import { z } from 'zod';
import { personRoles, type PersonRole } from '../people/roles.js';
import type { VariableProblem } from './secret-files.js';

/** The mail server that messages are sent by. */
export interface MailConfig {
  host: string;
  port: number;
  /** `starttls`: TLS is asked for and required; `implicit`: from the first byte; `off`: none. */
  tls: 'starttls' | 'implicit' | 'off';
  user?: string;
  password?: string;
  /** `Name <address>` or an address alone. */
  from: string;
}

/** The OpenID provider that people may sign in by. */
export interface OpenIdConfig {
  issuer: string;
  clientId: string;
  clientSecret: string;
  /** On the button. */
  name: string;
  /** Where a claim gives the role; null: only who has an account comes in. */
  roles: { claim: string; ofValue: [value: string, role: PersonRole][] } | null;
}

export const mailVariables = {
  SMTP_HOST: z.string().min(1).optional(),
  SMTP_PORT: z
    .string()
    .regex(/^\d{1,5}$/, 'must be a port number')
    .transform(Number)
    .optional(),
  SMTP_TLS: z
    .enum(['starttls', 'implicit', 'off'], { error: 'must be starttls, implicit or off' })
    .default('starttls'),
  SMTP_USER: z.string().optional(),
  SMTP_PASSWORD: z.string().optional(),
  SMTP_FROM: z
    .string()
    .regex(
      /^([^<>\r\n]*<[^\s<>@]+@[^\s<>@]+>|[^\s<>@]+@[^\s<>@]+)$/,
      'must be an e-mail address, or Name <address>',
    )
    .optional(),
};

export const openIdVariables = {
  OPENID_ISSUER: z
    .string()
    .refine((text) => /^https?:$/.test(protocolOf(text)), {
      error: 'must be an address that begins with https://',
    })
    .optional(),
  OPENID_CLIENT_ID: z.string().optional(),
  OPENID_CLIENT_SECRET: z.string().optional(),
  OPENID_NAME: z.string().min(1).max(60).default('your organisation'),
  OPENID_ROLE_CLAIM: z.string().optional(),
  OPENID_ROLES: z.string().optional(),
};

function protocolOf(text: string): string {
  try {
    return new URL(text).protocol;
  } catch {
    return '';
  }
}

type Read<Variables extends z.ZodRawShape> = z.output<z.ZodObject<Variables>>;

const isThisMachine = (host: string): boolean =>
  host === 'localhost' || host === '::1' || host === '[::1]' || /^127(\.\d{1,3}){3}$/.test(host);

/** Null: no mail server is set, and nothing is sent. */
export function mailOf(read: Read<typeof mailVariables>, problems: VariableProblem[]): MailConfig | null {
  const { SMTP_HOST: host, SMTP_TLS: tls, SMTP_FROM: from, SMTP_USER: user } = read;
  if (host === undefined) return null;
  if (from === undefined) problems.push({ variable: 'SMTP_FROM', reason: 'must be set where SMTP_HOST is' });
  if (user !== undefined && read.SMTP_PASSWORD === undefined)
    problems.push({ variable: 'SMTP_PASSWORD', reason: 'must be set where SMTP_USER is' });
  if (tls === 'off' && user !== undefined && !isThisMachine(host))
    problems.push({
      variable: 'SMTP_TLS',
      reason: 'must not be off where a password goes to another machine',
    });
  const port = read.SMTP_PORT ?? (tls === 'implicit' ? 465 : 587);
  return { host, port, tls, user, password: read.SMTP_PASSWORD, from: from ?? '' };
}

/** Null: nobody signs in by OpenID Connect. */
export function openIdOf(
  read: Read<typeof openIdVariables>,
  problems: VariableProblem[],
): OpenIdConfig | null {
  const { OPENID_ISSUER: issuer, OPENID_CLIENT_ID: clientId, OPENID_CLIENT_SECRET: clientSecret } = read;
  if (issuer === undefined) return null;
  const complain = (variable: string, reason: string) => problems.push({ variable, reason });
  if (clientId === undefined) complain('OPENID_CLIENT_ID', 'must be set where OPENID_ISSUER is');
  if (clientSecret === undefined) complain('OPENID_CLIENT_SECRET', 'must be set where OPENID_ISSUER is');
  const url = new URL(issuer);
  if (url.protocol === 'http:' && !isThisMachine(url.hostname))
    complain('OPENID_ISSUER', 'must begin with https://');
  const claim = read.OPENID_ROLE_CLAIM;
  if ((claim === undefined) !== (read.OPENID_ROLES === undefined))
    complain('OPENID_ROLES', 'and OPENID_ROLE_CLAIM must be set together');
  const ofValue = (read.OPENID_ROLES ?? '')
    .split(',')
    .map((pair) => pair.trim())
    .filter((pair) => pair !== '')
    .map((pair): [string, PersonRole] => {
      const at = pair.lastIndexOf('=');
      const role = personRoles.find((name) => name === pair.slice(at + 1).trim());
      if (at < 1 || role === undefined)
        complain(
          'OPENID_ROLES',
          `must have the form value=role,..., with the roles ${personRoles.join(', ')}`,
        );
      return [pair.slice(0, at).trim(), role ?? 'reader'];
    });
  return {
    issuer,
    clientId: clientId ?? '',
    clientSecret: clientSecret ?? '',
    name: read.OPENID_NAME,
    roles: claim === undefined ? null : { claim, ofValue },
  };
}
