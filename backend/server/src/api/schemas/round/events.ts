import { z } from 'zod';
import { progressSchema } from '../health/health.js';

export const eventQuerySchema = z.object({
  unit: z
    .string()
    .max(200)
    .optional()
    .describe('{siteKey}/{unitKey}: send the events of its readings and judgements as well'),
  since: z.coerce
    .number()
    .int()
    .min(0)
    .optional()
    .describe('Id of the last event received, if `Last-Event-ID` is not sent'),
});

const version = z.number().describe('Number of the newest change of the round');
const unit = z.string().describe('{siteKey}/{unitKey}');

/** Data of the server-sent events, by event type. */
export const eventSchemas = {
  connected: z.object({ version }),
  alive: z.object({}).describe('Every five seconds, so that silence means a lost connection'),
  'round-changed': z.object({ version, units: z.array(unit) }),
  'read-again': z
    .object({ version })
    .describe('Too many events were missed to be sent: read everything again'),
  progress: progressSchema,
  reading: z.object({ unit, circuit: z.number(), time_s: z.number() }),
  'unit-changed': z.object({ unit }),
};

export const liveEventSchema = z
  .object({
    connected: eventSchemas.connected.optional(),
    alive: eventSchemas.alive.optional(),
    roundChanged: eventSchemas['round-changed'].optional(),
    readAgain: eventSchemas['read-again'].optional(),
    progress: eventSchemas.progress.optional(),
    reading: eventSchemas.reading.optional(),
    unitChanged: eventSchemas['unit-changed'].optional(),
  })
  .meta({
    id: 'LiveEvent',
    description:
      'Not sent itself; lists the data of the event types `connected`, `alive`, `round-changed`, `read-again`, `progress`, `reading` and `unit-changed` of GET /api/events',
  });
