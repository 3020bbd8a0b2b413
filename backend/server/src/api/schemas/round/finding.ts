import { certainties, hazards, urgencies } from '@coldrounds/core';
import { z } from 'zod';
import { instant, seconds } from '../common.js';

export const quantityKinds = [
  'temperature',
  'temperature-difference',
  'pressure',
  'pressure-difference',
  'duration',
  'instant',
  'share',
  'percent-opening',
  'energy',
  'power',
  'mass',
  'voltage',
  'capacitance',
  'resistance',
  'current',
  'flow-coefficient',
  'ratio',
  'count',
  'rate-per-day',
] as const;

export const quantitySchema = z
  .object({
    value: z
      .number()
      .describe(
        'In the SI unit of the kind (K, Pa, s, J, W, kg, V, F, Ohm, A, 1/d; fractions 0..1; a flow coefficient as Kv in m3/h)',
      ),
    kind: z.enum(quantityKinds),
    uncertainty: z.number().optional().describe('One standard uncertainty, same unit'),
  })
  .meta({ id: 'Quantity' });

export const statementSchema = z
  .object({
    text: z.string().describe('A sentence in which each {name} is replaced by the quantity of that name'),
    quantities: z.record(z.string(), quantitySchema),
  })
  .meta({ id: 'Statement' });

export const urgencySchema = z.enum(urgencies).meta({ id: 'Urgency' });
export const certaintySchema = z.enum(certainties).meta({ id: 'Certainty' });
export const hazardSchema = z.enum(hazards).meta({ id: 'Hazard' });

export const findingSubjectSchema = z
  .discriminatedUnion('kind', [
    z.object({ kind: z.literal('circuit'), circuit: z.number() }),
    z.object({ kind: z.literal('sensor'), circuit: z.number(), sensor: z.string() }),
    z.object({ kind: z.literal('module'), module: z.number() }),
    z.object({ kind: z.literal('unit') }),
  ])
  .meta({ id: 'FindingSubject' });

export const waitingCostSchema = z
  .object({
    score: z
      .number()
      .describe('Expected loss per week on a scale of 0 to 100 that is the same for all findings'),
    sentence: statementSchema,
  })
  .meta({ id: 'WaitingCost' });

export const explanationSchema = z
  .object({
    cause: z.string(),
    weight: z.number().describe('Probability among the explanations given, 0..1'),
    sensors: z
      .array(z.object({ sensor: z.string(), weight: z.number() }))
      .optional()
      .describe('Of a sensor that reads wrong: the likely ones, with the probability of each'),
    supports: z.array(statementSchema),
    contradicts: z.array(statementSchema),
  })
  .meta({ id: 'Explanation' });

export const findingSchema = z
  .object({
    id: z.string(),
    condition: z.string(),
    subject: findingSubjectSchema,
    headline: statementSchema,
    reasons: z.array(statementSchema),
    explanations: z.array(explanationSchema),
    separatingCheck: statementSchema.nullable(),
    certainty: certaintySchema,
    urgency: urgencySchema,
    waiting: waitingCostSchema,
    visit: z.array(statementSchema).describe('What to bring or do on a visit; shown with the cautions'),
    hazards: z.array(hazardSchema),
    error: z
      .object({ bias: z.number(), uncertainty: z.number(), noise: z.number().optional() })
      .optional()
      .describe('Measured error of the sensor: reading less true value, in the SI unit of the reading'),
    corrected: z
      .literal(true)
      .optional()
      .describe('Figures are of superheat without the measured errors of the sensors'),
    shownBy: z
      .literal('valve-answers')
      .optional()
      .describe('Of sensors swapped between circuits: readings answer the valve of the other circuit'),
    firstSeen_s: seconds,
    lastSeen_s: seconds,
    openedAt: instant,
    updatedAt: instant,
    endedAt: instant.nullable().describe('null while the finding is open'),
  })
  .meta({ id: 'Finding' });

export const findingHistorySchema = z
  .object({
    findings: z.array(
      z.object({ site: z.string(), unit: z.string(), finding: findingSchema }).meta({ id: 'FindingOfUnit' }),
    ),
    next: z.string().nullable().describe('Value of `after` for the next page; null: this is the last page'),
  })
  .meta({ id: 'FindingHistory' });

export const findingQuerySchema = z.object({
  unit: z.string().optional().describe('{siteKey}/{unitKey}'),
  open: z.enum(['true', 'false']).optional().describe('true: open ones only; false: ended ones only'),
  site: z.string().optional(),
  urgency: urgencySchema.optional(),
  q: z
    .string()
    .max(200)
    .optional()
    .describe('Words to search for; all must occur in the condition or the headline'),
  after: z
    .string()
    .regex(/^\d{1,18}$/)
    .optional()
    .describe('`next` of the previous page; default: the newest'),
  limit: z.coerce.number().int().min(1).max(1000).default(50),
});
