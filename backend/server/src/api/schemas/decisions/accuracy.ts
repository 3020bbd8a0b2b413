import { causes } from '@coldrounds/core';
import { z } from 'zod';
import { certaintySchema } from '../round/finding.js';

const counts = {
  visits: z.number(),
  confirmed: z.number().describe('Visits that saw the cause that was said to be likeliest'),
  otherCause: z.number(),
  nothingFound: z.number(),
  interval: z
    .object({ low: z.number(), high: z.number() })
    .describe('95 % interval (Jeffreys) of the fraction of visits that confirm it'),
};

export const accuracySchema = z
  .object({
    all: z.object(counts),
    withoutCause: z.number().describe('Visits before which no cause was said; not counted above'),
    causes: z.array(
      z
        .object({ cause: z.enum(causes), name: z.string(), certainty: certaintySchema, ...counts })
        .meta({ id: 'CauseAccuracy' }),
    ),
  })
  .meta({ id: 'Accuracy' });
