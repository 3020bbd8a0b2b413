import { z } from 'zod';
import { column, timeColumn } from '../common.js';

const time = z.union([z.iso.datetime({ offset: true }), z.coerce.number()]);

export const spanQuerySchema = z.object({
  from: time.optional().describe('ISO instant or seconds since the epoch; default: a day before `to`'),
  to: time.optional().describe('ISO instant or seconds since the epoch; default: now'),
  points: z.coerce
    .number()
    .int()
    .min(10)
    .max(20_000)
    .default(1500)
    .describe('Approximate maximum number of points'),
});

export const windowsQuerySchema = spanQuerySchema.omit({ points: true });
export const takeAwayQuerySchema = windowsQuerySchema.extend({
  site: z.string().max(200).optional().describe('Key of the only site'),
  unit: z
    .string()
    .regex(/^[a-z0-9-]+\/[a-z0-9-]+$/, 'must have the form {siteKey}/{unitKey}')
    .optional()
    .describe('The only unit, as {siteKey}/{unitKey}'),
});
export const atQuerySchema = z.object({ at: time.optional() });

export const circuitSeriesSchema = z
  .object({
    from_s: z.number(),
    to_s: z.number(),
    resolution_s: z.number().describe('Width of one point'),
    source: z
      .enum(['readings', 'rollup'])
      .describe(
        'readings: samples, or their mean per point; rollup: two-minute summaries, the most recent part from readings',
      ),
    time_s: timeColumn,
    superheat_K: column,
    superheatMinimum_K: column,
    superheatMaximum_K: column,
    superheatUncertainty_K: column.describe('One standard uncertainty at each point'),
    superheatSetpoint_K: column,
    valveOpening_pct: column,
    valveOpeningMinimum_pct: column,
    valveOpeningMaximum_pct: column,
    suctionPressure_Pa: column,
    suctionTemperature_K: column,
    suctionSaturationTemperature_K: column.describe('Dew side, from the mean pressure of the point'),
    dischargePressure_Pa: column,
    dischargeTemperature_K: column,
    dischargeSaturationTemperature_K: column.describe('Dew side'),
    liquidTemperature_K: column,
    subcooling_K: column,
    compressorLoad_pct: column,
    floodbackLimit_K: z.number(),
    mainsLosses: z.array(z.object({ from_s: z.number(), to_s: z.number().nullable() })),
  })
  .meta({ id: 'CircuitSeriesResponse' });

export const waterSeriesSchema = z
  .object({
    from_s: z.number(),
    to_s: z.number(),
    resolution_s: z.number(),
    time_s: timeColumn,
    enteringTemperature_K: column,
    leavingTemperature_K: column,
    flow_m3_s: column,
    ambientTemperature_K: column,
  })
  .meta({ id: 'WaterSeriesResponse' });

export const backupSeriesSchema = z
  .object({
    from_s: z.number(),
    to_s: z.number(),
    resolution_s: z.number(),
    time_s: timeColumn,
    voltage_V: column,
    current_A: column.describe('Positive while the module delivers'),
    temperature_K: column,
    mains: column.describe('1: present'),
    health: column.describe('1: good'),
  })
  .meta({ id: 'BackupSeriesResponse' });
