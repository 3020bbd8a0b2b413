import { useCallback, useMemo } from 'react';
import type { Question, StudyAnswer } from '../../../api/study.js';
import { courseOption, fewUnder, scatterOption } from '../../../charts/study/study-answers.js';
import { Chart, type Drawing } from '../../../components/chart/chart.js';
import { useUnits } from '../../../components/site.js';
import { DataTable } from '../../../components/table/data-table.js';
import { count } from '../../../quantities/format-quantity.js';
import type { UnitSystem } from '../../../quantities/unit-system.js';
import { DistributionStrip } from '../distribution-strip.js';
import { courseTable, distributionTable } from './answer-tables.js';
import { axisWords, figure, quantityWords, scaleFor } from './quantity-words.js';
import { capitalised } from '../../../quantities/capitalised.js';

interface AnswerProps {
  question: Question;
  answer: StudyAnswer;
}

const oneOf = { circuits: 'circuit', modules: 'module', sensors: 'sensor' } as const;

/** The picture of an answer, what it rests on, and what was left out. */
export function Answer({ question, answer }: AnswerProps) {
  const one = oneOf[question.of];
  return (
    <>
      <h3>{capitalised(quantityWords[question.quantity].words)}</h3>
      {answer.distribution && <Distribution question={question} groups={answer.distribution} one={one} />}
      {answer.scatter && <Scatter question={question} scatter={answer.scatter} one={one} />}
      {(answer.trend ?? answer.share) && <Course question={question} answer={answer} one={one} />}
      <p className="study-note">
        {count(answer.known, one)} of {answer.members}, in {count(answer.units, 'unit')}
        {question.of === 'modules' && answer.trend === null && answer.share === null
          ? `, as of ${lastDay(answer.to)}.`
          : `, ${answer.from.slice(0, 10)} to ${lastDay(answer.to)}.`}
        {answer.leftOut.days > 0 &&
          ` Left out: ${count(answer.leftOut.days, 'day')} of ${count(answer.leftOut.circuits, 'circuit')} on which a sensor was found wrong.`}
        {question.quantity === 'headroom_K' &&
          ' Below 0 it is held nearer to the lowest that is steady than the safety margin: nothing can be given back.'}
      </p>
    </>
  );
}

/** The end of a span is the start of the day after it. */
const lastDay = (to: string): string => new Date(Date.parse(to) - 1).toISOString().slice(0, 10);

const fewMark = (units: number): string => (units < fewUnder ? `, under ${fewUnder} units` : '');

type Distributed = NonNullable<StudyAnswer['distribution']>;

function Distribution({ question, groups, one }: { question: Question; groups: Distributed; one: string }) {
  const system = useUnits();
  const shown = useCallback(
    (value: number | null) => figure(question.quantity, value, system),
    [question.quantity, system],
  );
  const table = useCallback(
    () => distributionTable(question, groups, one, system),
    [question, groups, one, system],
  );
  return (
    <>
      <DistributionStrip
        one={one}
        rows={groups
          .filter((group) => group.count > 0)
          .map(({ group, sample, ...rest }) => ({
            ...rest,
            name: `${group}${fewMark(rest.units)}`,
            circuits: rest.count,
            values: sample,
          }))}
        format={shown}
      />
      <DataTable table={table} name={`${question.quantity}-by-${question.split ?? 'all'}`} />
    </>
  );
}

type Scattered = NonNullable<StudyAnswer['scatter']>;

const nameOf = ({ site, unit, circuit, module, sensor }: Scattered['points'][number]): string =>
  [
    site,
    unit,
    circuit === null ? null : `circuit ${circuit}`,
    module === null ? null : `module ${module}`,
    sensor,
  ]
    .filter((part) => part !== null)
    .join(', ');

function Scatter({ question, scatter, one }: { question: Question; scatter: Scattered; one: string }) {
  const { quantity, against } = question;
  const draw = useCallback(
    ({ theme, system }: Drawing) =>
      scatterOption(
        scatter.middles.map(({ group, bins }) => ({
          group,
          points: scatter.points
            .filter((point) => point.group === group)
            .map((point) => ({ x: point.x, y: point.y, name: nameOf(point) })),
          middles: bins,
        })),
        {
          across: axisWords(against!, system),
          up: axisWords(quantity, system),
          convertX: scaleFor(against!, system).convert,
          convertY: scaleFor(quantity, system).convert,
        },
        theme,
      ),
    [scatter, quantity, against],
  );
  const few = scatter.middles.filter(({ bins }) => bins.length === 0).length;
  return (
    <Chart
      draw={draw}
      height={360}
      label={`${quantityWords[quantity].words} against ${quantityWords[against!].words}, a mark for each ${one}`}
      caption={`${scatter.shown === scatter.total ? count(scatter.total, one) : `${scatter.shown} of ${count(scatter.total, one)}, evenly taken`}. Lines go through the medians of groups of ten and more${few > 0 ? '; where there are fewer there is none' : ''}.`}
    />
  );
}

function Course({ question, answer, one }: AnswerProps & { one: string }) {
  const { quantity } = question;
  const share = answer.share !== null;
  const groups = useMemo(() => coursesOf(answer), [answer]);
  const draw = useCallback(
    ({ theme, system }: Drawing) =>
      courseOption(
        groups,
        share
          ? { up: `${one}s over the limit, %`, convert: (value) => 100 * value, bands: true }
          : { up: axisWords(quantity, system), convert: scaleFor(quantity, system).convert, bands: true },
        theme,
      ),
    [groups, share, quantity, one],
  );
  const data = useCallback(
    (system: UnitSystem) => courseTable(question, answer, one, system),
    [question, answer, one],
  );
  const behind = groups.flatMap(({ points }) =>
    points.flatMap(({ n, middle }) => (middle === null ? [] : [n])),
  );
  return (
    <Chart
      draw={draw}
      height={340}
      label={`${quantityWords[quantity].words}${share ? ', share over a limit' : ''} over time, a line for each group`}
      caption={`${share ? `Share of the ${one}s over the limit` : `Median of the ${one}s`}; with one or two groups ${share ? 'the 95 % interval of so many' : 'the middle 50 %'} as a band. ${countsBehind(behind)} An open mark: under ${fewUnder} units.${question.of === 'modules' && !share ? ' From month to month other modules may have been tested; below, each is drawn against itself.' : ''}`}
      data={data}
    />
  );
}

/** The points of each group; periods before the first and after the last of which anything is known are left off. */
function coursesOf(answer: StudyAnswer) {
  const groups = answer.share ?? answer.trend ?? [];
  const known = (groups[0]?.points ?? []).map((_, period) =>
    groups.some(({ points }) => points[period]!.n > 0),
  );
  const [first, last] = [known.indexOf(true), known.lastIndexOf(true)];
  return groups.map(({ group, points }) => ({
    group,
    points: points.slice(Math.max(0, first), last + 1).map((point) => ({
      time_s: Date.parse(point.from) / 1000,
      n: point.units,
      members: point.n,
      ...('share' in point
        ? { low: point.low, middle: point.share, high: point.high }
        : { low: point.p25, middle: point.p50, high: point.p75 }),
    })),
  }));
}

/** How many units are behind the points, the fewest and the most. */
function countsBehind(units: readonly number[]): string {
  if (units.length === 0) return '';
  const [least, most] = [Math.min(...units), Math.max(...units)];
  return least === most
    ? `Behind each point are ${count(least, 'unit')}.`
    : `Behind a point are ${least} to ${count(most, 'unit')}; how many, the point and the table say.`;
}
