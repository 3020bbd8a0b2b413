import { useQuery } from '@tanstack/react-query';
import { useCallback, useMemo, useState } from 'react';
import { backupStudyQuery, links, type Against, type ModuleGroup } from '../../api/queries.js';
import type { BackupCohort, BackupStudy as Study } from '../../api/types.js';
import { useUnits } from '../../components/site.js';
import { ageingOption } from '../../charts/study/study.js';
import { Chart, type Drawing } from '../../components/chart/chart.js';
import { SortableTable, type Column } from '../../components/table/sortable-table.js';
import { count, decimals, show } from '../../quantities/format-quantity.js';
import { scaleOf, type UnitSystem } from '../../quantities/unit-system.js';
import { Choice, StudySection } from './study-parts.js';

const groups: [ModuleGroup, string][] = [
  ['rating', 'rating'],
  ['climate', 'climate'],
  ['firmware', 'controller firmware'],
  ['refrigerant', 'refrigerant'],
];

function whole(kind: 'temperature' | 'temperature-difference', value: number, system: UnitSystem): string {
  const { convert, unit } = scaleOf(kind, system);
  return `${decimals(convert(value), 0)} ${unit}`;
}

/** The temperature at which all values are compared and a day of weighted age is a day. */
const referenceWords = (system: UnitSystem) => whole('temperature', 298.15, system);

export function BackupStudy() {
  const units = useUnits();
  const [group, setGroup] = useState<ModuleGroup>('rating');
  const [against, setAgainst] = useState<Against>('age');
  const study = useQuery(backupStudyQuery(group, against));
  const reference = referenceWords(units);
  const ages: [Against, string][] = [
    ['age', 'age'],
    ['weighted-age', `age at ${reference}`],
  ];
  // What is drawn is of the study at hand, which may still be the one before.
  const age = ages.find(([value]) => value === study.data?.against)?.[1] ?? 'age';
  const columns = useMemo(() => cohortColumns(units, age), [units, age]);
  return (
    <StudySection
      title="Ageing of backup modules"
      choices={
        <>
          <Choice words="by" value={group} among={groups} choose={setGroup} />
          <Choice words="against" value={against} among={ages} choose={setAgainst} />
        </>
      }
      csv={links.backupStudyCsv(group)}
      study={study}
      nothing={({ leftOut }) =>
        leftOut.notYetKnown > 0
          ? `The ageing of ${count(leftOut.notYetKnown, 'module')} has not been worked out yet.`
          : 'No module has a closing at a known temperature to estimate its ageing from.'
      }
    >
      {(found) => (
        <>
          <AgeingCharts cohorts={found.cohorts} age={age} reference={reference} />
          {notes(found, units).map((note) => (
            <p key={note} className="study-note">
              {note}
            </p>
          ))}
          <SortableTable
            rows={found.cohorts}
            columns={columns}
            first="cohort"
            label="Cohorts of backup modules"
            rowKey={cohortWords}
          />
        </>
      )}
    </StudySection>
  );
}

/** Modules that are compared with their rated value make a cohort of their own. */
function cohortWords({ cohort, newValueFrom }: BackupCohort): string {
  return newValueFrom === 'own' ? cohort : `${cohort}, of rated`;
}

/** What the axis counts in. */
function comparedWith(cohorts: readonly BackupCohort[]): string {
  const rated = cohorts.filter(({ newValueFrom }) => newValueFrom === 'rated').length;
  return rated === 0
    ? 'of its own new value'
    : rated === cohorts.length
      ? 'of the rated value'
      : 'of its own new value, or of the rated one';
}

interface AgeingChartsProps {
  cohorts: BackupCohort[];
  age: string;
  reference: string;
}

