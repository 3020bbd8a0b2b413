import { evaporatorTypes, reportingHabits } from '@coldrounds/core';
import { z } from 'zod';
import { isTimeZone, keySchema } from '../registry-document.js';

const reference = z.enum(['absolute', 'gauge']);
const known = z.number().finite();
const unknown = 'null: not known';
const maybePositive = known.positive().nullable().describe(unknown);
const maybe = known.nullable().describe(unknown);
const words = z.string().trim().min(1).max(100);

export const circuitDraftSchema = z
  .object({
    number: z.number().int().min(1).max(99),
    suctionReference: reference,
    dischargeReference: reference,
    suctionMinimum_Pa: maybe,
    suctionMaximum_Pa: maybe,
    suctionTolerance_Pa: maybePositive,
    dischargeMinimum_Pa: maybe,
    dischargeMaximum_Pa: maybe,
    dischargeTolerance_Pa: maybePositive,
    suctionTemperatureTolerance_K: maybePositive,
    valveSize: words.nullable().describe(unknown),
    kv_m3_h: maybePositive,
    motors: z.union([z.literal(1), z.literal(2)]),
    fullStroke_steps: known.int().positive().nullable().describe(unknown),
    rate_steps_s: maybePositive,
    refrigerantCharge_kg: maybePositive,
    floodbackLimit_K: known.nonnegative().nullable().describe(unknown),
    safetyMargin_K: known.nonnegative().nullable().describe(unknown),
  })
  .meta({ id: 'CircuitDraft' });

export const moduleDraftSchema = z
  .object({
    number: z.number().int().min(1).max(99),
    circuits: z.array(z.number().int().positive()).min(1),
    ratedVoltage_V: known.positive(),
    minimumVoltage_V: known.positive(),
    ratedCapacitance_F: known.positive(),
    drivePower_W: known.positive(),
    cellsInSeries: known.int().positive().nullable().describe(unknown),
    ratedEsr_Ohm: maybePositive,
    overdrive_pct: known.nonnegative().nullable().describe(unknown),
    installedOn: z.iso.date().nullable().describe(unknown),
  })
  .meta({ id: 'ModuleDraft' });

export const unitDraftSchema = z
  .object({
    key: keySchema.max(63),
    name: words,
    refrigerant: z.string().min(1).max(40),
    nominalCapacity_W: known.positive(),
    condenser: z.enum(['air', 'water']),
    evaporator: z.enum(evaporatorTypes),
    reversible: z.boolean(),
    reporting: z.enum(reportingHabits).nullable().describe('null: learned from the telemetry'),
    commissionedOn: z.iso.date().nullable().describe(unknown),
    controllerFirmware: words.nullable().describe(unknown),
    circuits: z.array(circuitDraftSchema).min(1).max(20),
    modules: z.array(moduleDraftSchema).max(20),
  })
  .meta({ id: 'UnitDraft' });

export const siteDraftSchema = z
  .object({
    key: keySchema.max(63),
    name: words,
    altitude_m: known.min(-450).max(9000).nullable().describe(unknown),
    latitude_deg: known.min(-90).max(90).nullable().describe(unknown),
    longitude_deg: known.min(-180).max(180).nullable().describe(unknown),
    timeZone: z.string().max(60).refine(isTimeZone, 'must be an IANA time zone'),
    climate: words.nullable().describe(unknown),
    region: words.nullable(),
    currency: z
      .string()
      .regex(/^[A-Z]{3}$/, 'must be an ISO 4217 code')
      .nullable(),
    energyPrice_per_kWh: maybePositive,
  })
  .meta({ id: 'SiteDraft' });

export type SiteDraft = z.output<typeof siteDraftSchema>;
