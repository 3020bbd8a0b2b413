import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import type { CircuitStudy as CircuitStudyFound, CircuitStudyRow } from '../../api/types.js';
import {
  circuitStudyQuery,
  links,
  type CircuitChoice,
  type CircuitGroup,
  type CircuitOrder,
} from '../../api/queries.js';
import { useUnits } from '../../components/site.js';
import { PagedTable, type PagedColumn } from '../../components/table/paged-table.js';
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
  ['floodbackFraction', 'Steady running under the floodback limit', 'share'],
  ['huntingFraction', 'Hunting, fraction of the time judged', 'share'],
  ['valveTravel_strokes_day', 'Valve travel, full strokes a day', 'number'],
  ['valveReversals_day', 'Valve reversals a day', 'number'],
] as const;
type Measure = (typeof measures)[number][0];

/** Measures that are left out of the study where a sensor of the superheat has been found wrong. */
const leftOutOf: Record<CircuitStudyRow['leftOut'], readonly Measure[]> = {
  none: [],
  level: ['superheatMean_K', 'floodbackFraction'],
  'level-and-swings': ['superheatMean_K', 'floodbackFraction', 'superheatSpread_K', 'huntingFraction'],
};
const measuredWrong = (row: CircuitStudyRow, measure: Measure) => leftOutOf[row.leftOut].includes(measure);

type Format = (value: number | null) => string;

const circuitColumns = (
  measure: Measure,
  words: string,
  format: Format,
): PagedColumn<CircuitStudyRow, CircuitOrder>[] => [
  {
    id: 'circuit',
    head: 'Circuit',
    order: 'circuit',
    cell: (row) => (
      <Link to="/units/$site/$unit" params={{ site: row.site, unit: row.unit }}>
        {row.site}, {row.unit}, circuit {row.circuit}
      </Link>
    ),
  },
  { id: 'cohort', head: 'Cohort', order: 'cohort', cell: (row) => row.cohort },
  {
    id: 'measure',
    head: words,
    number: true,
    order: measure,
    cell: (row) =>
      measuredWrong(row, measure) ? <span className="quiet">measured wrong</span> : format(row[measure]),
  },
  {
    id: 'minutes',
    head: 'Steady running',
    number: true,
    order: 'steadyMinutes',
    cell: (row) => formatDuration(row.steadyMinutes * 60),
  },
];

export function CircuitStudy() {
  const units = useUnits();
  const [choice, setChoice] = useState<CircuitChoice>({
    group: 'valve-size',
    days: 28,
    sort: 'cohort',
    descending: false,
    page: 1,
  });
  const { group, days } = choice;
  const choose = (change: Partial<CircuitChoice>) => setChoice((old) => ({ ...old, page: 1, ...change }));
  const [measure, setMeasure] = useState<Measure>('superheatMean_K');
  const study = useQuery(circuitStudyQuery(choice));
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
          <Choice words="by" value={group} among={groups} choose={(value) => choose({ group: value })} />
          <Choice words="over" value={days} among={spans} choose={(value) => choose({ days: value })} />
          <Choice words="showing" value={measure} among={measures} choose={setMeasure} />
        </>
      }
      csv={links.circuitStudyCsv(group, days)}
      study={study}
      nothing={() => 'No circuit has an hour of steady running in this time.'}
    >
      {(found) => (
        <Found
          study={found}
          measure={measure}
          words={words}
          format={format}
          columns={columns}
          choice={choice}
          choose={choose}
        />
      )}
    </StudySection>
  );
}

interface FoundProps {
  study: CircuitStudyFound;
  measure: Measure;
  words: string;
  format: Format;
  columns: PagedColumn<CircuitStudyRow, CircuitOrder>[];
  choice: CircuitChoice;
  choose: (change: Partial<CircuitChoice>) => void;
}

function Found({ study, measure, words, format, columns, choice, choose }: FoundProps) {
  const { circuits, cohorts, tooLittle } = study;
  const leftOut =
    (leftOutOf.level.includes(measure) ? study.leftOut.level : 0) +
    (leftOutOf['level-and-swings'].includes(measure) ? study.leftOut.levelAndSwings : 0);
  return (
    <>
      <h3>{words}</h3>
      <DistributionStrip
        rows={cohorts.map((cohort) => ({
          name: cohort.cohort,
          circuits: cohort.circuits,
          ...cohort[measure],
          values: cohort[measure].sample,
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
        <PagedTable
          rows={circuits}
          columns={columns}
          ordering={choice}
          order={choose}
          page={study.page}
          pages={study.pages}
          turnTo={(page) => choose({ page })}
          label="Circuits of the study"
          rowKey={(row) => `${row.site}/${row.unit}/${row.circuit}`}
        />
      </details>
    </>
  );
}
