import { z } from 'zod';
import { instant, siteReferenceSchema, unitReferenceSchema } from '../common.js';
import { findingSubjectSchema, statementSchema, urgencySchema } from './finding.js';

export const changeQuerySchema = z.object({
  since: z.iso.datetime({ offset: true }).describe('What the round of now is compared with'),
  page: z.coerce.number().int().min(1).max(100_000).default(1),
  limit: z.coerce
    .number()
    .int()
    .min(0)
    .max(200)
    .default(50)
    .describe('Units on one page; 0: only the counts'),
});

const maybeUrgency = urgencySchema.nullable();

export const changesSchema = z
  .object({
    since: instant,
    until: instant,
    judgingSince: instant.nullable().describe('When judging began; null: it has not'),
    known: z
      .boolean()
      .describe('false: judging began only after `since`, so all that was found since is new'),
    counts: z
      .object({ new: z.number(), worse: z.number(), better: z.number(), gone: z.number() })
      .describe('Units, by the urgency of their most urgent finding; `watch` asks nothing of anyone'),
    units: z.array(
      z
        .object({
          site: siteReferenceSchema,
          unit: unitReferenceSchema,
          change: z.enum(['new', 'worse', 'better', 'gone']),
          before: maybeUrgency,
          now: maybeUrgency,
          findings: z.array(
            z.object({
              id: z.string(),
              subject: findingSubjectSchema,
              headline: statementSchema,
              before: maybeUrgency.describe('null: it was not open then'),
              now: maybeUrgency.describe('null: it has ended'),
            }),
          ),
        })
        .meta({ id: 'ChangedUnit' }),
    ),
    page: z.number(),
    pages: z.number(),
  })
  .meta({ id: 'Changes' });
