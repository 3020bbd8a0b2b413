import { z } from 'zod';
import { instant, maybe, seconds, siteReferenceSchema, unitReferenceSchema } from './common.js';
import { diagnosisSchema } from './round/diagnosis.js';
import { findingSchema, statementSchema, urgencySchema } from './round/finding.js';
import { moduleOverviewSchema } from './module/module.js';
import { unitWordsSchema, urgencyOrQuietSchema } from './round/round.js';
import { circuitEntrySchema } from '../../registry/entry-schemas.js';
import { circuitAssessmentSchema, operatingStateSchema, spanSummarySchema } from './circuit/steadiness.js';

export const unitListQuerySchema = z.object({
  site: z.string().optional(),
  urgency: urgencyOrQuietSchema.optional(),
  q: unitWordsSchema,
  sort: z
    .enum(['round', 'unit', 'site', 'refrigerant', 'capacity', 'firmware'])
    .default('round')
    .describe('`round`: order of the round, quiet units last'),
  descending: z.stringbool().default(false),
  page: z.coerce.number().int().min(1).max(1_000_000).default(1),
  limit: z.coerce.number().int().min(1).max(200).default(100),
});

export const unitListSchema = z
  .object({
    fleet: z.number().describe('Units in the registry'),
    total: z.number().describe('Units that match the site, urgency and words asked for'),
    page: z.number(),
    pages: z.number(),
    units: z.array(
      z
        .object({
          site: siteReferenceSchema,
          unit: unitReferenceSchema,
          circuits: z.array(z.number()),
          modules: z.array(z.number()),
          urgency: urgencySchema.nullable().describe('Urgency of the most urgent open problem; null: none'),
          lastReading: instant.nullable(),
          online: z.boolean().nullable().describe('From the last presence message; null: none received yet'),
        })
        .meta({ id: 'UnitSummary' }),
    ),
  })
  .meta({ id: 'UnitList' });

/** The newest reading of a circuit with what follows from it. */
export const circuitLatestSchema = z
  .object({
    time_s: seconds,
    suctionPressure_Pa: maybe,
    suctionTemperature_K: maybe,
    superheat_K: maybe,
    superheatUncertainty_K: maybe.describe('One standard uncertainty, from the tolerances in the registry'),
    suctionSaturationTemperature_K: maybe.describe('Dew side'),
    valveOpening_pct: maybe,
    valveOpening2_pct: maybe,
    dischargePressure_Pa: maybe,
    dischargeTemperature_K: maybe,
    dischargeSaturationTemperature_K: maybe.describe('Dew side'),
    liquidTemperature_K: maybe,
    subcooling_K: maybe.describe('Bubble side'),
    subcoolingUncertainty_K: maybe.describe('One standard uncertainty, from the tolerances in the registry'),
    superheatSetpoint_K: maybe,
    compressorLoad_pct: maybe,
    state: operatingStateSchema
      .nullable()
      .describe('State of the circuit for most of the last judged window; null: none judged yet'),
  })
  .meta({ id: 'CircuitLatest' });

/** What a circuit does while nothing is wrong, as far as it is known. */
export const circuitNormalSchema = z
  .object({
    learned: z.boolean(),
    complete: z.boolean().describe('Learned for good: later time is only judged against it'),
    plateaus: z.number().describe('Plateaus of steady running that it is, or is going to be, learned from'),
    learnedFrom_s: seconds.nullable(),
    learnedUntil_s: seconds.nullable(),
    likeUnits: z
      .number()
      .nullable()
      .describe('Like units that it is compared with until its own normal is learned; null: none'),
    startedAnew: z
      .object({
        at: instant,
        learnFrom_s: seconds,
        reason: z.enum(['refrigerant', 'valve', 'firmware', 'evaporator', 'visit']),
        detail: z.string(),
      })
      .nullable()
      .describe('When learning was last started anew, and why; null: never'),
    note: statementSchema.describe('What it is compared with, or what to wait for'),
  })
  .meta({ id: 'CircuitNormal' });

export const circuitDetailSchema = z
  .object({
    number: z.number(),
    entry: circuitEntrySchema,
    latest: circuitLatestSchema.nullable(),
    summary: z
      .object({ day: spanSummarySchema.nullable(), week: spanSummarySchema.nullable() })
      .describe('The newest day (UTC) with judged windows, and the seven days that end with it'),
    assessment: circuitAssessmentSchema.nullable().describe('null: not assessed yet'),
    assessedAt: instant.nullable(),
    notReliable: z
      .object({ superheatLevel: z.boolean(), superheatSwing: z.boolean(), subcooling: z.boolean() })
      .describe('Quantities that are not judged because a sensor is found wrong'),
    normal: circuitNormalSchema
      .nullable()
      .describe('What the circuit is compared with; null: not compared yet'),
  })
  .meta({ id: 'CircuitDetail' });

export const unitDetailSchema = z
  .object({
    asOf: instant,
    site: siteReferenceSchema,
    unit: unitReferenceSchema.extend({
      commissionedOn: z.string().nullable().describe('null: not known'),
      retiredAt: instant.nullable().describe('Out of service since; null: in service'),
      condenser: z.enum(['air', 'water']),
      online: z.boolean().nullable(),
    }),
    lastReading: instant.nullable(),
    missing: z
      .array(z.object({ fact: z.string(), cost: z.string(), part: z.string() }))
      .describe('What the registry does not know of it, and which judgements that costs'),
    circuits: z.array(circuitDetailSchema),
    modules: z.array(moduleOverviewSchema),
    diagnoses: z
      .array(diagnosisSchema)
      .describe('One for each problem, most urgent first; the findings beneath them by id'),
    findings: z.array(findingSchema).describe('Open findings, most urgent first'),
    notJudged: z
      .array(
        z
          .object({
            kind: z.enum(['window', 'closing', 'circuit', 'module']),
            number: z.number().describe('Number of the circuit or module'),
            startsAt: instant
              .nullable()
              .describe('Start of the window or closing; null: the whole circuit or module'),
            reason: z.string(),
            failedAt: instant,
          })
          .meta({ id: 'NotJudged' }),
      )
      .describe('Work whose judgement failed although its telemetry is stored, most recent failure first'),
    cautions: z.array(z.string()).describe('Cautions to observe before any work on this unit'),
  })
  .meta({ id: 'UnitDetail' });

export const floorResponseSchema = z
  .object({
    assessedAt: instant.nullable(),
    assessment: circuitAssessmentSchema
      .nullable()
      .describe(
        '`floor`: points and curve of the steady floor; `headroom`: the result; null: not assessed yet',
      ),
  })
  .meta({ id: 'FloorResponse' });
