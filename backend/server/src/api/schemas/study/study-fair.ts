import { lastDaysFrom_s } from '@coldrounds/core';
import { z } from 'zod';
import { changeKinds } from '../../../study/fair/changes.js';
import { fieldsOf } from '../../../study/ask/population.js';
import { quantities, type QuantityName } from '../../../study/ask/question.js';
import { BadParameterError } from '../../errors.js';
import { maybe } from '../common.js';
import { many, questionQuerySchema, wheresOf } from './study-question.js';

export const comparisonQuerySchema = questionQuerySchema.extend({
  split: z.string().max(40),
  first: z.string().max(200).describe('Word of the field: the first group'),
  second: z.string().max(200).describe('Word of the field: the second group'),
  without: many('What is not adjusted for, though it could be'),
});

const figure = z
  .object({ estimate: z.number(), low: z.number(), high: z.number() })
  .describe('With its 95 % interval, from drawing units');
const pair = z.array(z.number()).length(2).describe('Of the first group and of the second');

export const comparisonSchema = z
  .object({
    difference: figure.nullable().describe('Mean of the first group less that of the second, like with like'),
    notTold: z
      .enum(['too-few', 'unlike'])
      .nullable()
      .describe('`too-few`: under five units in a group; `unlike`: the groups have too little in common'),
    crude: maybe.describe('The difference without any adjustment'),
    ...{ rows: pair, units: pair, effective: pair, withoutCounterpart: pair },
    adjustedFor: z.array(z.string()),
    balance: z
      .array(z.object({ name: z.string(), word: z.string().nullable(), before: maybe, after: maybe }))
      .describe('How unlike the groups are, in standard deviations; null: in what varies in neither'),
    withoutFigure: z.number(),
    leftOut: z.object({ circuits: z.number(), days: z.number() }),
    from: z.string(),
    to: z.string(),
  })
  .meta({ id: 'StudyComparison' });

export const studyChangeQuerySchema = questionQuerySchema.extend({
  change: z.enum(changeKinds).default('firmware'),
  became: z
    .string()
    .max(200)
    .optional()
    .describe('Only changes to this word, such as a firmware or `lowered`'),
  span: z.coerce
    .number()
    .int()
    .min(7)
    .max(182)
    .default(28)
    .describe('Days looked at before the week of the change, and after it'),
});

export const changeEffectSchema = z
  .object({
    effect: figure.nullable().describe('Change of those that had it less that of those that did not'),
    notTold: z.enum(['too-few']).nullable(),
    changedBy: maybe,
    othersBy: maybe,
    units: pair.describe('Units with the change, and without it'),
    changes: z.number(),
    weeks: z.number().describe('Weeks in which changes were made; each is compared over its own dates'),
    earlier: figure
      .nullable()
      .describe(
        'The same over the time before the change: where it is not about zero, others are no fair comparison',
      ),
    words: z.array(z.string()).describe('What circuits of the population changed to at any time'),
  })
  .meta({ id: 'StudyChangeEffect' });

export const survivalQuerySchema = z.object({
  split: z.enum(['temperature', ...Object.keys(fieldsOf.modules)] as [string, ...string[]]).optional(),
  where: many('Who is asked of, `field:word`'),
  capacitance: z.coerce.number().min(0.1).max(0.99).default(0.8).describe('Part of the new capacitance'),
  esr: z.coerce.number().min(1.01).max(10).default(2).describe('Times the new ESR'),
});

export function survivalQuestionOf(
  { split, where, capacitance, esr }: z.infer<typeof survivalQuerySchema>,
  sites: readonly string[] | null,
) {
  const known = (field: string) => {
    if (!(field in fieldsOf.modules))
      throw new BadParameterError([
        { name: 'where', reason: `must name one of ${Object.keys(fieldsOf.modules).join(', ')}` },
      ]);
    return field;
  };
  return {
    split: split ?? null,
    where: wheresOf(where, known),
    capacitance_fraction: capacitance,
    esr_fraction: esr,
    sites,
  };
}

