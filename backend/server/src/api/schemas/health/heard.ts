import { z } from 'zod';
import { instant } from '../common.js';
import { sparkplugNodeSchema } from '../registry/sparkplug.js';

const topic = z.object({
  topic: z.string(),
  stream: z.enum(['circuits', 'water', 'condenser', 'backup', 'closing', 'presence']),
  number: z.number().nullable(),
  messages: z.number(),
  perMinute: z.number().nullable().describe('Messages a minute; null: only one came so far'),
  names: z
    .array(
      z.object({
        name: z.string(),
        unit: z.string().nullable(),
        low: z.number().nullable().describe('Lowest value of the newest messages, as sent'),
        high: z.number().nullable(),
      }),
    )
    .describe('What its newest messages carry'),
});

export const heardListSchema = z
  .object({
    units: z.array(
      z
        .object({
          site: z.string(),
          unit: z.string(),
          siteKnown: z.boolean(),
          unitKnown: z.boolean().describe('The unit is registered, but not all of what it sends'),
          retired: z.boolean(),
          firstAt: instant,
          lastAt: instant,
          messages: z.number(),
          kept: z.number().describe('Kept until it is registered, to be read in then'),
          topics: z.array(topic.meta({ id: 'HeardTopic' })),
          told: z
            .object({
              circuits: z.array(z.number()),
              modules: z.array(z.number()),
              tandemCircuits: z.array(z.number()).describe('Circuits with two valves'),
              airCooled: z.boolean().describe('False: not told'),
              gauge: z
                .boolean()
                .describe('A pressure below zero came, so it is gauge pressure; false: not told'),
            })
            .describe('What the traffic tells of the unit'),
        })
        .meta({ id: 'HeardUnit' }),
    ),
    complete: z.boolean(),
    sparkplug: z
      .array(
        sparkplugNodeSchema.extend({
          metrics: z
            .array(z.object({ name: z.string(), unit: z.string().nullable() }))
            .describe('The first of those that it announced'),
        }),
      )
      .describe('Edge nodes and devices of Sparkplug B that no unit takes anything from'),
  })
  .meta({ id: 'HeardList' });
