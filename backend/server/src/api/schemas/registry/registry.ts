import { z } from 'zod';
import { siteDraftSchema, unitDraftSchema } from '../../../registry/changing/draft-schemas.js';
import { keySchema } from '../../../registry/registry-document.js';
import { instant } from '../common.js';
import { statementSchema } from '../round/finding.js';

export { siteDraftSchema, unitDraftSchema };

const because = {
  reason: z.string().trim().min(1).max(500).describe('Why it is changed'),
  holdsFrom: instant
    .nullable()
    .default(null)
    .describe('From when on it holds; null: it was always so, and the past is judged by it too'),
};

export const reasonSchema = z.object({ reason: because.reason }).meta({ id: 'RegistryReason' });

export const siteWishSchema = z.object({ site: siteDraftSchema, ...because }).meta({ id: 'SiteWish' });
export const unitWishSchema = z.object({ unit: unitDraftSchema, ...because }).meta({ id: 'UnitWish' });
export const unitChangeSchema = z
  .object({
    unit: unitDraftSchema,
    ...because,
    version: z.number().int().nonnegative().describe('`version` of the unit as its author saw it'),
  })
  .meta({ id: 'UnitChange' });
export const unitMoveSchema = z
  .object({ site: z.string().min(1).max(63), key: keySchema.max(63), ...because })
  .meta({ id: 'UnitMove' });
export const circuitMoveSchema = z
  .object({
    site: z.string().min(1).max(63),
    unit: z.string().min(1).max(63),
    number: z.number().int().min(1).max(99).describe('Its number at that unit'),
    ...because,
  })
  .meta({ id: 'CircuitMove' });
export const moduleMoveSchema = circuitMoveSchema
  .extend({
    circuits: z
      .array(z.number().int().min(1))
      .max(20)
      .describe('Circuits of that unit whose valves it shuts'),
  })
  .meta({ id: 'ModuleMove' });
export const unitCheckSchema = z
  .object({
    unit: unitDraftSchema,
    of: z.string().nullable().default(null).describe('Key of the unit that is changed; null: a new one'),
  })
  .meta({ id: 'UnitCheck' });

const missing = z.object({
  fields: z.array(z.string()).describe('Paths in the draft'),
  fact: z.string().describe('What is not known'),
  cost: z.string().describe('Which judgements are then not made, or rest on an assumption'),
});

const judged = {
  doubts: z.array(
    z.object({
      field: z.string().describe('Path in the draft'),
      refused: z.boolean().describe('Cannot be taken; otherwise it can, but should be looked at again'),
      sentence: statementSchema,
    }),
  ),
  missing: z.array(
    missing.extend({
      part: z.union([
        z.object({ kind: z.literal('unit') }),
        z.object({ kind: z.enum(['circuit', 'module']), number: z.number() }),
      ]),
    }),
  ),
  taken: unitDraftSchema
    .nullable()
    .describe(
      'The draft with what is taken instead of each figure that is not known; null: it cannot be completed',
    ),
};

export const unitJudgedSchema = z.object(judged).meta({ id: 'UnitJudged' });

const changes = z.array(
  z
    .object({
      id: z.number(),
      changedAt: instant,
      who: z.string(),
      kind: z.enum(['add', 'edit', 'retire', 'bring-back', 'move', 'document']),
      subject: z.string(),
      reason: z.string(),
      holdsFrom: instant.nullable().describe('null: it was always so'),
      differences: z.array(
        z.object({ field: z.string(), before: z.string().nullable(), after: z.string().nullable() }),
      ),
    })
    .meta({ id: 'RegistryChange' }),
);

export const registeredUnitSchema = z
  .object({
    ...judged,
    draft: unitDraftSchema,
    version: z.number(),
    retiredAt: instant.nullable(),
    changes,
  })
  .meta({ id: 'RegisteredUnit' });

const siteSummary = z.object({
  draft: siteDraftSchema,
  units: z.number().describe('In service'),
  retired: z.number(),
});

export const registeredSitesSchema = z
  .object({ sites: z.array(siteSummary.meta({ id: 'RegisteredSiteSummary' })) })
  .meta({ id: 'RegisteredSites' });

export const registeredSiteSchema = siteSummary
  .extend({
    registered: z.array(
      z.object({
        key: z.string(),
        name: z.string(),
        refrigerant: z.string(),
        circuits: z.number(),
        modules: z.number(),
        retiredAt: instant.nullable(),
      }),
    ),
    missing: z.array(missing),
    convertingCircuits: z
      .number()
      .describe('Circuits whose stored readings are still to be converted by what was corrected'),
    changes,
  })
  .meta({ id: 'RegisteredSite' });
