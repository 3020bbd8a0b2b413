import { z } from 'zod';
import { instant } from '../common.js';
import { messagesLostSchema, notJudgedCountsSchema } from './health.js';

export const unreadQuerySchema = z.object({
  page: z.coerce.number().int().min(1).default(1),
  reason: z.string().optional(),
});

export const unreadListSchema = z
  .object({
    total: z.number(),
    page: z.number(),
    pages: z.number(),
    reasons: z.array(z.object({ reason: z.string(), count: z.number() })),
    notKept: z
      .array(z.object({ source: z.string(), reason: z.string(), count: z.number() }))
      .describe('Messages beyond the daily quota of their sender and reason; they are counted and not kept'),
    messages: z.array(
      z
        .object({
          id: z.string(),
          receivedAt: instant,
          topic: z.string(),
          reason: z.string(),
          detail: z.string(),
          bytes: z.number(),
          preview: z
            .string()
            .describe('First 240 characters of a text payload; otherwise hexadecimal digits'),
          text: z.boolean(),
        })
        .meta({ id: 'UnreadMessage' }),
    ),
  })
  .meta({ id: 'UnreadList' });

export const missingTelemetrySchema = z
  .object({
    samples: z
      .number()
      .describe(
        'Samples of the last day that did not come although circuits are sampled evenly before and after',
      ),
    units: z.number(),
    sites: z.number(),
    worst: z
      .array(
        z
          .object({
            site: z.string(),
            unit: z.string(),
            missing: z.number(),
            hours: z
              .array(z.object({ from: instant, expected: z.number(), received: z.number() }))
              .describe('Hours with missing samples, all circuits of the unit together'),
          })
          .meta({ id: 'MissingOfUnit' }),
      )
      .describe('The units of which most is missing, 50 at most'),
    messagesLost: messagesLostSchema,
    notJudged: notJudgedCountsSchema,
  })
  .meta({ id: 'MissingTelemetry' });
