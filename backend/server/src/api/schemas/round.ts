import { z } from 'zod';
import { instant, siteReferenceSchema, timeColumn, column, unitReferenceSchema } from './common.js';
import { findingSchema, urgencySchema, waitingCostSchema } from './finding.js';
import { progressSchema } from './health.js';

export const roundQuerySchema = z.object({
  at: z.iso.datetime({ offset: true }).optional().describe('The round as it stood then; left out: now'),
  site: z.string().optional(),
  urgency: urgencySchema.optional(),
});

export const circuitEvidenceSchema = z
  .object({
    circuit: z.number(),
    time_s: timeColumn,
    superheat_K: column,
    valveOpening_pct: column,
    floodbackLimit_K: z.number(),
  })
  .meta({ id: 'CircuitEvidence', description: 'Up to 120 points of the last 24 h, for a small drawing' });

export const moduleEvidenceSchema = z
  .object({ module: z.number(), time_s: timeColumn, reserve: column })
  .meta({ id: 'ModuleEvidence', description: 'Closing reserve at each closing, up to 120 points' });

export const roundUnitSchema = z
  .object({
    rank: z.number().describe('1 is the first to act on'),
    site: siteReferenceSchema,
    unit: unitReferenceSchema,
    urgency: urgencySchema,
    waiting: waitingCostSchema,
    findings: z.array(findingSchema).describe('Most urgent first'),
    lastReading: instant.nullable(),
    evidence: z.array(circuitEvidenceSchema),
    moduleEvidence: z.array(moduleEvidenceSchema),
  })
  .meta({ id: 'RoundUnit' });

export const quietUnitSchema = z
  .object({
    site: siteReferenceSchema,
    unit: unitReferenceSchema,
    lastReading: instant.nullable(),
    note: z.string().describe('Why it is quiet: nothing found, or not enough telemetry to say'),
  })
  .meta({ id: 'QuietUnit' });

export const roundSchema = z
  .object({
    asOf: instant,
    progress: progressSchema,
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
      })
      .describe(
        'Units by their most urgent finding; silent units send nothing and count under their urgency too',
      ),
    sites: z.array(siteReferenceSchema),
    units: z.array(roundUnitSchema),
    quiet: z.array(quietUnitSchema),
  })
  .meta({ id: 'Round' });
