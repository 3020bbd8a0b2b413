import { sparkplugStreams } from '@coldrounds/core';
import { z } from 'zod';
import { sparkplugPointSchema } from '../../../registry/entry-schemas.js';
import { instant } from '../common.js';

const stream = z.enum(sparkplugStreams);
const number = z.number().nullable().describe('Of the circuit or backup module; null: of the unit');

const node = {
  group: z.string(),
  edge: z.string().describe('Edge node'),
  device: z.string().describe('Empty: the edge node itself'),
  alive: z.boolean().nullable().describe('null: neither birth nor death came'),
  bornAt: instant.nullable(),
  lastAt: instant,
  messages: z.number(),
  rebirths: z.number().describe('Times that its births were asked for'),
  metricCount: z.number().nullable().describe('Announced by its newest birth; null: none came'),
};

export const sparkplugNodeSchema = z.object(node).meta({ id: 'SparkplugNode' });

export const unitPointsSchema = z
  .object({
    version: z.number().describe('Number of the newest change of the unit'),
    points: z.array(
      z.object({
        group: z.string(),
        edge: z.string(),
        device: z.string(),
        metric: z.string(),
        stream,
        number,
        quantity: z.string(),
        unit: z.string(),
        scale: z.number(),
      }),
    ),
    quantities: z
      .array(z.object({ stream, number, quantity: z.string(), units: z.array(z.string()) }))
      .describe('What the unit can take, and in which units it may be sent'),
    nodes: z
      .array(z.object({ ...node, units: z.array(z.string()).describe('Units that take quantities from it') }))
      .describe('Edge nodes and devices that are heard, in the order of their names'),
  })
  .meta({ id: 'UnitPoints' });

export const unitPointsWishSchema = z
  .object({
    points: z.array(sparkplugPointSchema).max(1_000),
    reason: z.string().trim().min(1).max(500).describe('Why it is changed'),
    version: z.number().int().nonnegative().describe('`version` of the unit as its author saw it'),
  })
  .meta({ id: 'UnitPointsWish' });

export const sparkplugNodeQuerySchema = z.object({
  group: z.string().min(1).max(200),
  edge: z.string().min(1).max(200),
  device: z.string().max(200).optional().describe('Left out: the edge node itself'),
});

export const sparkplugMetricsSchema = z
  .object({
    metrics: z.array(
      z.object({
        name: z.string(),
        type: z.string(),
        unit: z.string().nullable().describe('As its birth names it'),
        value: z.union([z.number(), z.string()]).nullable().describe('At its birth'),
        guess: z
          .object({ stream, number, quantity: z.string(), unit: z.string().nullable() })
          .nullable()
          .describe('What it probably is; null: nothing like a quantity of the unit'),
      }),
    ),
  })
  .meta({ id: 'SparkplugMetrics' });

export const pointTableQuerySchema = z.object({ reason: z.string().trim().min(1).max(500) });

export const pointTableOutcomeSchema = z
  .object({
    rows: z.number(),
    units: z.number().describe('Units that it names'),
    changed: z.number().describe('Units whose metrics it changes'),
    problems: z.array(
      z.object({
        row: z.number().describe('Counted from 1 under the heads; 0: the table as a whole'),
        sentence: z.string(),
      }),
    ),
    problemCount: z.number(),
  })
  .meta({ id: 'PointTableOutcome' });
