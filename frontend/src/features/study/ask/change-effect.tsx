import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import {
  changeEffectQuery,
  type ChangeKind,
  type Question,
  type StudyChangeEffect,
} from '../../../api/study.js';
import { useUnits } from '../../../components/site.js';
import { Failed, Loading, TooLittle } from '../../../components/states.js';
import { count } from '../../../quantities/format-quantity.js';
import { Choice } from '../study-parts.js';
import { figure, hasCourse, quantityWords } from './quantity-words.js';

const changes: [ChangeKind, string][] = [
  ['firmware', 'another controller firmware'],
  ['valve', 'another valve'],
  ['visit', 'a visit that found a cause'],
];

/** What a change did to those that had it; asked for once it is opened. */
export function ChangeEffect({ question }: { question: Question }) {
  const [opened, setOpened] = useState(false);
  if (!hasCourse(question.quantity)) return null;
  return (
    <details onToggle={(event) => setOpened(event.currentTarget.open)}>
      <summary>Before and after a change</summary>
      {opened && <Effect question={question} />}
    </details>
  );
}

function Effect({ question }: { question: Question }) {
  const [change, setChange] = useState<ChangeKind>('firmware');
  const [became, setBecame] = useState('');
  const effect = useQuery(changeEffectQuery(question, change, became === '' ? undefined : became));
  const words = effect.data?.words ?? [];
  return (
    <>
      <p className="study-tools">
        <Choice
          words="through"
          value={change}
          among={changes}
          choose={(value) => {
            setChange(value);
            setBecame('');
          }}
        />
        {words.length > 0 && (
          <Choice
            words="to"
            value={became}
            among={[['', 'any'] as const, ...words.map((word) => [word, word.replaceAll('-', ' ')] as const)]}
            choose={setBecame}
          />
        )}
      </p>
      {effect.isPending ? (
        <Loading what="the effect" />
      ) : effect.isError ? (
        <Failed what="the effect" error={effect.error} retry={() => void effect.refetch()} />
      ) : (
        <Told effect={effect.data} question={question} />
      )}
    </>
  );
}

function Told({ effect, question }: { effect: StudyChangeEffect; question: Question }) {
  const system = useUnits();
  const shown = (value: number | null) => figure(question.quantity, value, system, 'difference');
  const { effect: told, changedBy, othersBy, units, changes: number, weeks, earlier } = effect;
  if (told === null)
    return (
      <TooLittle>
        Nothing can be told: {count(units[0]!, 'unit')} with such a change and {count(units[1]!, 'unit')}{' '}
        without have figures before and after, and five of each are needed. Changes count that were made in
        the time asked of.
      </TooLittle>
    );
  const clear = told.low > 0 || told.high < 0;
  return (
    <>
      <p>
        {clear ? 'The change moves' : 'No effect is seen on'} {quantityWords[question.quantity].words}
        {clear && (
          <>
            {' '}
            by <b className="n">{shown(told.estimate)}</b>
          </>
        )}{' '}
        ({!clear && `${shown(told.estimate)}, `}95 % interval {shown(told.low)} to {shown(told.high)}).
      </p>
      <p className="study-note">
        {count(number, 'circuit')} changed, in {count(weeks, 'week')}; {count(units[0]!, 'unit')} that had it
        moved by {shown(changedBy)}, {count(units[1]!, 'unit')} that did not by {shown(othersBy)} over the
        same dates: four weeks before the week of the change against four weeks after it.
        {earlier !== null &&
          ` In the four weeks before that they moved apart by ${shown(earlier.estimate)} (${shown(earlier.low)} to ${shown(earlier.high)})${earlier.low > 0 || earlier.high < 0 ? ': they already differed, so the change need not be the reason.' : '.'}`}
      </p>
    </>
  );
}
