import { urgencies } from '@coldrounds/core';
import { z } from 'zod';
import { instant, siteReferenceSchema, unitReferenceSchema } from '../common.js';
import { diagnosisSchema } from './diagnosis.js';
import { findingSchema, urgencySchema, waitingCostSchema } from './finding.js';

/** An urgency, or `quiet` for units with no finding. */
export const urgencyOrQuietSchema = z.enum([...urgencies, 'quiet']);

export const unitWordsSchema = z
  .string()
  .max(200)
  .optional()
  .describe('Words to search for; all must occur in unit, site, findings or causes');

export const roundQuerySchema = z.object({
  at: z.iso
    .datetime({ offset: true })
    .optional()
    .describe('Time for which the round is wanted, as it was known then; not in the future; default: now'),
  site: z.string().optional(),
  region: z.string().max(200).optional(),
  urgency: urgencyOrQuietSchema.optional(),
  q: unitWordsSchema,
  sort: z
    .enum(['urgency', 'certainty', 'age', 'site', 'waiting'])
    .default('urgency')
    .describe(
      'The most urgent first; or the surest, the longest known, by name of the site, the dearest to wait. Among equals as urgent',
    ),
  cursor: z
    .string()
    .max(500)
    .optional()
    .describe('`next` of the previous page, in the same order; default: the first page'),
  limit: z.coerce.number().int().min(1).max(100).default(20).describe('Units on one page'),
});

export const roundUnitSchema = z
  .object({
    rank: z
      .number()
      .describe(
        'Rank in the order asked for, among the units that match site, region and words; 1 comes first',
      ),
    site: siteReferenceSchema,
    unit: unitReferenceSchema,
    urgency: urgencySchema,
    waiting: waitingCostSchema.describe('Of the first problem'),
    since: instant
      .nullable()
      .describe(
        'Since when the first problem is known: seen in the data or told, whichever came first; null: not worked out yet',
      ),
    diagnoses: z
      .array(diagnosisSchema)
      .describe('One for each problem of the unit, most urgent first; findings beneath them by id'),
    findings: z.array(findingSchema).describe('Most urgent first'),
    lastReading: instant.nullable(),
  })
  .meta({ id: 'RoundUnit' });

export const quietUnitSchema = z
  .object({
    site: siteReferenceSchema,
    unit: unitReferenceSchema,
    lastReading: instant.nullable(),
    neverHeard: z.boolean().describe('Registered, and no reading has ever come'),
    note: z.string().describe('Why it is quiet: nothing found, or not enough telemetry to say'),
  })
  .meta({ id: 'QuietUnit' });

export const roundSchema = z
  .object({
    asOf: instant.describe('Time of the round, to the minute'),
    version: z
      .number()
      .describe(
        'Number of the newest change of the round that this holds, to be told from there on by events',
      ),
    judgingSince: instant.nullable().describe('When judging began; null: it has not'),
    known: z.boolean().describe('false: judging began after the time asked for, so nothing is known of it'),
    settled: z.boolean().describe('Whether all stored history has been judged'),
    counts: z
      .object({
        units: z.number(),
        circuits: z.number(),
        modules: z.number(),
        today: z.number(),
        thisWeek: z.number(),
        nextVisit: z.number(),
        watch: z.number(),
        quiet: z.number(),
        silent: z.number(),
        neverHeard: z.number().describe('Of the quiet ones: registered, and no reading has ever come'),
      })
      .describe(
        'All units by their most urgent problem; units that send nothing are also counted under their urgency',
      ),
    found: z
      .object({
        units: z.number(),
        today: z.number(),
        thisWeek: z.number(),
        nextVisit: z.number(),
        watch: z.number(),
        quiet: z.number(),
      })
      .describe('The same for the units that match the site and the words asked for'),
    sites: z.array(siteReferenceSchema).describe('All sites; on the first page only'),
    units: z.array(roundUnitSchema),
    quiet: z.array(quietUnitSchema).describe('Units with no finding; they come after all others'),
    next: z.string().nullable().describe('Cursor of the next page; null: this is the last page'),
  })
  .meta({ id: 'Round' });
