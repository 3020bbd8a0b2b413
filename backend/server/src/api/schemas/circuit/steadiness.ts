import { huntingCauses, operatingStates, swingSignals } from '@coldrounds/core';
import { z } from 'zod';
import { maybe, seconds } from '../common.js';
import { explanationSchema, statementSchema } from '../round/finding.js';

export const operatingStateSchema = z.enum(operatingStates).meta({ id: 'OperatingState' });

export const stateMinutesSchema = z
  .record(operatingStateSchema, z.number())
  .describe('Minutes in each operating state');

export const spanSummarySchema = z
  .object({
    from_s: seconds,
    to_s: seconds,
    windows: z.number(),
    minutes: stateMinutesSchema,
    steadyMinutes: z.number(),
    mean_K: maybe,
    spread_K: maybe,
    lowest_K: maybe.describe("Lowest of the windows' first percentiles"),
    underLimitFraction: maybe.describe('Fraction of the steady time below the floodback limit, 0..1'),
    surelyUnderLimitFraction: maybe.describe(
      'The same with superheat taken two standard uncertainties higher than measured',
    ),
    starvedFraction: maybe,
    offset_K: maybe.describe('Mean of superheat less setpoint'),
    huntingFraction: maybe.describe('Fraction of the minutes judged for hunting, 0..1; null: none judged'),
    travel_strokes: z.number(),
    reversals: z.number(),
    observedMinutes: z.number().describe('Minutes of readings on which travel and reversals are based'),
  })
  .meta({ id: 'SpanSummary', description: 'A day or a week of windows, weighed by their steady minutes' });

export const steadyFloorSchema = z
  .object({
    against: z.enum(['compressor-load', 'valve-opening']),
    parts: z.array(
      z
        .object({
          from: z.number(),
          to: z.number(),
          floor_K: maybe.describe('null: no steady floor can be given for this part'),
          uncertainty_K: maybe,
          huntedUpTo_K: maybe,
          bracketed: z.boolean().describe('false: the value is an upper bound of the steady floor'),
          steadyWindows: z.number(),
          huntingWindows: z.number(),
          steadyHours: z.number(),
        })
        .meta({ id: 'FloorPart' }),
    ),
    points: z.array(
      z
        .object({
          from_s: seconds,
          at: z.number().describe('Percent of the quantity named by `against`'),
          superheat_K: z.number(),
          spread_K: z.number(),
          hunting: z.boolean(),
          steady: z
            .boolean()
            .describe(
              'Not hunting, and superheat varies no more than the circuit usually does when it is steady',
            ),
        })
        .meta({ id: 'FloorPoint' }),
    ),
  })
  .meta({ id: 'SteadyFloor' });

export const headroomSchema = z
  .object({
    headroom_K: z.number(),
    uncertainty_K: z.number(),
    held_K: z.number(),
    floor_K: z.number(),
    safetyMargin_K: z.number(),
    coveredFraction: z.number(),
    energyFraction: z.number(),
    assumption: statementSchema,
  })
  .meta({ id: 'Headroom' });

export const huntingSchema = z
  .object({
    huntingMinutes: z.number(),
    judgedMinutes: z.number(),
    windows: z.number(),
    period_s: z.number(),
    amplitude_K: z.number(),
    firstSeen_s: seconds,
    lastSeen_s: seconds,
    causes: z
      .array(explanationSchema.extend({ key: z.enum(huntingCauses) }).meta({ id: 'CauseExplanation' }))
      .describe('Most likely first; empty where the evidence does not tell'),
    separatingCheck: statementSchema.nullable(),
  })
  .meta({ id: 'Hunting' });

