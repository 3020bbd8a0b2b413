import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { changeEffectQuery, type Question, type StudyChangeEffect } from '../../../api/study.js';
import { useUnits } from '../../../components/site.js';
import { Failed, Loading, TooLittle } from '../../../components/states.js';
import { count } from '../../../quantities/format-quantity.js';
import { Choice } from '../study-parts.js';
import { changeWords, type StudySearch } from './question-search.js';
import { canBeMoved, figure, quantityWords } from './quantity-words.js';

interface EffectProps {
  question: Question;
  search: StudySearch;
  choose: (change: StudySearch) => void;
}

const lengths = (days: number[]) => days.map((each) => [each, `${each} days`] as const);
/** Modules are told of by the month. */
const subjects = {
  circuits: {
    one: 'circuit',
    spans: lengths([14, 28, 56, 91]),
    usual: 28,
    changes: changeWords.filter(([change]) => change !== 'charging'),
  },
  modules: {
    one: 'module',
    spans: lengths([56, 91, 182]),
    usual: 91,
    changes: changeWords.filter(([change]) => change !== 'setpoint' && change !== 'valve'),
  },
};
const subjectOf = ({ of }: Question) => subjects[of === 'modules' ? 'modules' : 'circuits'];

/** What a change did to those that had it; asked for once it is opened. */
export function ChangeEffect({ question, search, choose }: EffectProps) {
  const [opened, setOpened] = useState(false);
  if (!canBeMoved(question.quantity)) return null;
  const shown = opened || search.change !== undefined;
  return (
    <details
      open={shown}
      onToggle={({ currentTarget: { open } }) => {
        setOpened(open);
        if (!open && search.change !== undefined)
          choose({ change: undefined, became: undefined, span: undefined });
      }}
    >
      <summary>Before and after a change</summary>
      {shown && <Effect question={question} search={search} choose={choose} />}
    </details>
  );
}

function Effect({ question, search, choose }: EffectProps) {
  const { usual, spans, changes } = subjectOf(question);
  const { became = '', span = usual } = search;
  const change = changes.find(([each]) => each === search.change)?.[0] ?? 'firmware';
  const effect = useQuery(
    changeEffectQuery(question, { change, span, became: became === '' ? undefined : became }),
  );
  const words = [...new Set([...(effect.data?.words ?? []), ...(became === '' ? [] : [became])])];
  return (
    <>
      <p className="study-tools">
        <Choice
          words="through"
          value={change}
          among={changes}
          choose={(value) => choose({ change: value, became: undefined })}
        />
        {words.length > 0 && (
          <Choice
            words="to"
            value={became}
            among={[['', 'any'] as const, ...words.map((word) => [word, word.replaceAll('-', ' ')] as const)]}
            choose={(value) => choose({ change, became: value === '' ? undefined : value })}
          />
        )}
        <Choice
          words="over"
          value={span}
          among={spans.some(([each]) => each === span) ? spans : [...spans, [span, `${span} days`] as const]}
          choose={(value) => choose({ change, span: value === usual ? undefined : value })}
        />
      </p>
      {change === 'setpoint' && (
        <p className="study-note">
          A change of the setpoint is seen in telemetry: its level, the median of a week of daily means, moves
          by 0.5 K or more and stays. Circuits that send no setpoint count as unchanged.
        </p>
      )}
      {change === 'charging' && (
        <p className="study-note">
          A change of the charging voltage is seen in telemetry: the voltage at which self-tests begin, the
          median of five tests, moves by 2 % of the rated voltage or more and stays. A charger that fails in
          part looks the same. The capacitance itself depends a little on the voltage.
        </p>
      )}
      {effect.isPending ? (
        <Loading what="the effect" />
      ) : effect.isError ? (
        <Failed what="the effect" error={effect.error} retry={() => void effect.refetch()} />
      ) : (
        <Told effect={effect.data} question={question} span={span} />
      )}
    </>
  );
}

function Told({ effect, question, span }: { effect: StudyChangeEffect; question: Question; span: number }) {
  const system = useUnits();
  const shown = (value: number | null) => figure(question.quantity, value, system, 'difference');
  const { one } = subjectOf(question);
  const { effect: told, changedBy, othersBy, units, changes: number, weeks, earlier } = effect;
  if (told === null && number === 0)
    return (
      <TooLittle>
        Nothing can be told: no {one} of those asked of had such a change in the time asked of.
      </TooLittle>
    );
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
        {count(number, one)} changed, in {count(weeks, 'week')}; {count(units[0]!, 'unit')} that had it moved
        by {shown(changedBy)}, {count(units[1]!, 'unit')} that did not by {shown(othersBy)} over the same
        dates: {span} days before the week of the change against {span} days after it.
        {earlier !== null &&
          ` In the ${span} days before that they moved apart by ${shown(earlier.estimate)} (${shown(earlier.low)} to ${shown(earlier.high)})${earlier.low > 0 || earlier.high < 0 ? ': they already differed, so the change need not be the reason.' : '.'}`}
      </p>
    </>
  );
}
