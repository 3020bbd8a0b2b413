import { z } from 'zod';
import { lastDaysFrom_s } from '@coldrounds/core';
import { hasPeriods } from '../../../study/ask/member-figures.js';
import { fieldsOf } from '../../../study/ask/population.js';
import {
  pictures,
  quantities,
  quantitiesOf,
  rangeNames,
  subjects,
  type OperatingRange,
  type Question,
  type QuantityName,
  type Where,
} from '../../../study/ask/question.js';
import { BadParameterError } from '../../errors.js';
import { maybe } from '../common.js';

/** A parameter that may come more than once. */
export const many = (what: string) =>
  z
    .union([z.string(), z.array(z.string())])
    .default([])
    .transform((value) => [value].flat())
    .pipe(z.array(z.string().max(200)).max(40))
    .describe(what);

const quantity = z.enum(quantities as unknown as [QuantityName, ...QuantityName[]]);

/** A question as its address has it. */
export const questionQuerySchema = z.object({
  of: z.enum(subjects).default('circuits'),
  picture: z.enum(pictures).default('distribution'),
  quantity: quantity.default('superheatMean_K'),
  against: quantity.optional().describe('What lies across in a scatter'),
  over: z.coerce.number().optional().describe('In a share over time: above what one counts'),
  split: z.string().max(40).optional().describe('Field of the registry that divides the population'),
  where: many('Who is asked of, `field:word`; of one field any of its words'),
  having: z
    .string()
    .max(80)
    .optional()
    .describe('Only those with a finding of this condition in the time asked of'),
  range: many('Only days in an operating range, `quantity:from..to`, either end may be left out'),
  days: z.coerce
    .number()
    .int()
    .min(1)
    .max(1100)
    .default(28)
    .describe('Days up to the end, the running one counted'),
  to: z.iso.date().optional().describe('Last day (UTC); left out: today'),
  period: z.enum(['week', 'month']).default('month').describe('Of modules always months'),
});
export type QuestionQuery = z.infer<typeof questionQuerySchema>;

const day_s = 86_400;

/** The question that an address asks. Throws `BadParameterError` for one that cannot be asked. */
export function questionOf(
  query: QuestionQuery,
  sites: readonly string[] | null,
  now_s = Date.now() / 1000,
): Question {
  const { of, picture, split, against, over } = query;
  const refuse = (name: string, reason: string): never => {
    throw new BadParameterError([{ name, reason }]);
  };
  const known = (name: string, field: string) =>
    field in fieldsOf[of] ? field : refuse(name, `must name one of ${Object.keys(fieldsOf[of]).join(', ')}`);
  for (const [name, each] of [
    ['quantity', query.quantity],
    ...(picture === 'scatter' ? ([['against', against]] as const) : []),
  ] as const)
    if (each === undefined || !quantitiesOf[of].includes(each))
      refuse(name, `must be one of ${quantitiesOf[of].join(', ')}`);
  if ((picture === 'trend' || picture === 'share') && !hasPeriods(query.quantity))
    refuse('quantity', 'is only known as of now and has no course over time');
  if (picture === 'share' && over === undefined) refuse('over', 'is needed for a share');
  const to_s =
    query.to === undefined
      ? lastDaysFrom_s(now_s, 0)
      : Math.min(Date.parse(query.to) / 1000 + day_s, lastDaysFrom_s(now_s, 0));
  return {
    of,
    picture,
    quantity: query.quantity,
    against: picture === 'scatter' ? against! : null,
    over: over ?? null,
    split: split === undefined ? null : known('split', split),
    where: wheresOf(query.where, (field) => known('where', field)),
    condition: query.having ?? null,
    ranges: query.range.map((text) => rangeOf(text, refuse)),
    from_s: to_s - query.days * day_s,
    to_s,
    period: query.period,
    sites,
  };
}

/** `field:word`, each as often as it comes; of one field any of its words. */
export function wheresOf(texts: readonly string[], known: (field: string) => string): Where[] {
  const found = new Map<string, string[]>();
  for (const text of texts) {
    const [field, ...rest] = text.split(':');
    const own = found.get(known(field)) ?? [];
    own.push(rest.join(':'));
    found.set(field, own);
  }
  return [...found].map(([field, values]) => ({ field, values }));
}

