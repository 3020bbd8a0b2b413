import { z } from 'zod';
import { column, instant, maybe, seconds, timeColumn } from './common.js';
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
    floodbackShare: maybe,
    oscillating: z.boolean().nullable().describe('null: too little data to say'),
    period_s: maybe,
    amplitude_K: maybe,
    valveTravel_strokes: maybe,
    valveReversals: maybe,
  })
  .meta({ id: 'WindowRow' });

export const windowListSchema = z.object({ windows: z.array(windowRowSchema) }).meta({ id: 'WindowList' });

export const namedIndexSchema = z
  .object({
    key: z.string(),
    name: z.string().describe('Published name of the index'),
    value: maybe,
    meaning: z.string().describe('A sentence on what the index says'),
    source: z.string(),
  })
  .meta({ id: 'NamedIndex' });

export const windowPictureSchema = z
  .object({
    start_s: seconds,
    judgement: windowJudgementSchema,
    judgedAt: instant.nullable().describe('null: judged now, on request'),
    indices: z.array(namedIndexSchema),
    originIndices: z.array(namedIndexSchema),
    trace: z
      .object({
        time_s: timeColumn,
        superheat_K: column,
        valveOpening_pct: column,
        superheatSetpoint_K: column,
        state: z.array(operatingStateSchema.nullable()).describe('Operating state at each time'),
      })
      .describe('Every sample of the window; opening against superheat is the valve loop'),
    cycles: z
      .array(z.object({ from_s: z.number(), to_s: z.number() }))
      .describe('Detected cycles, for marking on the trace; empty when not oscillating'),
    autocorrelation: z
      .object({ lag_s: z.array(z.number()), value: z.array(z.number()) })
      .nullable()
      .describe('Of superheat over the longest steady stretch; null: too little data'),
    spectrum: z.object({ period_s: z.array(z.number()), power: z.array(z.number()) }).nullable(),
  })
  .meta({ id: 'WindowPicture' });
