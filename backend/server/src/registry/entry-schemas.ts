import { pointConversion, pointQuantities, sparkplugStreams } from '@coldrounds/core';
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

const id = z
  .string()
  .min(1)
  .max(200)
  .regex(/^[^+#/]+$/, 'must be an identifier of Sparkplug: without + # and /');

/** Which metric of Sparkplug B is which quantity. */
export const sparkplugPointSchema = z
  .object({
    group: id,
    edge: id.describe('Edge node'),
    device: id.optional().describe('Left out: a metric of the edge node itself'),
    metric: z.string().min(1).max(500),
    stream: z.enum(sparkplugStreams).describe('Which part of the unit it belongs to'),
    number: z.number().int().min(1).max(99).optional().describe('Of the circuit or backup module'),
    quantity: z.string().describe('Name of the telemetry contract'),
    unit: z.string().min(1).max(20).describe('In which it is sent'),
    scale: z.number().optional().describe('What the number sent is multiplied by first; default 1'),
  })
  .superRefine((point, context) => {
    const issue = (path: string, message: string) =>
      context.addIssue({ code: 'custom', path: [path], message });
    const metric = pointQuantities[point.stream].find(({ name }) => name === point.quantity);
    if (metric === undefined) return issue('quantity', `is none of ${point.stream}`);
    const gate = { metric, difference: point.quantity === 'superheat-setpoint' };
    if (pointConversion(point.unit, gate) === null) issue('unit', `is none of ${point.quantity}`);
    const numbered = point.stream === 'circuits' || point.stream === 'backup';
    if (numbered !== (point.number !== undefined))
      issue('number', numbered ? 'is missing' : `does not belong to ${point.stream}`);
    if (point.scale === 0 || (point.scale !== undefined && !Number.isFinite(point.scale)))
      issue('scale', 'must be a number other than 0');
  })
  .meta({ id: 'SparkplugPoint' });
