import { z } from 'zod';
import { instant } from '../common.js';
import { gatewaysRefusedSchema } from '../registry/gateway.js';

export const notJudgedCountsSchema = z.object({
  windows: z.number(),
  closings: z.number(),
  circuits: z.number(),
  modules: z.number(),
});

export const messagesLostSchema = z
  .array(
    z.object({
      broker: z.string(),
      lost: z.number(),
      firstAt: instant.nullable(),
      lastAt: instant.nullable(),
    }),
  )
  .describe('Messages that the broker reports as dropped because one of its queues was full');

export const healthSchema = z
  .object({
    status: z.enum(['ok', 'starting', 'degraded']),
    database: z.enum(['ok', 'down']),
    broker: z.enum(['ok', 'down', 'unused']).describe('unused: this process does not ingest'),
    storage: z.enum(['timescaledb', 'postgresql']).nullable(),
    roles: z.array(z.enum(['ingest', 'assess', 'api'])),
    version: z.string(),
    startedAt: instant,
    notJudged: notJudgedCountsSchema
      .nullable()
      .describe(
        'Windows and closings whose judgement failed; the page of the unit gives the reason. null: the database is down',
      ),
    messagesLost: messagesLostSchema.nullable(),
    samplesMissing: z
      .object({ samples: z.number(), units: z.number(), sites: z.number() })
      .nullable()
      .describe(
        'Samples of the last day that did not come although circuits are sampled evenly before and after; null: the database is down',
      ),
    unreadMessages: z
      .array(z.object({ reason: z.string(), kept: z.number(), notKept: z.number() }))
      .nullable()
      .describe('Messages of the last day that could not be read, by the reason; null: the database is down'),
    gatewaysRefused: gatewaysRefusedSchema
      .nullable()
      .describe(
        'What the embedded broker refused clients, by the reason, where the last time was in the last day; null: the database is down',
      ),
  })
  .meta({ id: 'Health' });

export const progressSchema = z
  .object({
    readings: z.number().describe('Rows of circuit readings stored, from the statistics of the database'),
    windowsDue: z.number().describe('Windows with new telemetry that is not judged yet'),
    windowsJudged: z.number(),
    closings: z.number(),
    modulesDue: z.number(),
    newestReading: instant.nullable(),
    oldestReading: instant.nullable(),
    unread: z.number(),
    readingsPerSecond: z.number().describe('Rate of storage over the last half minute'),
    settled: z.boolean().describe('Whether all history has been judged: only the present window is due'),
    upToDate: z
      .boolean()
      .describe(
        'Whether besides nothing waits that follows from it: findings, diagnoses, the order of the round',
      ),
  })
  .meta({ id: 'Progress' });
