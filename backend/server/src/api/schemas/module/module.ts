import { z } from 'zod';
import { column, instant, maybe, seconds, siteReferenceSchema, unitReferenceSchema } from '../common.js';
import { findingSchema, statementSchema } from '../round/finding.js';
import { moduleEntrySchema } from '../../../registry/entry-schemas.js';

export const moduleLatestSchema = z
  .object({
    time_s: seconds,
    voltage_V: maybe,
    current_A: maybe,
    temperature_K: maybe,
    mains: z.boolean().nullable(),
    health: z.boolean().nullable().describe('Health contact of the module; true: good'),
  })
  .meta({ id: 'ModuleLatest' });

const range = z.object({ p10: z.number(), p50: z.number(), p90: z.number() }).meta({ id: 'Range' });
const closingKind = z.enum(['self-test', 'power-loss']);

export const reservePointSchema = z
  .object({
    time_s: seconds,
    reserve: z.number().describe('For a closing from fully open at the lowest temperature seen'),
    uncertainty: maybe,
    tests: z
      .number()
      .describe(
        'Number of tests of which this point is the median: one for recent points, several for older ones',
      ),
    proof: z
      .boolean()
      .describe(
        'Whether one of these tests is a proof closing: the valve was seen to travel and to end shut',
      ),
  })
  .meta({ id: 'ReservePoint' });

export const reserveNowSchema = z
  .discriminatedUnion('state', [
    z.object({
      state: z.literal('known'),
      cases: z
        .array(
          z
            .object({
              situation: z.enum(['fully-open-coldest', 'fully-open-now', 'present-opening']),
              reserve: z.number(),
              interval: z.object({ p10: z.number(), p90: z.number() }),
              usableEnergy_J: z.number(),
              closingEnergy_J: z.number(),
              temperature_K: z.number(),
              opening_pct: z.number(),
              voltage_V: z.number(),
              capacitance_F: z.number(),
              esr_Ohm: z.number(),
            })
            .meta({ id: 'ReserveCase' }),
        )
        .describe('Worst case first; the first is the closing reserve'),
      closings: z.number(),
      lastClosing_s: seconds,
      esrFrom: z.enum(['measured', 'rated']),
      basedOn: z.array(statementSchema),
    }),
    z.object({ state: z.literal('unknown'), reason: statementSchema }),
  ])
  .meta({ id: 'ReserveNow' });

export const reserveForecastSchema = z
  .discriminatedUnion('state', [
    z.object({
      state: z.literal('forecast'),
      lossPerYear: range.describe('Loss per year as a fraction of the present reserve'),
      limits: z.array(
        z
          .object({
            limit: z.number(),
            state: z.enum(['forecast', 'already-under', 'beyond-horizon']),
            date_s: range.nullable(),
            openEnded: z.boolean().describe('P90 is beyond the forecast horizon'),
          })
          .meta({ id: 'LimitDate' }),
      ),
      horizon_s: seconds,
      basedOn: z.array(statementSchema),
    }),
    z.object({
      state: z.literal('refused'),
      reason: z.enum([
        'too-few-tests',
        'too-short-a-time',
        'slope-not-distinguishable',
        'changed-suddenly',
        'no-temperature',
        'beyond-horizon',
      ]),
      sentence: statementSchema,
    }),
  ])
  .meta({ id: 'ReserveForecast' });

export const proofStateSchema = z
  .discriminatedUnion('state', [
    z.object({ state: z.literal('proven'), lastProof_s: seconds, age_s: z.number(), kind: closingKind }),
    z.object({
      state: z.literal('unproven'),
      reason: z.enum(['no-closing', 'too-old', 'telemetry-too-coarse', 'did-not-shut', 'no-travel']),
      lastProof_s: seconds.nullable(),
      sentence: statementSchema,
    }),
  ])
  .meta({ id: 'ProofState' });

