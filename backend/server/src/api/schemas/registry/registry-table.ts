import { z } from 'zod';
import { instant } from '../common.js';

const columnMapping = z
  .string()
  .max(20_000)
  .optional()
  .describe('JSON array: what each column is, as `fields` names it, or null; left out: guessed by the heads');

export const tablePreviewQuerySchema = z.object({ mapping: columnMapping });
export const tableApplyQuerySchema = z.object({
  mapping: columnMapping,
  reason: z.string().trim().min(1).max(500),
  holdsFrom: instant.optional().describe('From when on the changes hold; left out: it was always so'),
});

const problem = z.object({
  row: z.number().describe('Counted from 1 under the heads; 0: the table as a whole'),
  column: z.number().nullable().describe('From 0; null: the row as a whole'),
  sentence: z.string(),
});

export const tableOutcomeSchema = z
  .object({
    columns: z.array(
      z.object({
        head: z.string(),
        is: z.string().nullable().describe('What it is taken for; null: not used'),
        examples: z.array(z.string()),
      }),
    ),
    fields: z
      .array(z.object({ name: z.string(), words: z.string(), required: z.boolean() }))
      .describe('What a column can be'),
    rows: z.number(),
    sites: z.number().describe('New sites'),
    added: z.number().describe('New units'),
    changed: z.number().describe('Registered units that the table changes'),
    same: z.number().describe('Registered units of which it says nothing new'),
    problems: z.array(problem).describe('The first of them; while there is one, nothing is written'),
    problemCount: z.number(),
    doubts: z.array(problem).describe('What hardly can be right, but can be taken; the first of them'),
    doubtCount: z.number(),
  })
  .meta({ id: 'TableOutcome' });
