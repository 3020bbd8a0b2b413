import { z } from 'zod';
import { instant } from '../common.js';

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
