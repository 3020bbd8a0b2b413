import { z } from 'zod';
import { instant } from '../common.js';

const clock = z
  .string()
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'must be a time of day such as 07:30')
  .describe('Time of day, 00:00 to 23:59');

export const noticeWishSchema = z
  .object({
    digestAt: clock.nullable().describe('When the digest is due by the clock of `timeZone`; null: no digest'),
    digestDays: z
      .array(z.number().int().min(1).max(7))
      .min(1)
      .max(7)
      .describe('Days of the digest as ISO 8601 counts them: 1 is Monday'),
    alerts: z.boolean().describe('At once, when a unit needs a look today'),
    quiet: z
      .object({ from: clock, until: clock })
      .nullable()
      .describe('No alerts from one time to the other, also over midnight'),
    timeZone: z.string().min(1).max(64).describe('IANA name, such as Europe/Lisbon'),
    measures: z.enum(['si', 'inch-pound']),
  })
  .meta({ id: 'NoticeWish' });

export const sentMessageSchema = z
  .object({
    id: z.number(),
    kind: z.enum(['digest', 'alert', 'test', 'event']),
    to: z.string().describe('Name of the person or webhook'),
    about: z.string(),
    state: z.enum(['waiting', 'sent', 'given-up']),
    attempts: z.number(),
    lastError: z.string().nullable(),
    madeAt: instant,
    endedAt: instant.nullable().describe('When it was taken by the other side, or given up'),
    nextTry: instant.nullable().describe('After a failure'),
  })
  .meta({ id: 'SentMessage' });

export const ownNoticesSchema = z
  .object({
    email: z.string().nullable().describe('Where messages go; null: this account has no address'),
    mailServer: z.boolean().describe('Whether this server has a mail server to send by'),
    wish: noticeWishSchema,
    messages: z.array(sentMessageSchema).describe('The last ones to this person'),
  })
  .meta({ id: 'OwnNotices' });

export const mailStateSchema = z
  .object({
    server: z
      .object({
        host: z.string(),
        port: z.number(),
        tls: z.enum(['starttls', 'implicit', 'off']),
        user: z.string().nullable(),
        from: z.string(),
      })
      .nullable()
      .describe('As the settings have it; null: none is set, and nothing is sent'),
    waiting: z.number(),
    dead: z.number().describe('Given up'),
    lastSent: instant.nullable(),
  })
  .meta({ id: 'MailState' });

export const mailCheckSchema = z
  .object({ ok: z.boolean(), problem: z.string().nullable() })
  .meta({ id: 'MailCheck' });

export const deadLetterListSchema = z
  .object({ letters: z.array(sentMessageSchema).describe('Messages that were given up, the newest first') })
  .meta({ id: 'DeadLetterList' });
