import { z } from 'zod';

/** Names of what is not known and only assumed. */
export const assumedSchema = z.array(z.string()).optional();

const sensor = z.object({ minimum: z.number(), maximum: z.number(), tolerance: z.number() });
const transducer = sensor.extend({ reference: z.enum(['absolute', 'gauge']) });

export const circuitEntrySchema = z
  .object({
    number: z.number().int().min(1).max(99),
    valve: z.object({
      size: z.string().min(1),
      kv_m3_h: z.number().nonnegative().describe('0: not known'),
      fullStroke_steps: z.number().int().positive(),
      rate_steps_s: z.number().positive(),
      motors: z.union([z.literal(1), z.literal(2)]),
      ratedLife: z
        .object({
          fullStrokes: z.number().positive().optional(),
          reversals: z.number().positive().optional(),
        })
        .optional(),
    }),
    suctionPressure: transducer,
    dischargePressure: transducer,
    suctionTemperature: sensor,
    dischargeTemperature: sensor,
    liquidTemperature: sensor,
    floodbackLimit_K: z.number().nonnegative(),
    safetyMargin_K: z.number().nonnegative(),
    refrigerantCharge_kg: z.number().positive().optional(),
    compressor: z
      .object({
        kind: z.enum(['scroll', 'screw', 'reciprocating', 'rotary', 'centrifugal']).optional(),
        displacement_m3_s: z.number().positive().optional(),
        ratedPower_W: z.number().positive().optional(),
      })
      .optional(),
    assumed: assumedSchema,
  })
  .meta({ id: 'CircuitEntry' });

export const moduleEntrySchema = z
  .object({
    number: z.number().int().min(1).max(99),
    circuits: z.array(z.number().int().positive()).min(1),
    cellsInSeries: z.number().int().positive(),
    ratedVoltage_V: z.number().positive(),
    minimumVoltage_V: z.number().positive(),
    ratedCapacitance_F: z.number().positive(),
    ratedEsr_Ohm: z.number().positive(),
    drivePower_W: z.number().positive(),
    overdrive_pct: z.number().nonnegative(),
    installedOn: z.iso.date(),
    assumed: assumedSchema,
  })
  .meta({ id: 'ModuleEntry' });
