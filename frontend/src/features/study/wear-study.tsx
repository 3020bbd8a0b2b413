import { useQuery } from '@tanstack/react-query';
import { useCallback, useMemo, useState } from 'react';
import { wearCsv, wearQuery, type ValveWearStudy } from '../../api/study.js';
import { fewUnder } from '../../charts/study/study-answers.js';
import { useUnits } from '../../components/site.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { SortableTable, type Column } from '../../components/table/sortable-table.js';
import { count, decimals } from '../../quantities/format-quantity.js';
import { figure } from './ask/quantity-words.js';
import { DistributionStrip } from './distribution-strip.js';
import { Choice } from './study-parts.js';

const spans = [28, 90, 365].map((days) => [days, `${days} days`] as const);

type Group = ValveWearStudy['sizes'][number];
const measures = [
  ['life', 'rated life used in a year', 'life_fraction_year'],
  ['travel', 'rated travel used in a year', 'travelLife_fraction_year'],
  ['reversals', 'rated reversals used in a year', 'reversalLife_fraction_year'],
  ['left', 'rated life left, years', 'lifeLeft_years'],
] as const;
type Measure = (typeof measures)[number][0];

/** How valves wear by size and duty: the whole spread, and the years left. */
export function WearStudy() {
  const [days, setDays] = useState(90);
  const [measure, setMeasure] = useState<Measure>('life');
  const wear = useQuery(wearQuery(days));
  return (
    <section className="study-section" aria-labelledby="wear">
      <h2 id="wear">Wear of valves</h2>
      <p className="study-tools">
        <Choice words="over" value={days} among={spans} choose={setDays} />
        <Choice words="showing" value={measure} among={measures} choose={setMeasure} />
        <a href={wearCsv(days)} download>
          CSV, a row for each circuit
        </a>
      </p>
      {wear.isPending ? (
        <Loading what="the wear" />
      ) : wear.isError ? (
        <Failed what="the wear" error={wear.error} retry={() => void wear.refetch()} />
      ) : wear.data.observed === 0 ? (
        <TooLittle>Of no circuit was the valve&rsquo;s opening seen for half a day in this time.</TooLittle>
      ) : (
        <Found wear={wear.data} measure={measure} />
      )}
    </section>
  );
}

function Found({ wear, measure }: { wear: ValveWearStudy; measure: Measure }) {
  const system = useUnits();
  const [, , quantity] = measures.find(([each]) => each === measure)!;
  const shown = useCallback((value: number | null) => figure(quantity, value, system), [quantity, system]);
  // Sizes and duties come in their order; below each size are its duties.
  const rows = useMemo(
    () => wear.sizes.flatMap((size) => [size, ...wear.duties.filter((duty) => duty.size === size.size)]),
    [wear],
  );
  const columns = useMemo(
    () =>
      wearColumns(
        (value) => figure('life_fraction_year', value, system),
        (group) => rows.indexOf(group),
      ),
    [system, rows],
  );
  return (
    <>
      <DistributionStrip
        rows={wear.sizes.map((group) => ({
          name: `${group.size}${group.units < fewUnder ? `, under ${fewUnder} units` : ''}`,
          circuits: group.circuits,
          ...group[measure],
          values: group[measure].sample,
        }))}
        format={shown}
      />
      <SortableTable
        rows={rows}
        columns={columns}
        first="group"
        label="Wear of valves by size and duty"
        rowKey={(group) => `${group.size} ${group.duty ?? ''}`}
      />
      <p className="study-note">
        Medians, with the middle 50 % of the circuits. A year at the pace of this time, against the full
        strokes and the reversals that the valve is rated for; life is of whichever goes first. Years left are
        those of a valve that has always moved so since its unit was commissioned; their interval is that of
        the median, from drawing units, and is left out of under {fewUnder}.
        {wear.assumedLife > 0 &&
          ` For ${wear.assumedLife} of ${count(wear.observed, 'circuit')} the registry has no rated life: 200,000 full strokes and 5 million reversals are assumed.`}
        {wear.withoutAge > 0 &&
          ` Of ${count(wear.withoutAge, 'circuit')} the years left are not known, as it is not known when the unit was commissioned.`}
        {wear.circuits > wear.observed &&
          ` Left out: ${count(wear.circuits - wear.observed, 'circuit')} whose opening was seen for less than half a day.`}
      </p>
    </>
  );
}

const years = (value: number | null): string => (value === null ? '–' : decimals(value, value >= 10 ? 0 : 1));

function wearColumns(
  share: (value: number | null) => string,
  placeOf: (group: Group) => number,
): Column<Group>[] {
  const spread = (id: 'travel' | 'reversals', head: string): Column<Group> => ({
    id,
    head,
    number: true,
    sortBy: (group) => group[id].p50 ?? undefined,
    cell: (group) =>
      group[id].p50 === null
        ? '–'
        : `${share(group[id].p50)} (${share(group[id].p25)} to ${share(group[id].p75)})`,
  });
  return [
    {
      id: 'group',
      head: 'Size, duty',
      sortBy: placeOf,
      cell: ({ size, duty }) => (duty === null ? <strong>{size}</strong> : `${size}, ${duty}`),
    },
    {
      id: 'circuits',
      head: 'Circuits',
      number: true,
      sortBy: (row) => row.circuits,
      cell: (row) => row.circuits,
    },
    {
      id: 'units',
      head: 'Units',
      number: true,
      sortBy: ({ units }) => units,
      cell: ({ units }) => (units < fewUnder ? `${units}, few` : units),
    },
    spread('travel', 'Rated travel a year'),
    spread('reversals', 'Rated reversals a year'),
    {
      id: 'first',
      head: 'Reversals go first',
      number: true,
      sortBy: (row) => row.byReversals / row.circuits,
      cell: (row) => `${row.byReversals} of ${row.circuits}`,
    },
    {
      id: 'left',
      head: 'Years left',
      number: true,
      sortBy: ({ left }) => left.p50 ?? undefined,
      cell: ({ left }) =>
        left.p50 === null ? '–' : `${years(left.p50)} (${years(left.p25)} to ${years(left.p75)})`,
    },
    {
      id: 'interval',
      head: 'of the median, 95 %',
      number: true,
      sortBy: ({ leftMedian }) => leftMedian?.low,
      cell: ({ leftMedian }) =>
        leftMedian === null ? '–' : `${years(leftMedian.low)} to ${years(leftMedian.high)}`,
    },
    {
      id: 'tenth',
      head: 'One in ten under',
      number: true,
      sortBy: ({ left }) => left.p10 ?? undefined,
      cell: ({ left }) => (left.p10 === null ? '–' : `${years(left.p10)} years`),
    },
  ];
}