export const survivalSchema = z
  .object({
    modules: z.number(),
    leftOut: z.object({
      tooLittle: z.number().describe('Modules with fewer than two months that can be compared'),
      underAtFirst: z.number().describe('Modules under the limit when they were first seen'),
    }),
    groups: z.array(
      z.object({
        group: z.string(),
        modules: z.number(),
        failures: z.number(),
        median_years: maybe,
        seenUntil_years: z.number(),
        steps: z.array(
          z.object({
            ...{ age_years: z.number(), atRisk: z.number(), failures: z.number(), survival: z.number() },
            ...{ standardError: z.number(), low: z.number(), high: z.number() },
          }),
        ),
      }),
    ),
    difference: z
      .object({
        observed: z.array(z.number()),
        expected: z.array(z.number()),
        ...{ chiSquare: z.number(), degreesOfFreedom: z.number(), probability: z.number() },
      })
      .nullable()
      .describe('Log-rank test between the groups'),
    coming: z.array(
      z.object({
        ...{ from: z.string(), to: z.string(), expected: z.number(), low: z.number(), high: z.number() },
        notTold: z.number().describe('Modules older than five others have been watched at'),
      }),
    ),
  })
  .meta({ id: 'StudySurvival' });

const placedQuantities = (others: string) =>
  z.array(
    z.object({
      quantity: z.enum(quantities as unknown as [QuantityName, ...QuantityName[]]),
      value: maybe,
      below: maybe.describe('Fraction of its like that lies below'),
      equal: maybe.describe('Fraction of its like with the same value'),
      others: z.number().describe(`${others} of other units that it is compared with`),
      alikeIn: z.array(z.string()).describe('Fields in which these are alike'),
    }),
  );

export const unitPlacesSchema = z
  .object({
    days: z.number(),
    circuits: z.array(z.object({ circuit: z.number(), quantities: placedQuantities('Circuits') })),
    modules: z.array(z.object({ module: z.number(), quantities: placedQuantities('Modules') })),
  })
  .meta({ id: 'UnitPlaces' });

export const wearQuerySchema = z.object({
  where: many('Who is asked of, `field:word`'),
  days: z.coerce.number().int().min(7).max(1100).default(90).describe('Days up to now'),
});

export function wearQuestionOf(
  { where, days }: z.infer<typeof wearQuerySchema>,
  sites: readonly string[] | null,
  now_s = Date.now() / 1000,
) {
  const known = (field: string) => {
    if (!(field in fieldsOf.circuits))
      throw new BadParameterError([
        { name: 'where', reason: `must name one of ${Object.keys(fieldsOf.circuits).join(', ')}` },
      ]);
    return field;
  };
  const to_s = lastDaysFrom_s(now_s, 0);
  return { where: wheresOf(where, known), from_s: to_s - days * 86_400, to_s, sites };
}

const spread = z.object({
  count: z.number(),
  ...{ p10: maybe, p25: maybe, p50: maybe, p75: maybe, p90: maybe },
  sample: z.array(z.number()),
});
const wearGroups = z.array(
  z.object({
    size: z.string(),
    duty: z.string().nullable().describe('Hours of running a day; null: all'),
    ...{ circuits: z.number(), units: z.number() },
    travel: spread.describe('Part of the rated full strokes that a year at this pace takes'),
    reversals: spread.describe('The same of the rated reversals'),
    life: spread.describe('Of whichever goes first'),
    byReversals: z.number().describe('Circuits whose reversals go first'),
    left: spread.describe('Years left of the rated life at this pace, had the valve always moved so'),
    leftMedian: figure.nullable().describe('Median of the years left; null: of fewer than five units'),
  }),
);
export const wearSchema = z
  .object({
    circuits: z.number(),
    observed: z.number().describe('Circuits whose opening was seen for half a day at least'),
    withoutAge: z
      .number()
      .describe('Of these, in units of which it is not known when they were commissioned'),
    assumedLife: z.number().describe('Of these, with a rated life that is assumed, as the registry has none'),
    leftOut: z.object({ circuits: z.number(), days: z.number() }),
    from: z.string(),
    to: z.string(),
    sizes: wearGroups,
    duties: wearGroups,
  })
  .meta({ id: 'ValveWearStudy' });
