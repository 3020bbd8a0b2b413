import { z } from 'zod';
import { instant } from '../common.js';
import { urgencyOrQuietSchema } from './round.js';

export const roundChangeQuerySchema = z.object({
  since: z.coerce
    .number()
    .int()
    .min(0)
    .optional()
    .describe('`next` of the answer before; left out: only where the round stands now'),
  limit: z.coerce.number().int().min(1).max(1000).default(200).describe('Changes in one answer'),
});

export const roundChangeListSchema = z
  .object({
    version: z.number().describe('Number of the newest change of the round'),
    next: z.number().describe('To be given as `since` next time; under `version` there is more to read now'),
    readAgain: z
      .boolean()
      .describe('Some of what changed since is no longer kept, or `since` is unknown: read the round again'),
    changes: z
      .array(
        z
          .object({
            number: z.number(),
            unit: z.string().describe('{siteKey}/{unitKey}'),
            changedAt: instant,
            urgency: urgencyOrQuietSchema.describe('Of the unit as it stands now, not as it stood then'),
            findings: z.number().describe('Open now'),
          })
          .meta({ id: 'RoundChange' }),
      )
      .describe('Oldest first'),
  })
  .meta({ id: 'RoundChangeList' });