function rangeOf(text: string, refuse: (name: string, reason: string) => never): OperatingRange {
  const [, name, from, to] = /^(\w+):(-?[\d.]*)\.\.(-?[\d.]*)$/.exec(text) ?? [];
  const range =
    rangeNames.find((each) => each === name) ?? refuse('range', `must be of one of ${rangeNames.join(', ')}`);
  const ends = [from === '' ? -Infinity : Number(from), to === '' ? Infinity : Number(to)];
  if (!(ends[0] <= ends[1])) refuse('range', 'must go from a number to one that is not smaller');
  return { name: range, from: ends[0], to: ends[1] };
}

const named = {
  site: z.string(),
  unit: z.string(),
  circuit: z.number().nullable(),
  module: z.number().nullable(),
  sensor: z.string().nullable(),
};
const ofPeriod = { from: z.string(), to: z.string(), n: z.number(), units: z.number() };
const groupName = z.string().describe('Word of the field that divides the population; `all` where none does');

export const answerSchema = z
  .object({
    members: z.number().describe('Circuits, modules or sensors that the question is of'),
    known: z.number().describe('Of these, the ones with a figure'),
    units: z.number().describe('Units that these belong to'),
    leftOut: z
      .object({ circuits: z.number(), days: z.number() })
      .describe('Days of running that do not count because a sensor was found wrong, and circuits with such'),
    from: z.string(),
    to: z.string(),
    distribution: z
      .array(
        z.object({
          group: groupName,
          units: z.number(),
          count: z.number(),
          ...{ p10: maybe, p25: maybe, p50: maybe, p75: maybe, p90: maybe },
          sample: z.array(z.number()),
        }),
      )
      .nullable(),
    scatter: z
      .object({
        points: z.array(z.object({ ...named, group: groupName, x: z.number(), y: z.number() })),
        shown: z.number(),
        total: z.number(),
        middles: z.array(
          z.object({
            group: groupName,
            bins: z.array(
              z.object({
                ...{ n: z.number(), units: z.number(), x: z.number() },
                ...{ p25: z.number(), p50: z.number(), p75: z.number() },
              }),
            ),
          }),
        ),
      })
      .nullable(),
    trend: z
      .array(
        z.object({
          group: groupName,
          points: z.array(z.object({ ...ofPeriod, p25: maybe, p50: maybe, p75: maybe })),
        }),
      )
      .nullable(),
    share: z
      .array(
        z.object({
          group: groupName,
          points: z.array(z.object({ ...ofPeriod, share: maybe, low: maybe, high: maybe })),
        }),
      )
      .nullable(),
  })
  .meta({
    id: 'StudyAnswer',
    description:
      'What the fleet answers: one of the four pictures, the others null. Figures of fewer than five units can turn on one.',
  });

export const askableSchema = z
  .object({
    conditions: z
      .array(z.object({ condition: z.string(), units: z.number() }))
      .describe('Conditions that have been found at any time, and in how many units'),
    subjects: z.array(
      z.object({
        of: z.enum(subjects),
        members: z.number(),
        fields: z.array(
          z.object({
            name: z.string(),
            values: z.array(z.object({ value: z.string(), members: z.number() })),
          }),
        ),
      }),
    ),
    saved: z.array(
      z
        .object({
          id: z.number(),
          name: z.string(),
          question: z.string().describe('The query of its address'),
          who: z.string(),
          savedAt: z.string(),
          own: z.boolean().describe('Saved by whoever asks, who may therefore remove it'),
        })
        .meta({ id: 'SavedQuestion' }),
    ),
  })
  .meta({ id: 'Askable' });

export const newQuestionSchema = z
  .object({
    name: z.string().trim().min(1).max(120),
    question: z
      .string()
      .max(2000)
      .describe('The query of its address, such as `of=circuits&quantity=huntingFraction`'),
  })
  .meta({ id: 'NewQuestion' });
