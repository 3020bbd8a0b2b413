import { z } from 'zod';
import { instant, siteReferenceSchema } from './common.js';
import { outcomeSchema, seenSchema } from './decisions/decision.js';
import { estimateSchema, moneySchema } from './energy.js';
import { causeSchema } from './round/diagnosis.js';
import { certaintySchema, findingSubjectSchema, urgencySchema } from './round/finding.js';

const unit = z.object({ key: z.string(), name: z.string() });

export const siteReportQuerySchema = z.object({
  from: z.iso
    .date()
    .optional()
    .describe('First calendar day at the site; default: 30 days with the last one'),
  to: z.iso.date().optional().describe('Last calendar day at the site; default: today'),
});

export const siteReportSchema = z
  .object({
    site: siteReferenceSchema,
    from: z.string(),
    to: z.string(),
    madeAt: instant,
    found: z
      .array(
        z
          .object({
            unit,
            cause: causeSchema,
            subject: findingSubjectSchema,
            urgency: urgencySchema,
            certainty: certaintySchema,
            cautions: z
              .array(z.string())
              .describe('What a person must mind besides the cautions of every visit'),
            openedAt: instant,
            endedAt: instant.nullable().describe('null: it is open'),
            plan: z
              .object({
                kind: z.enum(['open', 'handed-over', 'put-off', 'accepted', 'closed']),
                due: z.string().nullable().describe('Calendar day at the site'),
                back: z.boolean().describe('It is to be looked at again'),
              })
              .nullable()
              .describe('null: nothing was decided'),
          })
          .meta({ id: 'ReportedProblem' }),
      )
      .describe('Problems that began in these days or are still there, without those that are only watched'),
    visits: z.array(
      z
        .object({
          unit,
          at: instant,
          by: z.string(),
          subject: findingSubjectSchema,
          seen: seenSchema,
          done: z.string(),
          parts: z.array(z.string()),
          outcome: outcomeSchema.nullable(),
        })
        .meta({ id: 'ReportedVisit' }),
    ),
    closings: z.array(
      z
        .object({
          unit,
          module: z.number(),
          closings: z.number().describe('Closings in these days that could be judged'),
          proofs: z.number().describe('Those in which the valve was seen to shut on stored energy'),
          lastProofAt: instant.nullable(),
        })
        .meta({ id: 'ReportedModule' }),
    ),
    energy: z.object({
      givenAway_J_week: estimateSchema.nullable().describe('As of now'),
      givenAwayCost_week: moneySchema.nullable(),
      saved_J: estimateSchema.nullable().describe('In these days, since visits put things right'),
      savedCost: moneySchema.nullable(),
    }),
  })
  .meta({ id: 'SiteReport' });
