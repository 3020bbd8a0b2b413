import { z } from 'zod';
import { progressSchema } from './health.js';

/** Data of the server-sent events, by event type. */
export const eventSchemas = {
  'round-changed': z.object({ units: z.array(z.string()).describe('{siteKey}/{unitKey}') }),
  progress: progressSchema,
  reading: z.object({ unit: z.string(), circuit: z.number(), time_s: z.number() }),
};

export const liveEventSchema = z
  .object({
    roundChanged: eventSchemas['round-changed'].optional(),
    progress: eventSchemas.progress.optional(),
    reading: eventSchemas.reading.optional(),
  })
  .meta({
    id: 'LiveEvent',
    description:
      'Never sent as such: lists the data of the event types `round-changed`, `progress` and `reading` of GET /api/events',
  });
