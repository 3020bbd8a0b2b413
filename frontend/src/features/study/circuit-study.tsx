import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import type { CircuitStudyRow } from '../../api/types.js';
import { circuitStudyQuery, links, type CircuitGroup } from '../../api/queries.js';
import { usePreferences } from '../../app/preferences.js';
import { SortableTable, type Column } from '../../components/sortable-table.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { decimals, formatDuration, show } from '../../quantities/format-quantity.js';
import { DistributionStrip } from './distribution-strip.js';

const groups: [CircuitGroup, string][] = [
  ['valve-size', 'valve size'],
  ['refrigerant', 'refrigerant'],
  ['firmware', 'controller firmware'],
  ['climate', 'climate'],
];
const spans = [7, 28, 90, 400];

const measures = [
  ['superheatMean_K', 'Superheat, mean', 'temperature-difference'],
  ['superheatSpread_K', 'Spread of superheat', 'temperature-difference'],
  ['floodbackShare', 'Steady time under the floodback limit', 'share'],
  ['huntingShare', 'Time hunting, of the time judged', 'share'],
  ['valveTravel_strokes_day', 'Valve travel, full strokes a day', 'number'],
  ['valveReversals_day', 'Valve reversals a day', 'number'],
] as const;
type Measure = (typeof measures)[number][0];

export function CircuitStudy() {
  const { units } = usePreferences();
  const [group, setGroup] = useState<CircuitGroup>('valve-size');
  const [days, setDays] = useState(28);
  const [measure, setMeasure] = useState<Measure>('superheatMean_K');
  const study = useQuery(circuitStudyQuery(group, days));
  const [, words, kind] = measures.find(([name]) => name === measure)!;
  const format = useMemo(
    () => (value: number | null) =>
      value === null
        ? '–'
        : kind === 'number'
          ? decimals(value, value < 10 ? 1 : 0)
          : show(value, kind, units),
    [kind, units],
  );
  const columns = useMemo<Column<CircuitStudyRow>[]>(
    () => [
      {
        id: 'circuit',
        head: 'Circuit',
        sortBy: (row) => `${row.site} ${row.unit} ${row.circuit}`,
        cell: (row) => (
          <Link to="/units/$site/$unit" params={{ site: row.site, unit: row.unit }}>
            {row.site}, {row.unit}, circuit {row.circuit}
          </Link>
        ),
      },
      { id: 'cohort', head: 'Cohort', sortBy: (row) => row.cohort, cell: (row) => row.cohort },
      {
        id: 'measure',
        head: words,
        number: true,
        sortBy: (row) => row[measure] ?? undefined,
        cell: (row) => format(row[measure]),
      },
      {
        id: 'minutes',
        head: 'Stands on steady',
        number: true,
        sortBy: (row) => row.steadyMinutes,
        cell: (row) => formatDuration(row.steadyMinutes * 60),
      },
    ],
    [format, measure, words],
  );
  return (
    <section className="study-section">
      <h2>Circuits</h2>
      <p className="study-tools">
        <label>
          by{' '}
          <select value={group} onChange={(event) => setGroup(event.target.value as CircuitGroup)}>
            {groups.map(([value, label]) => (
              <option key={value} value={value}>
                {label}
              </option>
            ))}
          </select>
        </label>
        <label>
          over{' '}
          <select value={days} onChange={(event) => setDays(Number(event.target.value))}>
            {spans.map((span) => (
              <option key={span} value={span}>
                {span} days
              </option>
            ))}
          </select>
        </label>
        <label>
          showing{' '}
          <select value={measure} onChange={(event) => setMeasure(event.target.value as Measure)}>
            {measures.map(([value, label]) => (
              <option key={value} value={value}>
                {label}
              </option>
            ))}
          </select>
        </label>
        <a href={links.circuitStudyCsv(group, days)} download>
          CSV
        </a>
      </p>
      {study.isPending ? (
        <Loading what="the study" />
      ) : study.isError ? (
        <Failed what="the study" error={study.error} retry={() => void study.refetch()} />
      ) : study.data.cohorts.length === 0 ? (
        <TooLittle>No circuit has been judged in this time.</TooLittle>
      ) : (
        <>
          <h3>{words}</h3>
          <DistributionStrip
            rows={study.data.cohorts.map((cohort) => ({
              name: cohort.cohort,
              circuits: cohort.circuits,
              ...cohort[measure],
              values: study.data.circuits
                .filter((row) => row.cohort === cohort.cohort)
                .flatMap((row) => row[measure] ?? []),
            }))}
            format={format}
          />
          <details>
            <summary>Each circuit</summary>
            <SortableTable
              rows={study.data.circuits}
              columns={columns}
              first="cohort"
              label="Circuits of the study"
              rowKey={(row) => `${row.site}/${row.unit}/${row.circuit}`}
            />
          </details>
        </>
      )}
    </section>
  );
}
