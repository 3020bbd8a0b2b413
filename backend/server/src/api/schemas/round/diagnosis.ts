import { causes } from '@coldrounds/core';
import { z } from 'zod';
import { instant, seconds } from '../common.js';
import {
  certaintySchema,
  findingSubjectSchema,
  hazardSchema,
  statementSchema,
  urgencySchema,
  waitingCostSchema,
} from './finding.js';

export const causeSchema = z.enum(causes).meta({ id: 'Cause' });

export const adviceSchema = z
  .object({
    change: z.enum(['loop-gain', 'valve-size', 'setpoint', 'charge']),
    sentence: statementSchema,
    basis: statementSchema.describe('How it was worked out, and on what it is based'),
    figures: z.record(
      z.string(),
      z
        .object({
          value: z.number(),
          low: z.number(),
          high: z.number(),
          unit: z.enum(['share', 'times', 'm3/h', 'K', 's']),
        })
        .meta({ id: 'AdvisedFigure' })
        .describe('With the range in which it lies in about 19 of 20 cases'),
    ),
  })
  .meta({ id: 'Advice' });

export const diagnosisSchema = z
  .object({
    id: z.string(),
    cause: causeSchema,
    name: z.string().describe('The cause in words'),
    subject: findingSubjectSchema,
    headline: statementSchema.describe('The cause and how sure, as a sentence'),
    weight: z.number().describe('Probability of the cause, 0..1'),
    certainty: certaintySchema,
    rivals: z
      .array(z.object({ cause: causeSchema, name: z.string(), weight: z.number() }).meta({ id: 'Rival' }))
      .describe('What else would explain the same symptoms, likeliest first'),
    separatingCheck: statementSchema.nullable().describe('Tells the cause from the likeliest rival'),
    advice: adviceSchema
      .nullable()
      .describe('What could be set or fitted otherwise, for whoever may do so; null: nothing is advised'),
    urgency: urgencySchema,
    waiting: waitingCostSchema,
    symptoms: z.array(z.string()).describe('Ids of the findings that it explains, most telling first'),
    consequences: z
      .array(z.string())
      .describe('Those of them that only follow from the cause: no problems of their own'),
    since_s: seconds.describe('When the first of what points to the cause was first seen'),
    hazards: z.array(hazardSchema),
    cautions: z.array(z.string()).describe('What a person must mind besides the cautions of every visit'),
    openedAt: instant,
    updatedAt: instant,
    endedAt: instant.nullable().describe('null while the diagnosis is open'),
  })
  .meta({ id: 'Diagnosis' });
