import type { Askable, Picture, Question, QuantityName, Subject } from '../../../api/study.js';
import { useUnits } from '../../../components/site.js';
import { Choice } from '../study-parts.js';
import { hasCourse, quantitiesOf, quantityWords, scaleFor } from './quantity-words.js';
import type { StudySearch } from './question-search.js';

const pictureWords: [Picture, string][] = [
  ['distribution', 'distribution'],
  ['scatter', 'against another figure'],
  ['trend', 'over time'],
  ['share', 'share over a limit, over time'],
];
const subjectWords: [Subject, string][] = [
  ['circuits', 'circuits'],
  ['modules', 'backup modules'],
  ['sensors', 'sensors'],
];
const spans = [7, 28, 90, 180, 365, 730].map((days) => [days, `${days} days`] as const);
const anyone = '';

const named = (names: readonly QuantityName[]) =>
  names.map((name) => [name, quantityWords[name].words] as const);

interface ControlProps {
  askable: Askable;
  question: Question;
  choose: (change: StudySearch) => void;
}

/** A question in a few choices. */
export function QuestionControls({ askable, question, choose }: ControlProps) {
  const { of, picture, quantity } = question;
  const fields = askable.subjects.find((each) => each.of === of)?.fields ?? [];
  const offered = pictureWords.filter(
    ([each]) =>
      (each !== 'scatter' || quantitiesOf[of].length > 1) &&
      ((each !== 'trend' && each !== 'share') || (of !== 'modules' && hasCourse(quantity))),
  );
  const splits: (readonly [string, string])[] = [
    [anyone, 'nothing'],
    ...fields.map(({ name }) => [name, name] as const),
  ];
  return (
    <div className="ask-controls">
      <Choice
        words="Of"
        value={of}
        among={subjectWords}
        choose={(value) =>
          choose({
            of: value,
            quantity: undefined,
            against: undefined,
            split: undefined,
            where: undefined,
            first: undefined,
            second: undefined,
          })
        }
      />
      <Choice
        words="show"
        value={quantity}
        among={named(quantitiesOf[of])}
        choose={(value) => choose({ quantity: value, over: undefined })}
      />
      <Choice words="as" value={picture} among={offered} choose={(value) => choose({ picture: value })} />
      {picture === 'scatter' && (
        <Choice
          words="against"
          value={question.against ?? quantitiesOf[of][0]!}
          among={named(quantitiesOf[of].filter((each) => each !== quantity))}
          choose={(value) => choose({ against: value })}
        />
      )}
      {picture === 'share' && <Limit question={question} choose={choose} />}
      <Choice
        words="by"
        value={question.split ?? anyone}
        among={splits}
        choose={(value) =>
          choose({ split: value === anyone ? undefined : value, first: undefined, second: undefined })
        }
      />
      {of !== 'modules' && (
        <Choice
          words="over"
          value={question.days}
          among={withOwn(question.days)}
          choose={(value) => choose({ days: value })}
        />
      )}
      <Filters fields={fields} question={question} choose={choose} />
      {of === 'circuits' && <LoadRange question={question} choose={choose} />}
    </div>
  );
}

/** The spans to choose from, with that of the address where it is another. */
const withOwn = (days: number) =>
  spans.some(([each]) => each === days) ? spans : [...spans, [days, `${days} days`] as const];

/** A number of its own unit, kept once the field is left. */
function NumberField({
  words,
  value,
  unit,
  keep,
}: {
  words: string;
  value: number | undefined;
  unit: string;
  keep: (value: number | undefined) => void;
}) {
  return (
    <label>
      {words}{' '}
      <input
        key={value}
        className="ask-number"
        type="text"
        inputMode="decimal"
        defaultValue={value === undefined ? '' : String(Number(value.toPrecision(6)))}
        onBlur={({ target }) => {
          const typed = target.value.trim().replace(',', '.');
          const next = typed === '' || !Number.isFinite(Number(typed)) ? undefined : Number(typed);
          if (next !== value) keep(next);
        }}
        onKeyDown={({ key, currentTarget }) => key === 'Enter' && currentTarget.blur()}
      />{' '}
      {unit}
    </label>
  );
}

/** Above what a circuit or sensor counts. */
function Limit({ question, choose }: Omit<ControlProps, 'askable'>) {
  const units = useUnits();
  const { unit, convert } = scaleFor(question.quantity, units);
  // A linear scale, turned round.
  const [zero, one] = [convert(0), convert(1)];
  return (
    <NumberField
      words="over"
      unit={unit}
      value={convert(question.over ?? 0)}
      keep={(value) => choose({ over: value === undefined ? undefined : (value - zero) / (one - zero) })}
    />
  );
}

const rangeOf = (range: readonly string[] | undefined): [number | undefined, number | undefined] => {
  const own = range?.find((each) => each.startsWith('compressorLoad_pct:'));
  const ends = own?.slice(own.indexOf(':') + 1).split('..') ?? [];
  const number = (text: string | undefined) => (text === undefined || text === '' ? undefined : Number(text));
  return [number(ends[0]), number(ends[1])];
};

/** Only days in a range of load; other ranges of an address stay as they are. */
function LoadRange({ question, choose }: Omit<ControlProps, 'askable'>) {
  const [from, to] = rangeOf(question.range);
  const keep = (ends: [number | undefined, number | undefined]) => {
    const others = (question.range ?? []).filter((each) => !each.startsWith('compressorLoad_pct:'));
    const own = ends.every((end) => end === undefined)
      ? []
      : [`compressorLoad_pct:${ends[0] ?? ''}..${ends[1] ?? ''}`];
    const range = [...others, ...own];
    choose({ range: range.length === 0 ? undefined : range });
  };
  return (
    <>
      <NumberField words="at a load from" unit="" value={from} keep={(value) => keep([value, to])} />
      <NumberField words="to" unit="%" value={to} keep={(value) => keep([from, value])} />
    </>
  );
}

type Fields = Askable['subjects'][number]['fields'];

/** Who is asked: words of the registry, each of which can be taken off again. */
function Filters({ fields, question, choose }: { fields: Fields } & Omit<ControlProps, 'askable'>) {
  const where = question.where ?? [];
  const choices: (readonly [string, string])[] = [
    [anyone, where.length === 0 ? 'all' : 'and also'],
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
        value={anyone}
        among={choices}
        choose={(value) => value !== anyone && choose({ where: [...where, value] })}
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
      {question.having !== undefined && (
        <button type="button" className="button small" onClick={() => choose({ having: undefined })}>
          with {question.having.replaceAll('-', ' ')} ✕
        </button>
      )}
    </>
  );
}
