import { z } from 'zod';
import { instant } from '../common.js';
import { abilities, personRoles } from '../../../people/roles.js';

export const personRoleSchema = z.enum(personRoles).meta({ id: 'PersonRole' });

/** A password is measured by the service, so that the reason can be said in words. */
const password = z.string().min(1).max(1024);
const email = z.string().trim().min(3).max(254);
const name = z.string().trim().min(1).max(100);

export const personReferenceSchema = z
  .object({ id: z.number(), name: z.string(), role: personRoleSchema })
  .meta({ id: 'PersonReference' });

export const sessionSchema = z
  .object({
    mode: z
      .enum(['accounts', 'demo', 'set-up'])
      .describe(
        'accounts: people sign in; demo: this machine goes on as an invented person; set-up: no account has been made yet, ' +
          'whoever is at this machine may read',
      ),
    openId: z
      .string()
      .nullable()
      .describe('How the OpenID provider is called that people may sign in by; null: there is none'),
    person: z
      .object({
        id: z.number().nullable().describe('null: nobody by name'),
        name: z.string(),
        role: personRoleSchema,
        sites: z
          .array(z.string())
          .nullable()
          .describe('Keys of the sites this person is limited to; null: all'),
        abilities: z.array(z.enum(abilities)),
        secondFactor: z
          .enum(['none', 'on', 'needed'])
          .describe('needed: the role needs one, and nothing else can be done before it is set up'),
      })
      .nullable()
      .describe('null: nobody is signed in'),
    switchTo: z.array(personReferenceSchema).describe('In the demo: the invented people'),
  })
  .meta({ id: 'Session' });

export const signedOutSchema = z
  .object({
    goOnTo: z
      .string()
      .nullable()
      .describe('Address at the OpenID provider that ends its session too; null: none'),
  })
  .meta({ id: 'SignedOut' });
export const openIdQuerySchema = z.object({
  to: z.string().max(2000).optional().describe('Path of the page to go on to'),
});
const code = z.string().trim().min(1).max(100);
export const signInSchema = z
  .object({
    email,
    password,
    code: code
      .optional()
      .describe('Of the second factor, or a recovery code; asked for by 401 with `code` in `errors`'),
  })
  .meta({ id: 'SignIn' });
export const switchSchema = z.object({ person: z.number().int() }).meta({ id: 'PersonSwitch' });
export const passwordChangeSchema = z
  .object({ current: password, wanted: password })
  .meta({ id: 'PasswordChange' });
export const passwordShownSchema = z.object({ password }).meta({ id: 'PasswordShown' });
export const bothShownSchema = z.object({ password, code }).meta({ id: 'PasswordAndCodeShown' });
export const codeSchema = z.object({ code }).meta({ id: 'Code' });
export const enrolmentSchema = z
  .object({
    secret: z.string().describe('Base32, to be typed into an authenticator'),
    address: z.string().describe('The same as an otpauth address, for a QR code'),
  })
  .meta({ id: 'SecondFactorEnrolment' });
export const recoveryCodesSchema = z
  .object({ recoveryCodes: z.array(z.string()).describe('Each works once; shown here and never again') })
  .meta({ id: 'RecoveryCodes' });
export const recoveryCodesLeftSchema = z.object({ left: z.number() }).meta({ id: 'RecoveryCodesLeft' });
export const confirmedSecondFactorSchema = z
  .object({ session: sessionSchema, ...recoveryCodesSchema.shape })
  .meta({ id: 'ConfirmedSecondFactor' });
export const secondFactorRuleSchema = z
  .object({ roles: z.array(personRoleSchema).describe('Whose accounts with a password must have one') })
  .meta({ id: 'SecondFactorRule' });

export const ownSessionsSchema = z
  .object({
    sessions: z.array(
      z
        .object({
          id: z.number(),
          startedAt: instant,
          usedAt: instant,
          address: z.string().nullable().describe('Network address that it was begun from'),
          openId: z.boolean(),
          own: z.boolean().describe('The one that asks'),
        })
        .meta({ id: 'OwnSession' }),
    ),
  })
  .meta({ id: 'OwnSessions' });

export const invitationLookSchema = z
  .object({ token: z.string().min(1).max(200) })
  .meta({ id: 'InvitationLook' });

export const invitationSchema = z
  .object({
    kind: z.enum(['account', 'password']).describe('Makes an account, or sets a new password'),
    name: z.string().nullable(),
    email: z.string().nullable(),
  })
  .meta({ id: 'Invitation' });

export const joinSchema = z
  .object({
    token: z.string().min(1).max(200),
    password,
    name: name.optional().describe('Where the invitation does not say it'),
    email: email.optional().describe('Where the invitation does not say it'),
  })
  .meta({ id: 'Joining' });

export const personFields = { name, email };