export const moduleAssessmentSchema = z
  .object({
    module: z.number(),
    assessedAt_s: seconds,
    reserve: reserveNowSchema,
    reserveHistory: z.array(reservePointSchema),
    forecast: reserveForecastSchema,
    proof: proofStateSchema,
    leakage: z.object({
      state: z.enum(['normal', 'leaking', 'unknown']),
      floatCurrent_A: maybe,
      decayCurrent_A: maybe,
      limit_A: z.number(),
      timeToUnable_s: maybe,
    }),
    weakCell: z.object({
      state: z.enum(['none-seen', 'suspected', 'unknown']),
      sign: z.enum(['shorted-cell', 'lost-cell-capacitance', 'decay-stops-after-one-cell']).nullable(),
      cellsAffected: maybe,
    }),
    charger: z.object({
      state: z.enum(['reaches', 'under-voltage', 'unknown']),
      voltage_V: maybe,
      target_V: z.number(),
    }),
    health: z.object({
      state: z.enum(['good', 'fault', 'stuck', 'unknown']),
      since_s: seconds.nullable(),
      sign: z
        .enum(['good-under-minimum-voltage', 'good-without-reserve', 'no-longer-follows'])
        .nullish()
        .describe('Why the health contact is taken to be stuck'),
    }),
    capacitance_F: maybe.describe('Present value at 298.15 K and the usual current'),
    esr_Ohm: maybe,
    installedOn: z.string().describe('Date of installation in the registry at the time of the assessment'),
    baseline: z.object({
      capacitance_F: maybe,
      esr_Ohm: maybe,
      from: z.enum(['own', 'rated']),
      tests: z.number(),
    }),
    temperatureLaw: z.object({
      capacitancePerK: z.number(),
      capacitancePerKUncertainty: z.number(),
      esrPerK: z.number(),
      esrPerKUncertainty: z.number(),
      from: z.enum(['learned', 'prior']),
      span_K: z.number(),
    }),
    suddenChange: z
      .object({
        at_s: seconds,
        tests: z.number(),
        capacitanceRatio: maybe,
        esrRatio: maybe,
        reserveRatio: z.number(),
      })
      .nullable(),
    weightedAge_d: maybe,
    lowestTemperature_K: maybe,
  })
  .meta({ id: 'ModuleAssessment' });

export const moduleOverviewSchema = z
  .object({
    number: z.number(),
    entry: moduleEntrySchema,
    latest: moduleLatestSchema.nullable(),
    assessment: moduleAssessmentSchema
      .nullable()
      .describe('null: not assessed yet. On the unit page `reserveHistory` holds at most 120 points'),
  })
  .meta({ id: 'ModuleOverview' });

export const closingJudgementSchema = z
  .object({
    startedAt_s: seconds,
    kind: closingKind,
    kindSeen: z.boolean(),
    temperature_K: maybe,
    samples: z.number(),
    sampling_s: maybe,
    capacitance_F: maybe,
    capacitanceUncertainty_F: maybe,
    capacitanceMethod: z.enum(['iec-window', 'least-squares']).nullable(),
    esr_Ohm: maybe,
    esrUncertainty_Ohm: maybe,
    current_A: maybe,
    drivePower_W: maybe,
    voltageBefore_V: maybe,
    voltageAfter_V: maybe,
    voltageLowest_V: maybe,
    energyUsed_J: maybe,
    driveTime_s: maybe,
    openingBefore_pct: maybe,
    openingAfter_pct: maybe,
    timeToShut_s: maybe,
    shut: z.boolean().nullable().describe('null: not known from the telemetry'),
    proof: z.boolean(),
    energyExpected_J: maybe,
    limits: z.array(statementSchema).describe('Reasons for values that are missing'),
  })
  .meta({ id: 'ClosingJudgement' });

export const closingRowSchema = closingJudgementSchema
  .pick({
    startedAt_s: true,
    kind: true,
    capacitance_F: true,
    esr_Ohm: true,
    temperature_K: true,
    shut: true,
    proof: true,
    energyUsed_J: true,
    timeToShut_s: true,
    voltageBefore_V: true,
    voltageAfter_V: true,
  })
  .meta({ id: 'ClosingRow' });

export const moduleDetailSchema = z
  .object({
    site: siteReferenceSchema,
    unit: unitReferenceSchema,
    module: moduleOverviewSchema.describe('With the complete `reserveHistory`'),
    closings: z.array(closingRowSchema).describe('As measured, in time order'),
    findings: z.array(findingSchema),
    cautions: z.array(z.string()),
    assessedAt: instant.nullable(),
  })
  .meta({ id: 'ModuleDetail' });

export const closingDetailSchema = z
  .object({
    judgement: closingJudgementSchema,
    curve: z.object({
      time_s: z.array(z.number()).describe('Seconds from the start of the closing'),
      voltage_V: column,
      current_A: column,
      valveOpening_pct: column,
    }),
    fit: z
      .object({ time_s: z.array(z.number()), voltage_V: column })
      .nullable()
      .describe(
        'Discharge calculated from the estimated capacitance and ESR and the measured current; null: no estimate',
      ),
  })
  .meta({ id: 'ClosingDetail' });