export const valveWearSchema = z
  .object({
    travel_strokes_per_day: z.number(),
    reversals_per_day: z.number(),
    observedDays: z.number(),
    fleetTravelPercentile: maybe.describe('Fraction of the fleet whose valves travel less, 0..1'),
    fleetReversalPercentile: maybe,
    life_years: maybe.optional().describe('Life of the valve at this rate of travel, from its rated life'),
    left_years: maybe
      .optional()
      .describe('Life less the years in service; null: date of installation not known'),
    ratedStrokes: maybe.optional(),
    ratedReversals: maybe.optional(),
    ratedByMaker: z
      .boolean()
      .optional()
      .describe('true: rated life from the maker; false: from common practice'),
    lowerBound: z.boolean().optional().describe('The samples are too far apart to see every movement'),
  })
  .meta({ id: 'ValveWear' });

export const circuitAssessmentSchema = z
  .object({
    circuit: z.number(),
    from_s: maybe,
    to_s: maybe,
    windows: z.number(),
    summary: spanSummarySchema.nullable().describe('Over all windows of the last 28 days'),
    lastWeek: spanSummarySchema
      .nullable()
      .optional()
      .describe('Over seven days (UTC), that of the last window counted: findings and wear are of these'),
    days: z.array(spanSummarySchema),
    weeks: z.array(spanSummarySchema),
    floor: steadyFloorSchema.nullable(),
    headroom: headroomSchema.nullable(),
    hunting: huntingSchema.nullable().describe('null: not hunting, or too little data (see `huntingKnown`)'),
    huntingKnown: z.boolean(),
    wear: valveWearSchema.nullable(),
  })
  .meta({ id: 'CircuitAssessment' });

const indices = z.record(z.string(), maybe);

export const windowJudgementSchema = z
  .object({
    from_s: seconds,
    to_s: seconds,
    sampleCount: z.number(),
    interval_s: maybe,
    minutes: stateMinutesSchema,
    superheat: z
      .object({
        minutes: z.number(),
        samples: z.number(),
        mean_K: z.number(),
        median_K: z.number(),
        spread_K: z.number(),
        robustSpread_K: z.number(),
        minimum_K: z.number(),
        percentile1_K: z.number(),
        percentile5_K: z.number(),
        percentile95_K: z.number(),
        uncertainty_K: z.number(),
        floodbackLimit_K: z.number(),
        underLimitFraction: z.number(),
        surelyUnderLimitFraction: z.number(),
        possiblyUnderLimitFraction: z.number(),
        underLimitExcursions: z.number(),
        surelyUnderLimitExcursions: z.number(),
        starvedLimit_K: z.number(),
        starvedFraction: z.number(),
        setpoint_K: maybe,
        offset_K: maybe,
      })
      .nullable()
      .describe('null: no steady time'),
    oscillation: z.object({
      oscillating: z.boolean().nullable(),
      period_s: maybe,
      amplitude: maybe,
      indices,
      judgedMinutes: z.number(),
      huntingMinutes: z.number(),
      cycles: maybe,
      crest_s: maybe,
      origin: z.enum(['valve-friction', 'not-valve-friction', 'undecided']).nullable(),
      originIndices: indices,
      partners: z.array(
        z.object({
          signal: z.enum(swingSignals),
          amplitude: z.number(),
          varianceFraction: z.number(),
          coherence: maybe,
          lead_cycles: z.number(),
        }),
      ),
      shape: z
        .object({ swings: z.number(), openingSwing_pct: z.number(), openingSwingScatter: z.number() })
        .nullable(),
    }),
    valve: z
      .object({
        minutes: z.number(),
        runningMinutes: z.number(),
        travel_strokes: z.number(),
        reversals: z.number(),
        mean_pct: z.number(),
        minimum_pct: z.number(),
        maximum_pct: z.number(),
        nearShutFraction: z.number(),
        nearOpenFraction: z.number(),
      })
      .nullable(),
    conditions: z.object({
      compressorLoad_pct: maybe,
      valveOpening_pct: maybe,
      evaporatingTemperature_K: maybe,
      condensingTemperature_K: maybe,
      subcooling_K: maybe,
      dischargeTemperature_K: maybe,
      enteringWaterTemperature_K: maybe,
      leavingWaterTemperature_K: maybe,
      ambientTemperature_K: maybe,
    }),
  })
  .meta({ id: 'WindowJudgement' });
