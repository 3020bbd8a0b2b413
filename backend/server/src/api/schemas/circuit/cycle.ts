import { z } from 'zod';
import { maybe, seconds } from '../common.js';
import { statementSchema } from '../round/finding.js';

const saturationLine = z.object({
  pressure_Pa: z.array(z.number()),
  temperature_K: z.array(z.number()),
  enthalpy_J_kg: z.array(z.number()),
});

export const cycleSchema = z
  .object({
    refrigerant: z.string(),
    at_s: seconds.nullable().describe('Time of the readings used; null: no complete reading'),
    bubbleLine: saturationLine,
    dewLine: saturationLine,
    points: z
      .array(
        z
          .object({
            name: z.enum([
              'suction',
              'discharge',
              'condenser-dew',
              'condenser-bubble',
              'liquid',
              'evaporator-inlet',
              'evaporator-dew',
            ]),
            label: z.string(),
            pressure_Pa: z.number(),
            enthalpy_J_kg: z.number(),
            temperature_K: maybe,
          })
          .meta({ id: 'StatePoint' }),
      )
      .describe(
        'State points in the order of the cycle, from suction; empty when the readings do not allow it',
      ),
    path: z
      .object({ pressure_Pa: z.array(z.number()), enthalpy_J_kg: z.array(z.number()) })
      .describe('The closed cycle as a line; empty without state points'),
    refrigeratingEffect_J_kg: maybe,
    compression_J_kg: maybe.describe('Enthalpy rise from suction to discharge'),
    sentences: z.array(statementSchema).describe('Assumptions, and the reasons for points that are missing'),
  })
  .meta({ id: 'Cycle' });
