import { z } from 'zod';
import { maybe } from './common.js';

export const refrigerantListSchema = z
  .object({
    refrigerants: z.array(
      z
        .object({
          name: z.string(),
          safetyClass: z.string(),
          composition: z
            .array(z.object({ name: z.string(), massFraction: z.number() }))
            .describe('Mass fractions, 0..1; one entry for a pure substance'),
          glide_K: maybe.describe('Dew less bubble temperature at 101.325 kPa'),
          minimumTemperature_K: maybe,
          maximumTemperature_K: maybe,
          maximumError_K: maybe.describe(
            'Largest error of saturation temperature against the source of the table',
          ),
          source: z.string(),
        })
        .meta({ id: 'Refrigerant' }),
    ),
  })
  .meta({ id: 'RefrigerantList' });
