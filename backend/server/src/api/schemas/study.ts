import { z } from 'zod';
import { maybe } from './common.js';

export const circuitGroupSchema = z.enum(['valve-size', 'refrigerant', 'firmware', 'climate']);
export const moduleGroupSchema = z.enum(['rating', 'climate', 'firmware', 'refrigerant']);

export const circuitStudyQuerySchema = z.object({
  group: circuitGroupSchema.default('valve-size'),
  days: z.coerce.number().int().min(1).max(400).default(28),
});
export const backupStudyQuerySchema = z.object({ group: moduleGroupSchema.default('rating') });

const distribution = z
  .object({
    count: z.number(),
    p10: maybe,
    p25: maybe,
    p50: maybe,
    p75: maybe,
    p90: maybe,
  })
  .meta({ id: 'Distribution', description: 'Quantiles over circuits; null where nothing could be counted' });

export const circuitStudySchema = z
  .object({
    group: circuitGroupSchema,
    days: z.number(),
    circuits: z.array(
      z
        .object({
          site: z.string(),
          unit: z.string(),
          circuit: z.number(),
          cohort: z.string(),
          steadyMinutes: z.number(),
          superheatMean_K: maybe,
          superheatSpread_K: maybe,
          floodbackShare: maybe,
          huntingShare: maybe,
          valveTravel_strokes_day: maybe,
          valveReversals_day: maybe,
        })
        .meta({ id: 'CircuitStudyRow' }),
    ),
    cohorts: z.array(
      z
        .object({
          cohort: z.string(),
          circuits: z.number(),
          superheatMean_K: distribution,
          superheatSpread_K: distribution,
          floodbackShare: distribution,
          huntingShare: distribution,
          valveTravel_strokes_day: distribution,
          valveReversals_day: distribution,
        })
        .meta({ id: 'CircuitCohort' }),
    ),
  })
  .meta({ id: 'CircuitStudy' });

export const backupStudySchema = z
  .object({
    group: moduleGroupSchema,
    modules: z.array(
      z
        .object({
          site: z.string(),
          unit: z.string(),
          module: z.number(),
          cohort: z.string(),
          ageYears: z.array(z.number()).describe('Age of the module at each point'),
          capacitanceRatio: z.array(z.number().nullable()).describe("Against the module's own new value"),
          esrRatio: z.array(z.number().nullable()),
          temperature_K: z.array(z.number().nullable()),
        })
        .meta({ id: 'BackupStudyModule' }),
    ),
    cohorts: z.array(
      z
        .object({
          cohort: z.string(),
          modules: z.number(),
          meanTemperature_K: maybe,
          ageYears: z.array(z.number()),
          capacitanceRatioP10: z.array(z.number().nullable()),
          capacitanceRatioP50: z.array(z.number().nullable()),
          capacitanceRatioP90: z.array(z.number().nullable()),
          esrRatioP50: z.array(z.number().nullable()),
        })
        .meta({ id: 'BackupCohort' }),
    ),
  })
  .meta({ id: 'BackupStudy' });
