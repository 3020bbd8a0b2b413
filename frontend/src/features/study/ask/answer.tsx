import { useCallback, useMemo } from 'react';
import type { Question, StudyAnswer } from '../../../api/study.js';
import { courseOption, fewUnder, scatterOption } from '../../../charts/study/study-answers.js';
import { Chart, type Drawing } from '../../../components/chart/chart.js';
import { useUnits } from '../../../components/site.js';
import { SortableTable, type Column } from '../../../components/table/sortable-table.js';
import { count } from '../../../quantities/format-quantity.js';
import { DistributionStrip } from '../distribution-strip.js';
import { axisWords, figure, quantityWords, scaleFor } from './quantity-words.js';

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
        {question.of === 'modules' ? '.' : `, ${answer.from.slice(0, 10)} to ${lastDay(answer.to)}.`}
        {answer.leftOut.days > 0 &&
          ` Left out: ${count(answer.leftOut.days, 'day')} of ${count(answer.leftOut.circuits, 'circuit')} on which a sensor was found wrong.`}
      </p>
    </>
  );
}

const capitalised = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

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
  const columns = useMemo((): Column<Distributed[number]>[] => {
    const numbers = (['p10', 'p25', 'p50', 'p75', 'p90'] as const).map((name) => ({
      id: name,
      head: name === 'p50' ? 'Median' : `${name.slice(1)} %`,
      number: true,
      sortBy: (row: Distributed[number]) => row[name] ?? undefined,
      cell: (row: Distributed[number]) => shown(row[name]),
    }));
    return [
      {
        id: 'group',
        head: question.split ?? 'Group',
        sortBy: ({ group }) => group,
        cell: ({ group }) => group,
      },
      {
        id: 'count',
        head: capitalised(`${one}s`),
        number: true,
        sortBy: (row) => row.count,
        cell: (row) => row.count,
      },
      {
        id: 'units',
        head: 'Units',
        number: true,
        sortBy: ({ units }) => units,
        cell: ({ units }) => (units < fewUnder ? `${units}, few` : units),
      },
      ...numbers,
    ];
  }, [question.split, one, shown]);
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
      <details>
        <summary>As a table</summary>
        <SortableTable
          rows={groups}
          columns={columns}
          first="group"
          label="Groups of the answer"
          rowKey={({ group }) => group}
        />
      </details>
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
  const groups = useMemo(
    () =>
      (answer.share ?? answer.trend ?? []).map(({ group, points }) => ({
        group,
        points: points.map((point) => ({
          time_s: Date.parse(point.from) / 1000,
          n: point.units,
          ...('share' in point
            ? { low: point.low, middle: point.share, high: point.high }
            : { low: point.p25, middle: point.p50, high: point.p75 }),
        })),
      })),
    [answer],
  );
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
  return (
    <>
      <Chart
        draw={draw}
        height={340}
        label={`${quantityWords[quantity].words}${share ? ', share over a limit' : ''} over time, a line for each group`}
        caption={`${share ? `Share of the ${one}s over the limit` : `Median of the ${one}s`}; with one or two groups ${share ? 'the 95 % interval of so many' : 'the middle 50 %'} as a band. An open mark: under ${fewUnder} units.`}
      />
      <Counts groups={groups} />
    </>
  );
}

/** How many units are behind each point. */
function Counts({ groups }: { groups: { group: string; points: { time_s: number; n: number }[] }[] }) {
  return (
    <details className="small">
      <summary>Units behind each point</summary>
      <div className="scroll-x" tabIndex={0} role="region" aria-label="Units behind each point">
        <table>
          <thead>
            <tr>
              <th scope="col">from</th>
              {groups.map(({ group }) => (
                <th key={group} scope="col" className="number">
                  {group}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {groups[0]!.points.map(({ time_s }, index) => (
              <tr key={time_s}>
                <td>{new Date(time_s * 1000).toISOString().slice(0, 10)}</td>
                {groups.map(({ group, points }) => (
                  <td key={group} className="number">
                    {points[index]!.n}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
