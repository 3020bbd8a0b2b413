import { z } from 'zod';
import { circuitMeasures } from '../../../study/queries.js';
import { maybe } from '../common.js';

export const circuitGroupSchema = z.enum(['valve-size', 'refrigerant', 'firmware', 'climate']);
export const moduleGroupSchema = z.enum(['rating', 'climate', 'firmware', 'refrigerant']);

export const circuitStudyQuerySchema = z.object({
  group: circuitGroupSchema.default('valve-size'),
  days: z.coerce.number().int().min(1).max(400).default(28),
});
export const circuitPageQuerySchema = circuitStudyQuerySchema.extend({
  site: z.string().optional(),
  q: z.string().max(200).default('').describe('Words to search for; all must occur in site, unit or cohort'),
  sort: z.enum(['circuit', 'cohort', 'steadyMinutes', ...circuitMeasures]).default('circuit'),
  descending: z.stringbool().default(false),
  page: z.coerce.number().int().min(1).max(1_000_000).default(1),
  limit: z.coerce.number().int().min(1).max(200).default(50),
});
export const backupExportQuerySchema = z.object({ group: moduleGroupSchema.default('rating') });
export const backupStudyQuerySchema = backupExportQuerySchema.extend({
  against: z
    .enum(['age', 'weighted-age'])
    .default('age')
    .describe('Age since installation, or equivalent age at 298.15 K, where 10 K lower doubles the life'),
});

const distribution = z
  .object({
    count: z.number(),
    p10: maybe,
    p25: maybe,
    p50: maybe,
    p75: maybe,
    p90: maybe,
    sample: z
      .array(z.number())
      .describe('All values in ascending order; where there are more than 200, 200 evenly spaced ones'),
  })
  .meta({ id: 'Distribution', description: 'Quantiles over circuits; null where no circuit has a value' });

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
          leftOut: z
            .enum(['none', 'level', 'level-and-swings'])
            .describe(
              'Superheat figures that are null because of an open sensor finding: `level` mean and floodback, `level-and-swings` also spread and hunting',
            ),
          steadyMinutes: z.number(),
          superheatMean_K: maybe,
          superheatSpread_K: maybe,
          floodbackFraction: maybe,
          huntingFraction: maybe,
          valveTravel_strokes_day: maybe,
          valveReversals_day: maybe,
        })
        .meta({ id: 'CircuitStudyRow' }),
    ),
    total: z.number().describe('Circuits that match the site and the words asked for'),
    page: z.number(),
    pages: z.number(),
    leftOut: z
      .object({ level: z.number(), levelAndSwings: z.number() })
      .describe('Number of circuits with figures left out'),
    tooLittle: z.number().describe('Circuits left out because they ran steadily for less than an hour'),
    cohorts: z.array(
      z
        .object({
          cohort: z.string(),
          circuits: z.number(),
          superheatMean_K: distribution,
          superheatSpread_K: distribution,
          floodbackFraction: distribution,
          huntingFraction: distribution,
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
    against: backupStudyQuerySchema.shape.against.unwrap(),
    cohorts: z.array(
      z
        .object({
          cohort: z.string(),
          modules: z.number(),
          newValueFrom: z
            .enum(['own', 'rated'])
            .describe(
              '`rated`: there are no tests from when they were new, so they are compared with their rated value',
            ),
          meanTemperature_K: maybe,
          ageYears: z
            .array(z.number())
            .describe(
              'Middles of the quarter years of age that were seen; between two stretches without a module seen in both ' +
                'a row of nulls',
            ),
          capacitanceRatioP10: z.array(z.number().nullable()),
          capacitanceRatioP50: z.array(z.number().nullable()),
          capacitanceRatioP90: z.array(z.number().nullable()),
          esrAgeYears: z.array(z.number()),
          esrRatioP50: z.array(z.number().nullable()),
        })
        .meta({
          id: 'BackupCohort',
          description:
            'Ratios are of each module against its own new or rated value; the curve moves by what modules seen at both ' +
            'ages lost, never by who is seen',
        }),
    ),
    leftOut: z.object({
      notYetKnown: z.number().describe('Modules whose ageing is not known yet'),
      withoutTests: z
        .number()
        .describe('Modules without a closing that can be compared, at a known temperature'),
    }),
  })
  .meta({ id: 'BackupStudy' });
