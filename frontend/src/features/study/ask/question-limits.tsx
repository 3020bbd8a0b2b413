import type { Askable, Question } from '../../../api/study.js';
import { useUnits } from '../../../components/site.js';
import { count } from '../../../quantities/format-quantity.js';
import { Choice } from '../study-parts.js';
import { NumberField } from './number-field.js';
import { datesOf, spanOf, type StudySearch } from './question-search.js';
import { quantityWords, scaleFor } from './quantity-words.js';

const nobody = '';

interface LimitProps {
  question: Question;
  choose: (change: StudySearch) => void;
}

const spans = [7, 28, 90, 180, 365, 730].map((days) => [days, `${days} days`] as const);

/** The spans to choose from, with that of the address where it is another. */
const withOwn = (days: number) =>
  spans.some(([each]) => each === days) ? spans : [...spans, [days, `${days} days`] as const];

/** The time asked of: so many days, or from one day to another. */
export function TimeAsked({ question, choose }: LimitProps) {
  const { from, to } = datesOf(question);
  const keep = (first: string, last: string) => {
    const span = spanOf(first, last);
    if (span !== null) choose(span);
  };
  const course = question.picture === 'trend' || question.picture === 'share';
  // As of a day there is nothing that begins.
  const spanned = question.of !== 'modules' || course;
  return (
    <>
      {spanned && (
        <>
          <Choice
            words="over"
            value={question.days}
            among={withOwn(question.days)}
            choose={(value) => choose({ days: value })}
          />
          <DayField words="from" value={from} keep={(value) => keep(value, to)} />
        </>
      )}
      <DayField
        words={spanned ? 'to' : 'as of'}
        value={to}
        keep={(value) => (spanned ? keep(from, value) : choose({ to: spanOf(value, value)?.to }))}
      />
      {course && question.of !== 'modules' && (
        <Choice
          words="by"
          value={question.period ?? 'month'}
          among={periods}
          choose={(value) => choose({ period: value === 'week' ? 'week' : undefined })}
        />
      )}
    </>
  );
}

const periods = [
  ['month', 'calendar months'],
  ['week', 'weeks'],
] as const;

function DayField({ words, value, keep }: { words: string; value: string; keep: (value: string) => void }) {
  return (
    <label>
      {words}{' '}
      <input
        key={value}
        type="date"
        defaultValue={value}
        max={new Date().toISOString().slice(0, 10)}
        onBlur={({ target }) => target.value !== '' && target.value !== value && keep(target.value)}
        onKeyDown={({ key, currentTarget }) => key === 'Enter' && currentTarget.blur()}
      />
    </label>
  );
}

const rangeNames = [
  'compressorLoad_pct',
  'ambientTemperature_K',
  'evaporatingTemperature_K',
  'condensingTemperature_K',
] as const;
type RangeName = (typeof rangeNames)[number];

interface OperatingRange {
  name: RangeName;
  from: number | undefined;
  to: number | undefined;
}

const end = (text: string | undefined) => (text === undefined || text === '' ? undefined : Number(text));

function rangeOf(text: string): OperatingRange | null {
  const [name, ends = ''] = text.split(':');
  const [from, to] = ends.split('..');
  const known = rangeNames.find((each) => each === name);
  return known === undefined ? null : { name: known, from: end(from), to: end(to) };
}

const textOf = ({ name, from, to }: OperatingRange) => `${name}:${from ?? ''}..${to ?? ''}`;

/** Only days in an operating range: of load and of temperatures. */
export function Ranges({ asked, choose }: { asked: StudySearch['range']; choose: LimitProps['choose'] }) {
  const system = useUnits();
  const ranges = (asked ?? []).flatMap((text) => rangeOf(text) ?? []);
  const keep = (all: OperatingRange[]) =>
    choose({ range: all.length === 0 ? undefined : all.map((each) => textOf(each)) });
  const offered = rangeNames.filter((name) => !ranges.some((each) => each.name === name));
  return (
    <>
      {ranges.map((range, index) => {
        const { unit, convert } = scaleFor(range.name, system);
        // A linear scale, turned round.
        const [zero, one] = [convert(0), convert(1)];
        const back = (value: number | undefined) =>
          value === undefined ? undefined : Number(((value - zero) / (one - zero)).toPrecision(7));
        const shown = (value: number | undefined) => (value === undefined ? undefined : convert(value));
        const replace = (change: Partial<OperatingRange>) =>
          keep(ranges.map((each, place) => (place === index ? { ...range, ...change } : each)));
        const { words } = quantityWords[range.name];
        return (
          <span key={range.name} className="ask-range">
            <NumberField
              words={`only days with ${words} from`}
              unit=""
              value={shown(range.from)}
              keep={(value) => replace({ from: back(value) })}
            />
            <NumberField
              words="to"
              unit={unit}
              value={shown(range.to)}
              keep={(value) => replace({ to: back(value) })}
            />
            <button
              type="button"
              className="button small"
              aria-label={`Days with any ${words}`}
              onClick={() => keep(ranges.filter((each) => each !== range))}
            >
              ✕
            </button>
          </span>
        );
      })}
      {offered.length > 0 && (
        <Choice
          words={ranges.length === 0 ? 'on days with' : 'and with'}
          value={nobody}
          among={[
            [nobody, 'any load and temperatures'] as const,
            ...offered.map((name) => [name, `${quantityWords[name].words} in a range`] as const),
          ]}
          choose={(value) =>
            value !== nobody &&
            keep([...ranges, { name: value as RangeName, from: undefined, to: undefined }])
          }
        />
      )}
    </>
  );
}

type Fields = Askable['subjects'][number]['fields'];

/** Who is asked: words of the registry, each of which can be taken off again. */
export function Filters({ fields, question, choose }: { fields: Fields } & LimitProps) {
  const where = question.where ?? [];
  const choices: (readonly [string, string])[] = [
    [nobody, where.length === 0 ? 'all' : 'and also'],
    ...fields.flatMap(({ name, values }) =>
      values
        .filter(({ value }) => !where.includes(`${name}:${value}`))
        .map(({ value, members }) => [`${name}:${value}`, `${name}: ${value} (${members})`] as const),
    ),
  ];
  return (
    <>
      <Choice
        words="among"
        value={nobody}
        among={choices}
        choose={(value) => value !== nobody && choose({ where: [...where, value] })}
      />
      {where.map((each) => (
        <button
          key={each}
          type="button"
          className="button small"
          onClick={() => {
            const rest = where.filter((other) => other !== each);
            choose({ where: rest.length === 0 ? undefined : rest });
          }}
          aria-label={`Without the limit to ${each.replace(':', ' ')}`}
        >
          {each.replace(':', ' ')} ✕
        </button>
      ))}
    </>
  );
}

/** Only those that had a finding of a condition in the time asked of. */
export function Having({ conditions, question, choose }: { conditions: Askable['conditions'] } & LimitProps) {
  const { having } = question;
  const known = conditions.map(
    ({ condition, units }) =>
      [condition, `${condition.replaceAll('-', ' ')} (${count(units, 'unit')})`] as const,
  );
  const own =
    having === undefined || conditions.some(({ condition }) => condition === having)
      ? []
      : [[having, having.replaceAll('-', ' ')] as const];
  return (
    <Choice
      words="that had"
      value={having ?? nobody}
      among={[[nobody, 'any finding or none'] as const, ...known, ...own]}
      choose={(value) => choose({ having: value === nobody ? undefined : value })}
    />
  );
}
