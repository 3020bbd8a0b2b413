import { causes } from '@coldrounds/core';
import { z } from 'zod';
import { decisionKinds, handQuantities } from '../../../decisions/decision.js';
import { instant } from '../common.js';
import { findingSubjectSchema, statementSchema } from '../round/finding.js';

const day = z.iso.date().describe('Calendar day at the site of the unit');
const words = (most: number) => z.string().trim().min(1).max(most);
const version = z
  .number()
  .int()
  .min(0)
  .describe('`version` of the plan that whoever decides has seen; 0: none');
const key = z.uuid().optional().describe('Made by the sender, so that the same sent twice counts once');

export const seenSchema = z
  .discriminatedUnion('kind', [
    z.object({ kind: z.literal('cause'), cause: z.enum(causes) }),
    z.object({ kind: z.literal('other'), words: words(500) }),
    z.object({ kind: z.literal('nothing') }),
  ])
  .meta({ id: 'SeenOnVisit' });

const handReading = {
  circuit: z.number().int().min(1).max(99),
  quantity: z.enum(handQuantities),
  value: z.number().describe('Pa or K'),
  at_s: z.number().describe('When it was read, seconds since the Unix epoch'),
};

export const decisionWishSchema = z
  .discriminatedUnion('kind', [
    z.object({
      ...{ kind: z.literal('hand-over'), version, key, assignee: z.number().int(), due: day },
      reason: words(2000).nullable().optional(),
    }),
    z.object({
      ...{ kind: z.literal('put-off'), version, key, reason: words(2000) },
      until: day.nullable().describe('null: until it gets more urgent'),
    }),
    z.object({ kind: z.literal('accept'), version, key, review: day, reason: words(2000) }),
    z.object({
      ...{ kind: z.literal('close'), version, key, seen: seenSchema, done: words(4000) },
      parts: z.array(words(200)).max(50).optional(),
      readings: z
        .array(
          z.object({
            ...handReading,
            reference: z.enum(['gauge', 'absolute']).optional().describe('Of a pressure; left out: absolute'),
          }),
        )
        .max(50)
        .optional(),
    }),
    z.object({ kind: z.literal('note'), key, text: words(4000) }),
  ])
  .meta({ id: 'DecisionWish' });

const person = z.object({ id: z.number(), name: z.string() });

const comparedReadingSchema = z
  .object({
    ...handReading,
    telemetry: z.number().nullable().describe('Mean of the samples within a minute'),
    samples: z.number(),
    difference: z.number().nullable().describe('Telemetry less the value read by hand'),
    uncertainty: z.number().nullable().describe('Expanded uncertainty of the difference, coverage factor 2'),
    verdict: z.enum(['agrees', 'differs', 'no-telemetry']),
  })
  .meta({ id: 'ComparedReading' });

const decidedSchema = z
  .discriminatedUnion('kind', [
    z.object({
      ...{ kind: z.literal('hand-over'), assignee: z.number(), due: z.string() },
      reason: z.string().nullable(),
    }),
    z.object({ kind: z.literal('put-off'), until: z.string().nullable(), reason: z.string() }),
    z.object({ kind: z.literal('accept'), review: z.string(), reason: z.string() }),
    z.object({
      ...{ kind: z.literal('close'), seen: seenSchema, done: z.string(), parts: z.array(z.string()) },
      readings: z.array(comparedReadingSchema),
    }),
    z.object({ kind: z.literal('note'), text: z.string() }),
  ])
  .meta({ id: 'Decided' });

export const outcomeSchema = z
  .discriminatedUnion('kind', [
    z.object({ kind: z.literal('watching') }),
    z.object({ kind: z.literal('gone'), since_s: z.number() }),
    z.object({ kind: z.literal('unchanged'), since_s: z.number() }),
    z.object({ kind: z.literal('came-back'), after_s: z.number() }),
  ])
  .meta({ id: 'VisitOutcome' });

export const standingSchema = z
  .object({
    finding: z.string(),
    version: z.number(),
    kind: z.enum(['open', 'handed-over', 'put-off', 'accepted', 'closed']),
    back: z
      .enum(['date', 'urgency', 'unchanged'])
      .nullable()
      .describe('It was put off, accepted or closed and is to be looked at again, because of this'),
    overdue: z.boolean(),
    deferred: z.boolean().describe('It can wait for now'),
    outcome: outcomeSchema.nullable().describe('After a visit: what became of it'),
    by: person,
    at: instant,
    assignee: person.nullable(),
    due: z.string().nullable().describe('Day of the hand-over or of coming back, at the site'),
    reason: z.string().nullable(),
    seen: seenSchema.nullable(),
    headline: statementSchema.describe('Of the finding when it was decided'),
    subject: findingSubjectSchema,
    endedAt: instant.nullable().describe('null while the finding is open'),
  })
  .meta({ id: 'Standing' });

export const standingListSchema = z
  .object({ standings: z.array(standingSchema) })
  .meta({ id: 'StandingList' });

export const standingQuerySchema = z.object({
  findings: z
    .string()
    .regex(/^\d{1,18}(,\d{1,18}){0,199}$/, 'must be up to 200 numbers of findings, separated by commas')
    .describe('Numbers of findings, separated by commas'),
});

export const findingDecisionsSchema = z
  .object({
    finding: z.string(),
    version: z.number().describe('To be sent with the next decision'),
    standing: standingSchema.nullable().describe('null: nothing was decided yet'),
    said: z
      .object({ cause: z.enum(causes), weight: z.number() })
      .nullable()
      .describe('The cause that is said to be likeliest'),
    decisions: z.array(
      z
        .object({
          id: z.number(),
          kind: z.enum(decisionKinds),
          by: person,
          at: instant,
          decided: decidedSchema,
        })
        .meta({ id: 'Decision' }),
    ),
  })
  .meta({ id: 'FindingDecisions' });

export const causeListSchema = z
  .object({ causes: z.array(z.object({ cause: z.enum(causes), name: z.string() })) })
  .meta({ id: 'CauseList' });
