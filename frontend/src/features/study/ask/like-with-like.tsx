import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import {
  comparisonQuery,
  type Question,
  type QuantityName,
  type StudyComparison,
} from '../../../api/study.js';
import { useUnits } from '../../../components/site.js';
import { Failed, Loading, TooLittle } from '../../../components/states.js';
import { SortableTable, type Column } from '../../../components/table/sortable-table.js';
import { capitalised } from '../../../quantities/capitalised.js';
import { count, decimals } from '../../../quantities/format-quantity.js';
import { Choice } from '../study-parts.js';
import { figure, quantityWords } from './quantity-words.js';
import type { StudySearch } from './question-search.js';

interface LikeProps {
  question: Question;
  split: string;
  groups: readonly string[];
  search: StudySearch;
  choose: (change: StudySearch) => void;
}

/** Two of the groups, alike in all else that is known of them. */
export function LikeWithLike({ question, split, groups, search, choose }: LikeProps) {
  const first = groups.find((group) => group === search.first) ?? groups[0]!;
  const second =
    groups.find((group) => group === search.second && group !== first) ??
    groups.find((group) => group !== first)!;
  const compared = useMemo(() => ({ split, first, second }), [split, first, second]);
  const comparison = useQuery(comparisonQuery(question, compared));
  const among = groups.map((group) => [group, group] as const);
  return (
    <>
      <h3>Like with like</h3>
      <p className="study-tools">
        <Choice words="compare" value={first} among={among} choose={(value) => choose({ first: value })} />
        <Choice
          words="with"
          value={second}
          among={among.filter(([group]) => group !== first)}
          choose={(value) => choose({ first, second: value })}
        />
      </p>
      {comparison.isPending ? (
        <Loading what="the comparison" />
      ) : comparison.isError ? (
        <Failed what="the comparison" error={comparison.error} retry={() => void comparison.refetch()} />
      ) : (
        <Compared comparison={comparison.data} quantity={question.quantity} first={first} second={second} />
      )}
    </>
  );
}

interface ComparedProps {
  comparison: StudyComparison;
  quantity: QuantityName;
  first: string;
  second: string;
}

function Compared({ comparison, quantity, first, second }: ComparedProps) {
  const system = useUnits();
  const shown = (value: number) => figure(quantity, value, system, 'difference');
  const { difference, notTold, crude, units, effective, withoutCounterpart, adjustedFor } = comparison;
  const without = withoutCounterpart[0]! + withoutCounterpart[1]!;
  return (
    <>
      {difference === null ? (
        <TooLittle>
          {notTold === 'too-few'
            ? `Nothing can be told: ${count(units[0]!, 'unit')} of ${first} and ${units[1]} of ${second} can be compared, and five of each are needed.`
            : `Nothing can be told: ${first} and ${second} have too little in common; what they run at and in does not overlap.`}
        </TooLittle>
      ) : (
        <p>
          {difference.low > 0 || difference.high < 0 ? (
            <>
              <strong>{first}</strong> is {difference.estimate > 0 ? 'higher' : 'lower'} than {second} by{' '}
              <b className="n">{shown(Math.abs(difference.estimate))}</b>
            </>
          ) : (
            <>
              No difference is seen between <strong>{first}</strong> and {second}:{' '}
              <b className="n">{shown(difference.estimate)}</b>
            </>
          )}{' '}
          (95 % interval {shown(difference.low)} to {shown(difference.high)}).
        </p>
      )}
      <p className="study-note">
        {capitalised(quantityWords[quantity].words)}: {count(units[0]!, 'unit')} of {first},{' '}
        {count(units[1]!, 'unit')} of {second}
        {notTold === 'too-few'
          ? '.'
          : `; weighted, as good as ${decimals(effective[0]!, 0)} and ${decimals(effective[1]!, 0)} rows.`}
        {crude !== null && ` Without adjustment the difference is ${shown(crude)}.`}
        {without > 0 &&
          ` Left out: ${without} with no counterpart in the other group, such as a valve size that only one of them has.`}
        {` Adjusted for ${adjustedFor.map(respectWords).join(', ')}.`}
      </p>
      {comparison.balance.length > 0 && (
        <details>
          <summary>How unlike the groups are</summary>
          <SortableTable
            rows={comparison.balance}
            columns={balanceColumns}
            first="name"
            label="Differences between the groups"
            rowKey={({ name, word }) => `${name} ${word ?? ''}`}
          />
          <p className="study-note">
            Difference of the means in standard deviations, as the groups are and as weighted; above 0.1 is
            called unlike.
          </p>
        </details>
      )}
    </>
  );
}

/** A figure or a field of the registry in words. */
const respectWords = (name: string): string =>
  name in quantityWords ? quantityWords[name as QuantityName].words : name;

type Balance = StudyComparison['balance'][number];
const inDeviations = (value: number | null): string => (value === null ? 'apart' : decimals(value, 2));

const balanceColumns: Column<Balance>[] = [
  {
    id: 'name',
    head: 'In',
    sortBy: ({ name, word }) => `${name} ${word ?? ''}`,
    cell: ({ name, word }) => (word === null ? respectWords(name) : `${respectWords(name)}: ${word}`),
  },
  {
    id: 'before',
    head: 'As they are',
    number: true,
    sortBy: ({ before }) => before ?? Infinity,
    cell: ({ before }) => inDeviations(before),
  },
  {
    id: 'after',
    head: 'As weighted',
    number: true,
    sortBy: ({ after }) => after ?? Infinity,
    cell: ({ after }) => inDeviations(after),
  },
];
