import { z } from 'zod';
import { column, instant, maybe, seconds, timeColumn } from '../common.js';
import { statementSchema } from '../round/finding.js';
import { operatingStateSchema, stateMinutesSchema, windowJudgementSchema } from './steadiness.js';

export const windowRowSchema = z
  .object({
    start_s: seconds,
    end_s: seconds,
    judgedAt: instant,
    samples: z.number(),
    steadyMinutes: z.number(),
    minutes: stateMinutesSchema,
    superheatMean_K: maybe,
    superheatSpread_K: maybe,
    floodbackFraction: maybe,
    oscillating: z.boolean().nullable().describe('null: too little data to say'),
    hunts: z
      .boolean()
      .nullable()
      .describe('Oscillates by 0.5 K or more to either side; null: too little data to say'),
    period_s: maybe,
    amplitude_K: maybe,
    valveTravel_strokes: maybe,
    valveReversals: maybe,
  })
  .meta({ id: 'WindowRow' });

export const windowListSchema = z.object({ windows: z.array(windowRowSchema) }).meta({ id: 'WindowList' });

export const indexReadingSchema = z
  .object({
    key: z.string(),
    name: z.string().describe('Published name of the index'),
    source: z.string(),
    value: z.number(),
    limit: z.number(),
    agrees: z.boolean().describe('Whether it indicates an oscillation'),
    meaning: statementSchema.describe('What the value of the index means here'),
  })
  .meta({ id: 'IndexReading' });

export const windowPictureSchema = z
  .object({
    start_s: seconds,
    end_s: seconds,
    judgedAt: instant.nullable().describe('null: judged for this request'),
    judgement: windowJudgementSchema,
    readings: z
      .array(indexReadingSchema)
      .describe('The indices on which the verdict is based, each with a sentence'),
    trace: z
      .object({
        time_s: timeColumn,
        superheat_K: column,
        valveOpening_pct: column,
        superheatSetpoint_K: column,
        state: z.array(operatingStateSchema).describe('Operating state at each time'),
      })
      .describe('Every sample of the window'),
    floodbackLimit_K: z.number(),
    cycles: z
      .array(
        z
          .object({ from_s: z.number(), to_s: z.number(), crest_K: z.number(), trough_K: z.number() })
          .meta({ id: 'SuperheatCycle' }),
      )
      .describe('Cycles of the superheat from crest to crest; empty when not oscillating'),
    autocorrelation: z
      .object({ lag_s: z.array(z.number()), value: column })
      .nullable()
      .describe('Autocorrelation of the steady superheat after removal of its drift; null: too little data'),
    spectrum: z
      .object({ period_s: z.array(z.number()), power: z.array(z.number()), found_s: maybe })
      .nullable()
      .describe('Normalised Lomb-Scargle power over period'),
    loop: z
      .object({
        valveOpening_pct: z.array(z.number()),
        superheat_K: z.array(z.number()),
        meanCycle: z.array(z.object({ valveOpening_pct: z.number(), superheat_K: z.number() })),
      })
      .describe('Valve opening and superheat: the samples, and the mean cycle at the period found'),
  })
  .meta({ id: 'WindowPicture' });
