import type { Question, StudyAnswer } from '../../../api/study.js';
import type { Table } from '../../../charts/evidence/table.js';
import { fewUnder } from '../../../charts/study/study-answers.js';
import type { UnitSystem } from '../../../quantities/unit-system.js';
import { axisWords, scaleFor } from './quantity-words.js';

/** To the digits that a picture can show. */
const rounded = (value: number | null, convert: (value: number) => number): number | null =>
  value === null ? null : Number(convert(value).toPrecision(4));

const mark = (units: number): string => (units < fewUnder ? `under ${fewUnder} units` : '');

/** What a distribution draws: a row for each group. */
export function distributionTable(
  question: Question,
  groups: NonNullable<StudyAnswer['distribution']>,
  one: string,
  system: UnitSystem,
): Table {
  const { convert } = scaleFor(question.quantity, system);
  const what = axisWords(question.quantity, system);
  return {
    columns: [
      question.split ?? 'group',
      `${one}s`,
      'units',
      ...['10 %', '25 %', 'median', '75 %', '90 %'].map((part) => `${what}: ${part}`),
      'note',
    ],
    rows: groups
      .filter(({ count }) => count > 0)
      .map(({ group, count, units, p10, p25, p50, p75, p90 }) => [
        group,
        count,
        units,
        ...[p10, p25, p50, p75, p90].map((value) => rounded(value, convert)),
        mark(units),
      ]),
  };
}

/** What a course over time draws: a row for each point, with how many are behind it; periods with none have no row. */
export function courseTable(question: Question, answer: StudyAnswer, one: string, system: UnitSystem): Table {
  const share = answer.share !== null;
  const convert = share ? (value: number) => 100 * value : scaleFor(question.quantity, system).convert;
  const what = share ? `${one}s over the limit, %` : axisWords(question.quantity, system);
  const parts = share ? ['share', '95 % interval from', 'to'] : ['median', '25 %', '75 %'];
  return {
    columns: [
      'from',
      'until',
      question.split ?? 'group',
      `${one}s`,
      'units',
      ...parts.map((part) => `${what}: ${part}`),
      'note',
    ],
    rows: (answer.share ?? answer.trend ?? []).flatMap(({ group, points }) =>
      points
        .filter(({ n }) => n > 0)
        .map((point) => [
          point.from.slice(0, 10),
          point.to.slice(0, 10),
          group,
          point.n,
          point.units,
          ...('share' in point
            ? [point.share, point.low, point.high]
            : [point.p50, point.p25, point.p75]
          ).map((value) => rounded(value, convert)),
          mark(point.units),
        ]),
    ),
  };
}
