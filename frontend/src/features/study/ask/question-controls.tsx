import type { Askable, Picture, Question, QuantityName, Subject } from '../../../api/study.js';
import { useUnits } from '../../../components/site.js';
import { Choice } from '../study-parts.js';
import { NumberField } from './number-field.js';
import { Filters, Having, Ranges, TimeAsked } from './question-limits.js';
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
const anyone = '';

const named = (names: readonly QuantityName[]) =>
  names.map((name) => [name, quantityWords[name].words] as const);

interface ControlProps {
  askable: Askable;
  question: Question;
  /** Operating ranges of the address, those that are being typed as well. */
  ranges: StudySearch['range'];
  choose: (change: StudySearch) => void;
}

/** A question in a few choices. */
export function QuestionControls({ askable, question, ranges, choose }: ControlProps) {
  const { of, picture, quantity } = question;
  const fields = askable.subjects.find((each) => each.of === of)?.fields ?? [];
  const offered = pictureWords.filter(
    ([each]) =>
      (each !== 'scatter' || quantitiesOf[of].length > 1) &&
      ((each !== 'trend' && each !== 'share') || hasCourse(quantity)),
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
      <TimeAsked question={question} choose={choose} />
      <Filters fields={fields} question={question} choose={choose} />
      <Having conditions={askable.conditions} question={question} choose={choose} />
      {of === 'circuits' && <Ranges asked={ranges} choose={choose} />}
    </div>
  );
}

/** Above what a circuit or sensor counts. */
function Limit({ question, choose }: Pick<ControlProps, 'question' | 'choose'>) {
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
