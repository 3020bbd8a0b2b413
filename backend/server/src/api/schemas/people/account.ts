import { z } from 'zod';
import { tokenScopes } from '../../../people/roles.js';
import { instant } from '../common.js';
import { personFields, personReferenceSchema, personRoleSchema } from './session.js';

const sites = z
  .array(z.string().min(1).max(200))
  .min(1)
  .max(10_000)
  .nullable()
  .describe('Keys of the sites this account is limited to; null: all');

export const accountSchema = z
  .object({
    id: z.number(),
    name: z.string(),
    email: z.string().nullable(),
    role: personRoleSchema,
    sites,
    invented: z.boolean().describe('One of the people of the demo'),
    active: z.boolean(),
    createdAt: instant,
    signedInAt: instant.nullable(),
    secondFactor: z.boolean().describe('One is asked for at sign-in'),
  })
  .meta({ id: 'Account' });

export const accountListSchema = z.object({ accounts: z.array(accountSchema) }).meta({ id: 'AccountList' });
export const peopleSchema = z.object({ people: z.array(personReferenceSchema) }).meta({ id: 'People' });

export const inviteSchema = z
  .object({ ...personFields, role: personRoleSchema, sites })
  .meta({ id: 'Invite' });
export const accountChangeSchema = z
  .object({
    name: personFields.name,
    role: personRoleSchema,
    sites,
    active: z.boolean(),
  })
  .meta({ id: 'AccountChange' });

export const oneTimeLinkSchema = z
  .object({ path: z.string().describe('Path of the page with the secret after #; it works once') })
  .meta({ id: 'OneTimeLink' });

export const apiTokenSchema = z
  .object({
    id: z.number(),
    name: z.string(),
    scopes: z.array(z.enum(tokenScopes)),
    createdAt: instant,
    expiresAt: instant,
    usedAt: instant.nullable(),
    revokedAt: instant.nullable(),
  })
  .meta({ id: 'ApiToken' });

export const apiTokenListSchema = z.object({ tokens: z.array(apiTokenSchema) }).meta({ id: 'ApiTokenList' });

export const apiTokenWishSchema = z
  .object({
    name: z.string().trim().min(1).max(100),
    scopes: z.array(z.enum(tokenScopes)).min(1),
    days: z.number().int().min(1).max(366).describe('How long it is valid'),
  })
  .meta({ id: 'ApiTokenWish' });

export const newApiTokenSchema = z
  .object({ token: apiTokenSchema, secret: z.string().describe('Shown here and never again') })
  .meta({ id: 'NewApiToken' });

export const auditQuerySchema = z.object({
  before: z.coerce
    .number()
    .int()
    .positive()
    .optional()
    .describe('`next` of the page before; left out: the newest'),
  limit: z.coerce.number().int().min(1).max(500).default(100),
});

export const auditLogSchema = z
  .object({
    entries: z.array(
      z
        .object({
          id: z.number(),
          at: instant,
          who: z.string(),
          action: z.string(),
          subject: z.string().nullable(),
          detail: z.record(z.string(), z.unknown()),
          address: z.string().nullable(),
        })
        .meta({ id: 'AuditEntry' }),
    ),
    next: z.number().nullable().describe('`before` of the next page; null: this is the last'),
  })
  .meta({ id: 'AuditLog' });
