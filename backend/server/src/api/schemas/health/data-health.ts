import { circuitSeriesColumns } from '@coldrounds/core';
import { z } from 'zod';
import { instant, maybe, siteReferenceSchema } from '../common.js';
import { findingSubjectSchema, statementSchema, urgencySchema } from '../round/finding.js';

export const healthOrders = ['worst', 'name', 'last', 'lateness', 'repeats', 'clock'] as const;

export const dataHealthQuerySchema = z.object({
  q: z.string().max(200).optional().describe('Words that site and unit must all contain'),
  sort: z.enum(healthOrders).default('worst').describe('`worst`: the unit of which most is missing first'),
  descending: z.stringbool().default(false),
  page: z.coerce.number().int().min(1).max(100_000).default(1),
  limit: z.coerce.number().int().min(1).max(200).default(50),
});

const clockSchema = z
  .object({
    offset_s: z
      .number()
      .describe(
        'By how much the sender’s clock is behind, s, by the lower envelope of lateness: the median of the least lateness of each hour. A constant way of its own counts as being behind; below zero the clock is surely ahead',
      ),
    from_s: z.number(),
    to_s: z.number(),
    hours: z.number(),
    shifted: z.boolean().describe('Everything comes that late, so that it is taken for history'),
  })
  .meta({ id: 'ClockOffset' });

const row = z.object({
  site: z.string(),
  siteName: z.string(),
  unit: z.string(),
  name: z.string(),
  silent: z.boolean().describe('It has a finding that it sends nothing'),
  neverHeard: z.boolean(),
  lastMessage: instant.nullable().describe('Arrival of the last message; null: none was counted yet'),
  newestReading: instant.nullable().describe('Time of the newest reading of any circuit'),
  expected: maybe.describe(
    'Samples of the last day that the interval of its circuits promises; null: values are sent on change, or no interval is known',
  ),
  received: z.number(),
  missing: z.number(),
  lost: z.number().describe('Fraction of the expected that is missing; 1: never heard'),
  messages: z.number(),
  steps: z.number().describe('Time steps of all streams'),
  repeats: z.number().describe('Of these, time steps that came again with nothing new'),
  history: z
    .number()
    .describe(
      'Of these, time steps of a backlog: in messages of which all was over ten minutes old, or over seventy minutes old themselves',
    ),
  latenessP50_s: maybe.describe('Arrival less sample time of what came at once, s; known to within its bin'),
  latenessP95_s: maybe,
  clock: clockSchema.nullable().describe('Null: fewer than three hours to tell it from'),
  catchingUp: z.boolean().describe('A backlog is coming in'),
  historyUntil: instant.nullable().describe('Newest time of the backlog that came in'),
});

const rowSchema = row.meta({ id: 'UnitDataHealth' });

const totals = z
  .object({
    units: z.number(),
    silent: z.number(),
    neverHeard: z.number(),
    incomplete: z.number().describe('Units of which samples of the last day are missing'),
    catchingUp: z.number(),
    expected: z.number(),
    missing: z.number(),
    received: z.number(),
    steps: z.number(),
    repeats: z.number(),
  })
  .meta({ id: 'DataHealthTotals' });

const list = {
  asOf: instant.nullable().describe('As of when the figures are; null: not worked out yet'),
  totals,
  page: z.number(),
  pages: z.number(),
};

const calendar = z
  .object({ samples: z.array(z.number()), missing: z.array(z.number()) })
  .describe(
    'By hour from `calendarFrom`: samples that came, whenever they came, and those known to be missing',
  )
  .meta({ id: 'GapCalendar' });

const calendarParts = {
  countedSince: instant
    .nullable()
    .describe('Since when what comes is counted; null: nothing was counted yet'),
  calendarFrom: instant,
};

export const fleetDataHealthSchema = z
  .object({ ...list, units: z.array(rowSchema) })
  .meta({ id: 'FleetDataHealth' });

export const siteDataHealthSchema = z
  .object({
    ...list,
    ...calendarParts,
    site: siteReferenceSchema,
    units: z.array(row.extend({ calendar }).meta({ id: 'UnitDataHealthOfSite' })),
  })
  .meta({ id: 'SiteDataHealth' });

const signal = z.object({
  name: z.enum(circuitSeriesColumns),
  reporting: z.enum(['sampled', 'on-change']),
  resolution: z.number().describe('Step of its values, in the unit of its name; 0: none is seen'),
  deadband: z.number().describe('Least change that is sent; 0: it is sampled'),
  interval_s: maybe,
  hold_s: z.number().describe('How long a value stands for the present'),
  glitches: z.number().describe('Wrong single samples'),
  values: z.number(),
  completeness: maybe.describe('Values of those that its own interval promises; null: it promises none'),
  newest: instant.nullable(),
});

export const unitDataHealthSchema = z
  .object({
    ...calendarParts,
    asOf: instant,
    site: siteReferenceSchema,
    unit: z.object({ key: z.string(), name: z.string() }),
    health: rowSchema.nullable().describe('Null: not worked out yet'),
    calendar,
    lateness: z
      .array(z.object({ from_s: maybe, to_s: maybe, steps: z.number() }))
      .describe('Time steps of the last day that came at once, by lateness; open bins have no edge'),
    circuits: z.array(
      z
        .object({
          number: z.number(),
          from: instant
            .nullable()
            .describe('Stretch that its signals were looked at; null: not looked at yet'),
          to: instant.nullable(),
          signals: z.array(signal.meta({ id: 'SignalHealth' })),
        })
        .meta({ id: 'CircuitDataHealth' }),
    ),
    findings: z
      .array(
        z.object({
          id: z.string(),
          condition: z.string(),
          subject: findingSubjectSchema,
          headline: statementSchema,
          urgency: urgencySchema,
        }),
      )
      .describe('Open findings on sensors and on missing telemetry'),
    cannotBeJudged: z.array(
      z
        .object({
          part: z.string(),
          because: statementSchema,
          cost: statementSchema.describe('What is not judged for that'),
        })
        .meta({ id: 'CannotBeJudged' }),
    ),
  })
  .meta({ id: 'UnitDataHealthDetail' });
