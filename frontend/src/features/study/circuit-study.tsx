import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import type { CircuitStudy as CircuitStudyFound, CircuitStudyRow } from '../../api/types.js';
import { circuitStudyQuery, links, type CircuitGroup } from '../../api/queries.js';
import { usePreferences } from '../../app/preferences.js';
import { SortableTable, type Column } from '../../components/sortable-table.js';
import { count, formatDuration, roundCount, show } from '../../quantities/format-quantity.js';
import { DistributionStrip } from './distribution-strip.js';
import { Choice, StudySection } from './study-parts.js';

const groups: [CircuitGroup, string][] = [
  ['valve-size', 'valve size'],
  ['refrigerant', 'refrigerant'],
  ['firmware', 'controller firmware'],
  ['climate', 'climate'],
];
const spans = [7, 28, 90, 400].map((days) => [days, `${days} days`] as const);

const measures = [
  ['superheatMean_K', 'Superheat, mean', 'temperature-difference'],
  ['superheatSpread_K', 'Spread of superheat', 'temperature-difference'],
  ['floodbackShare', 'Steady running under the floodback limit', 'share'],
  ['huntingShare', 'Hunting, fraction of the time judged', 'share'],
  ['valveTravel_strokes_day', 'Valve travel, full strokes a day', 'number'],
  ['valveReversals_day', 'Valve reversals a day', 'number'],
] as const;
type Measure = (typeof measures)[number][0];

/** Which measures are left out of the study where what superheat is measured with has been found wrong. */
const setAside: Record<CircuitStudyRow['setAside'], readonly Measure[]> = {
  none: [],
  level: ['superheatMean_K', 'floodbackShare'],
  'level-and-swings': ['superheatMean_K', 'floodbackShare', 'superheatSpread_K', 'huntingShare'],
};
const measuredWrong = (row: CircuitStudyRow, measure: Measure) => setAside[row.setAside].includes(measure);

type Format = (value: number | null) => string;

const circuitColumns = (measure: Measure, words: string, format: Format): Column<CircuitStudyRow>[] => [
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
    cell: (row) =>
      measuredWrong(row, measure) ? <span className="quiet">measured wrong</span> : format(row[measure]),
  },
  {
    id: 'minutes',
    head: 'Steady running',
    number: true,
    sortBy: (row) => row.steadyMinutes,
    cell: (row) => formatDuration(row.steadyMinutes * 60),
  },
];

export function CircuitStudy() {
  const { units } = usePreferences();
  const [group, setGroup] = useState<CircuitGroup>('valve-size');
  const [days, setDays] = useState(28);
  const [measure, setMeasure] = useState<Measure>('superheatMean_K');
  const study = useQuery(circuitStudyQuery(group, days));
  const [, words, kind] = measures.find(([name]) => name === measure)!;
  const format = useMemo(
    () => (value: number | null) =>
      value === null ? '–' : kind === 'number' ? roundCount(value) : show(value, kind, units),
    [kind, units],
  );
  const columns = useMemo(() => circuitColumns(measure, words, format), [measure, words, format]);
  return (
    <StudySection
      title="Circuits"
      choices={
        <>
          <Choice words="by" value={group} among={groups} choose={setGroup} />
          <Choice words="over" value={days} among={spans} choose={setDays} />
          <Choice words="showing" value={measure} among={measures} choose={setMeasure} />
        </>
      }
      csv={links.circuitStudyCsv(group, days)}
      study={study}
      nothing={() => 'No circuit has an hour of steady running in this time.'}
    >
      {(found) => <Found study={found} measure={measure} words={words} format={format} columns={columns} />}
    </StudySection>
  );
}

interface FoundProps {
  study: CircuitStudyFound;
  measure: Measure;
  words: string;
  format: Format;
  columns: Column<CircuitStudyRow>[];
}

function Found({ study: { circuits, cohorts, tooLittle }, measure, words, format, columns }: FoundProps) {
  const leftOut = circuits.filter((row) => measuredWrong(row, measure)).length;
  return (
    <>
      <h3>{words}</h3>
      <DistributionStrip
        rows={cohorts.map((cohort) => ({
          name: cohort.cohort,
          circuits: cohort.circuits,
          ...cohort[measure],
          values: circuits.filter((row) => row.cohort === cohort.cohort).flatMap((row) => row[measure] ?? []),
        }))}
        format={format}
      />
      {leftOut > 0 && (
        <p className="study-note">
          Left out: {count(leftOut, 'circuit')} whose superheat is not reliable, because a sensor or the
          refrigerant in the registry was found wrong.
        </p>
      )}
      {tooLittle > 0 && (
        <p className="study-note">
          Left out: {count(tooLittle, 'circuit')} with less than an hour of steady running.
        </p>
      )}
      <details>
        <summary>Each circuit</summary>
        <SortableTable
          rows={circuits}
          columns={columns}
          first="cohort"
          label="Circuits of the study"
          rowKey={(row) => `${row.site}/${row.unit}/${row.circuit}`}
        />
      </details>
    </>
  );
}
