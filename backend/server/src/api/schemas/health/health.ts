import { z } from 'zod';
import { instant } from '../common.js';

export const healthSchema = z
  .object({
    status: z.enum(['ok', 'starting', 'degraded']),
    database: z.enum(['ok', 'down']),
    broker: z.enum(['ok', 'down', 'unused']).describe('unused: this process does not ingest'),
    storage: z.enum(['timescaledb', 'postgresql']).nullable(),
    roles: z.array(z.enum(['ingest', 'assess', 'api'])),
    version: z.string(),
    startedAt: instant,
    notJudged: z
      .object({ windows: z.number(), closings: z.number(), circuits: z.number(), modules: z.number() })
      .nullable()
      .describe(
        'What could not be judged, kept with its reason on the page of its unit; null: the database is down',
      ),
    messagesLost: z
      .array(
        z.object({
          broker: z.string(),
          lost: z.number(),
          firstAt: instant.nullable(),
          lastAt: instant.nullable(),
        }),
      )
      .nullable()
      .describe('Messages that a broker says it dropped because one of its queues was full'),
  })
  .meta({ id: 'Health' });

export const progressSchema = z
  .object({
    readings: z.number().describe('Rows of circuit readings stored, by the database’s running statistics'),
    windowsDue: z.number().describe('Windows touched by telemetry and not judged since'),
    windowsJudged: z.number(),
    closings: z.number(),
    modulesDue: z.number(),
    newestReading: instant.nullable(),
    oldestReading: instant.nullable(),
    unread: z.number(),
    readingsPerSecond: z.number().describe('Stored over the last half minute'),
    settled: z
      .boolean()
      .describe('No history is waiting to be judged: what is due is only the window that is running now'),
  })
  .meta({ id: 'Progress' });
