import { z } from 'zod';
import { instant, seconds } from './common.js';
import { statementSchema } from './round/finding.js';

export const estimateSchema = z
  .object({ value: z.number(), uncertainty: z.number().describe('Standard uncertainty') })
  .meta({ id: 'Estimate' });

export const moneySchema = z
  .object({
    currency: z.string().describe('ISO 4217'),
    value: z.number(),
    uncertainty: z.number().describe('Standard uncertainty'),
  })
  .meta({ id: 'Money' });

const givenAway = {
  givenAway_J_week: estimateSchema
    .nullable()
    .describe('Energy of the compressors given away in a week while nobody acts; null: not told'),
};

export const circuitEnergySchema = z
  .object({
    circuit: z.number(),
    conditions: z.array(z.string()).describe('Of the open findings that it follows from'),
    from_s: seconds,
    to_s: seconds,
    plateaus: z.number().describe('Stretches of steady running that it is based on'),
    evaporatingLost_K: estimateSchema.nullable().describe('Evaporating temperature lower than it could be'),
    evaporatingFrom: z
      .enum(['departure', 'superheat'])
      .nullable()
      .describe('Against the learned normal, or by superheat that could be lower'),
    condensingGained_K: estimateSchema
      .nullable()
      .describe('Condensing temperature higher than the learned normal'),
    share: estimateSchema.nullable().describe("Share of the compressors' energy"),
    shareAgainstNormal: estimateSchema.nullable().describe('The same by the departure from normal alone'),
    power_W: estimateSchema.nullable(),
    powerFrom: z.enum(['measured', 'water-heat', 'rated-capacity']).nullable(),
    running_h_week: z.number(),
    energy_J_week: estimateSchema.nullable(),
    cost_week: moneySchema.nullable().describe('null: the site has no price or no currency'),
    assumptions: z.array(statementSchema),
    missing: statementSchema.nullable().describe('Why no energy is told'),
  })
  .meta({ id: 'CircuitEnergy' });

export const unitEnergyListSchema = z
  .object({
    units: z.array(
      z
        .object({
          site: z.string(),
          unit: z.string(),
          ...givenAway,
          givenAwayCost_week: moneySchema.nullable().describe('null: the site has no price or no currency'),
          circuits: z.array(circuitEnergySchema),
          saved: z
            .array(
              z.object({
                finding: z.string().describe('That a visit closed'),
                since: instant,
                until: instant,
                energy_J: estimateSchema,
                cost: moneySchema.nullable(),
              }),
            )
            .describe('Since visits that put something right, measured against the normal of before'),
        })
        .meta({ id: 'UnitEnergy' }),
    ),
  })
  .meta({ id: 'UnitEnergyList' });

const sums = {
  units: z.number().describe('Units of which something is told'),
  ...givenAway,
  saved_J: estimateSchema.nullable().describe('Saved in the last 365 days since visits put things right'),
};

export const fleetEnergySchema = z
  .object({
    asOf: instant,
    ...sums,
    givenAwayCost_week: z.array(moneySchema).describe('By currency'),
    savedCost: z.array(moneySchema).describe('By currency'),
    withoutPrice: z.number().describe('Sites whose energy has no price in the registry'),
    sites: z.array(
      z
        .object({
          site: z.string(),
          name: z.string(),
          ...sums,
          givenAwayCost_week: moneySchema.nullable(),
          savedCost: moneySchema.nullable(),
        })
        .meta({ id: 'SiteEnergy' }),
    ),
  })
  .meta({ id: 'FleetEnergy' });

export const unitEnergyQuerySchema = z.object({
  units: z
    .string()
    .regex(
      /^[a-z0-9-]+\/[a-z0-9-]+(,[a-z0-9-]+\/[a-z0-9-]+){0,99}$/,
      'must be up to 100 units as {siteKey}/{unitKey}, separated by commas',
    )
    .describe('{siteKey}/{unitKey}, separated by commas'),
});
