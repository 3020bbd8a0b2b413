import { useQuery } from '@tanstack/react-query';
import { useCallback, useState } from 'react';
import { survivalQuery, type StudySurvival, type SurvivalSplit } from '../../api/study.js';
import { survivalOption } from '../../charts/study/study-answers.js';
import { Chart, type Drawing } from '../../components/chart/chart.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { SortableTable, type Column } from '../../components/table/sortable-table.js';
import { count, decimals } from '../../quantities/format-quantity.js';
import { Choice } from './study-parts.js';

const splits: [SurvivalSplit | '', string][] = [
  ['', 'nothing'],
  ['climate', 'climate'],
  ['temperature', 'temperature of the module'],
  ['rating', 'rating'],
  ['refrigerant', 'refrigerant'],
  ['year installed', 'year installed'],
];

/** How long backup modules last, and how many to keep in stock. */
export function SurvivalStudy() {
  const [split, setSplit] = useState<SurvivalSplit | ''>('climate');
  const survival = useQuery(survivalQuery(split === '' ? undefined : split));
  return (
    <section className="study-section" aria-labelledby="survival">
      <h2 id="survival">How long backup modules last</h2>
      <p className="study-tools">
        <Choice words="by" value={split} among={splits} choose={setSplit} />
      </p>
      {survival.isPending ? (
        <Loading what="the survival" />
      ) : survival.isError ? (
        <Failed what="the survival" error={survival.error} retry={() => void survival.refetch()} />
      ) : survival.data.groups.length === 0 ? (
        <TooLittle>No module has two months of closings that can be compared.</TooLittle>
      ) : (
        <Found survival={survival.data} />
      )}
    </section>
  );
}

function Found({ survival }: { survival: StudySurvival }) {
  const { groups, difference, coming, leftOut } = survival;
  const draw = useCallback(
    ({ theme }: Drawing) =>
      survivalOption(
        groups.map(({ group, steps, seenUntil_years }) => ({
          group,
          seenUntil: seenUntil_years,
          steps: steps.map(({ age_years, ...step }) => ({ age: age_years, ...step })),
        })),
        'age, years',
        theme,
      ),
    [groups],
  );
  const failures = groups.reduce((sum, group) => sum + group.failures, 0);
  const told = coming.filter(
    ({ notTold }) => notTold < groups.reduce((sum, { modules }) => sum + modules, 0),
  );
  return (
    <>
      <Chart
        draw={draw}
        height={340}
        label="Modules above the limit against age, a line for each group"
        caption="By Kaplan and Meier. Modules that were old when first seen count from that age on, those still above the limit until now. Under the limit: less than 80 % of the new capacitance or more than twice the new ESR, two months in a row."
      />
      <p className="study-note">
        {count(failures, 'module')} of {groups.reduce((sum, { modules }) => sum + modules, 0)} fell under the
        limit.
        {difference !== null &&
          ` Between the groups: chi-square ${decimals(difference.chiSquare, 1)} with ${count(difference.degreesOfFreedom, 'degree')} of freedom, ${
            difference.probability < 0.05 ? 'more than chance makes likely' : 'no more than chance makes'
          } (p ${difference.probability < 0.001 ? 'under 0.001' : `= ${decimals(difference.probability, 3)}`}; log-rank test).`}
        {leftOut.underAtFirst > 0 && ` Left out: ${leftOut.underAtFirst} under the limit when first seen.`}
        {leftOut.tooLittle > 0 &&
          ` Left out: ${leftOut.tooLittle} with fewer than two months that can be compared.`}
      </p>
      <SortableTable
        rows={groups}
        columns={groupColumns}
        first="group"
        label="Groups of modules"
        rowKey={({ group }) => group}
      />
      {told.length > 0 && (
        <>
          <h3>Spares</h3>
          <SortableTable
            rows={coming}
            columns={comingColumns}
            first="from"
            label="Modules that fall under the limit in the coming quarters"
            rowKey={({ from }) => from}
          />
          <p className="study-note">
            From the rate at each half year of age, with the 95 % interval of rate and chance. Ages at which
            fewer than five modules have been watched are not forecast.
          </p>
        </>
      )}
    </>
  );
}

type Group = StudySurvival['groups'][number];
const groupColumns: Column<Group>[] = [
  { id: 'group', head: 'Group', sortBy: ({ group }) => group, cell: ({ group }) => group },
  {
    id: 'modules',
    head: 'Modules',
    number: true,
    sortBy: ({ modules }) => modules,
    cell: ({ modules }) => (modules < 5 ? `${modules}, few` : modules),
  },
  {
    id: 'failures',
    head: 'Under the limit',
    number: true,
    sortBy: ({ failures }) => failures,
    cell: ({ failures }) => failures,
  },
  {
    id: 'median',
    head: 'Half of them reach',
    number: true,
    sortBy: ({ median_years }) => median_years ?? undefined,
    cell: ({ median_years, seenUntil_years }) =>
      median_years === null
        ? `more than ${decimals(seenUntil_years, 1)} years`
        : `${decimals(median_years, 1)} years`,
  },
];

type Quarter = StudySurvival['coming'][number];
const comingColumns: Column<Quarter>[] = [
  {
    id: 'from',
    head: 'From',
    sortBy: ({ from }) => from,
    cell: ({ from, to }) => `${from.slice(0, 10)} to ${to.slice(0, 10)}`,
  },
  {
    id: 'expected',
    head: 'Expected',
    number: true,
    sortBy: ({ expected }) => expected,
    cell: ({ expected }) => decimals(expected, 1),
  },
  {
    id: 'interval',
    head: '95 % interval',
    number: true,
    sortBy: ({ high }) => high,
    cell: ({ low, high }) => `${low} to ${high}`,
  },
  {
    id: 'notTold',
    head: 'Not told',
    number: true,
    sortBy: ({ notTold }) => notTold,
    cell: ({ notTold }) => notTold,
  },
];