function AgeingCharts({ cohorts, age, reference }: AgeingChartsProps) {
  const of = comparedWith(cohorts);
  const drawCapacitance = useCallback(
    ({ theme }: Drawing) =>
      ageingOption(
        cohorts.map((cohort) => ({
          cohort: cohortWords(cohort),
          ageYears: cohort.ageYears,
          low: cohort.capacitanceRatioP10,
          middle: cohort.capacitanceRatioP50,
          high: cohort.capacitanceRatioP90,
        })),
        { across: `${age}, years`, up: `capacitance, ${of}` },
        theme,
      ),
    [cohorts, age, of],
  );
  const drawEsr = useCallback(
    ({ theme }: Drawing) =>
      ageingOption(
        cohorts.map((cohort) => ({
          cohort: cohortWords(cohort),
          ageYears: cohort.esrAgeYears,
          middle: cohort.esrRatioP50,
        })),
        { across: `${age}, years`, up: `ESR, ${of}` },
        theme,
      ),
    [cohorts, age, of],
  );
  return (
    <div className="study-charts">
      <div>
        <h3>Capacitance</h3>
        <Chart
          draw={drawCapacitance}
          height={340}
          label={`Capacitance against ${age}, a line per cohort`}
          caption={`Each module against itself: from one quarter year to the next the line moves by the median change of the modules seen in both, and breaks where there is none. Every test is converted to ${reference} and the usual current of its module; with one or two cohorts, 10th to 90th percentile of the modules as a band.`}
        />
      </div>
      <div>
        <h3>ESR</h3>
        <Chart
          draw={drawEsr}
          height={340}
          label={`ESR against ${age}, a line per cohort`}
          caption="Each module against itself, converted likewise."
        />
      </div>
    </div>
  );
}

/** What the curves are based on where they do not show it. */
function notes({ against, cohorts, leftOut }: Study, units: UnitSystem): string[] {
  const sum = (of: (cohort: BackupCohort) => number) => cohorts.reduce((all, each) => all + of(each), 0);
  const rated = sum((cohort) => (cohort.newValueFrom === 'rated' ? cohort.modules : 0));
  const reference = referenceWords(units);
  const doubling = whole('temperature-difference', 10, units);
  return [
    ...(against === 'weighted-age'
      ? [
          `A day counts as one day at ${reference}, twice as much for every ${doubling} above it and half for every ${doubling} below: common practice. Before its first recorded closing, a module is assumed to have been as warm as it has been since.`,
        ]
      : []),
    ...(rated > 0
      ? [
          `For ${rated} of ${count(
            sum((cohort) => cohort.modules),
            'module',
          )} the rated value is used in place of the new one, because there are no tests from when they were new; they have curves of their own.`,
        ]
      : []),
    ...(leftOut.withoutTests > 0
      ? [
          `Left out: ${count(leftOut.withoutTests, 'module')} without a closing at a known temperature that can be compared.`,
        ]
      : []),
    ...(leftOut.notYetKnown > 0
      ? [`Left out: ${count(leftOut.notYetKnown, 'module')} whose ageing has not been worked out yet.`]
      : []),
  ];
}

const cohortColumns = (units: UnitSystem, age: string): Column<BackupCohort>[] => [
  { id: 'cohort', head: 'Cohort', sortBy: cohortWords, cell: cohortWords },
  { id: 'modules', head: 'Modules', number: true, sortBy: (row) => row.modules, cell: (row) => row.modules },
  {
    id: 'temperature',
    head: 'Mean temperature',
    number: true,
    sortBy: (row) => row.meanTemperature_K ?? undefined,
    cell: (row) => show(row.meanTemperature_K, 'temperature', units),
  },
  {
    id: 'oldest',
    head: age === 'age' ? 'Oldest seen' : `Highest ${age}`,
    number: true,
    sortBy: (row) => row.ageYears.at(-1),
    cell: (row) => (row.ageYears.length > 0 ? `${decimals(row.ageYears.at(-1)!, 1)} years` : '–'),
  },
  {
    id: 'capacitance',
    head: 'Capacitance at that age',
    number: true,
    sortBy: (row) => lastKnown(row.capacitanceRatioP50),
    cell: (row) => ofNew(lastKnown(row.capacitanceRatioP50), row),
  },
  {
    id: 'esr',
    head: 'ESR at that age',
    number: true,
    sortBy: (row) => lastKnown(row.esrRatioP50),
    cell: (row) => ofNew(lastKnown(row.esrRatioP50), row),
  },
];

const lastKnown = (column: (number | null)[]): number | undefined =>
  column.filter((value) => value !== null).at(-1);

const ofNew = (ratio: number | undefined, { newValueFrom }: BackupCohort): string =>
  ratio === undefined ? '–' : `${decimals(ratio * 100, 0)} % of ${newValueFrom === 'own' ? 'new' : 'rated'}`;
