import { z } from 'zod';
import { instant } from '../common.js';
import { estimateSchema, moneySchema } from '../energy.js';

export const portfolioOrders = ['name', 'urgency', 'units', 'change', 'proven', 'health', 'energy'] as const;

export const portfolioQuerySchema = z.object({
  by: z.enum(['site', 'region']).default('site'),
  sort: z
    .enum(portfolioOrders)
    .default('urgency')
    .describe('`urgency`: most units of the highest urgency first'),
  descending: z.stringbool().default(false),
  q: z.string().max(200).optional().describe('Only rows whose name or region holds all of these words'),
  page: z.coerce.number().int().min(1).max(100_000).default(1),
  limit: z.coerce.number().int().min(1).max(500).default(100),
});

const counted = z.object({ new: z.number(), worse: z.number(), better: z.number(), gone: z.number() });

const counts = z.object({
  today: z.number(),
  thisWeek: z.number(),
  nextVisit: z.number(),
  watch: z.number(),
  quiet: z.number(),
});

export const nearbySitesSchema = z
  .object({
    sites: z.array(
      z
        .object({
          key: z.string(),
          name: z.string(),
          distance_m: z.number().describe('As the crow flies'),
          byUrgency: counts.describe('Its units by their most urgent problem'),
        })
        .meta({ id: 'NearbySite' }),
    ),
  })
  .meta({ id: 'NearbySites' });

export const portfolioSchema = z
  .object({
    by: z.enum(['site', 'region']),
    asOf: instant,
    judgingSince: instant.nullable(),
    units: z.number(),
    month: z
      .object({ since: instant, known: z.boolean(), counts: counted })
      .describe(
        'What got worse and better in the last 30 days, by units; `known`: judging is older than that',
      ),
    change: z
      .object({ since: instant, known: z.boolean() })
      .describe('What `change` of the rows is against; `known`: judging is older than that'),
    rows: z.array(
      z
        .object({
          key: z.string().describe('Of the site, or the name of the region'),
          name: z.string(),
          region: z.string().nullable(),
          sites: z.number(),
          units: z.number(),
          byUrgency: counts,
          change: z
            .number()
            .nullable()
            .describe('Units that ask something of someone, now less 90 days ago; null: not known'),
          modules: z.number(),
          proven: z.number().describe('Modules lately seen to shut their valve on stored energy'),
          circuits: z.number(),
          upToDate: z.number().describe('Circuits with a judged window in the last six hours'),
          silent: z.number().describe('Units that send nothing'),
          expected: z
            .number()
            .describe(
              'Samples of the last day that the intervals of its circuits promise, as of the page on data health',
            ),
          missing: z.number().describe('Of these, samples that did not come'),
          notJudged: z.number().describe('Windows and closings that could not be judged'),
          givenAway_J_week: estimateSchema
            .nullable()
            .describe('Energy given away in a week while nobody acts; null: not told'),
          givenAwayCost_week: z.array(moneySchema).describe('By currency'),
        })
        .meta({ id: 'PortfolioRow' }),
    ),
    places: z.number().describe('Sites or regions, with whatever words'),
    total: z.number().describe('Of these, the ones with the words asked for'),
    page: z.number(),
    pages: z.number(),
  })
  .meta({ id: 'Portfolio' });
