import { useQuery } from '@tanstack/react-query';
import { useCallback, useState } from 'react';
import { backupStudyQuery, links, type ModuleGroup } from '../../api/queries.js';
import { usePreferences } from '../../app/preferences.js';
import { ageingOption } from '../../charts/study.js';
import { Chart, type Drawing } from '../../components/chart.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { decimals, show } from '../../quantities/format-quantity.js';

const groups: [ModuleGroup, string][] = [
  ['rating', 'rating'],
  ['climate', 'climate'],
  ['firmware', 'controller firmware'],
  ['refrigerant', 'refrigerant'],
];

export function BackupStudy() {
  const { units } = usePreferences();
  const [group, setGroup] = useState<ModuleGroup>('rating');
  const study = useQuery(backupStudyQuery(group));
  const cohorts = study.data?.cohorts;
  const drawCapacitance = useCallback(
    ({ theme }: Drawing) =>
      ageingOption(
        (cohorts ?? []).map((cohort) => ({
          cohort: cohort.cohort,
          ageYears: cohort.ageYears,
          low: cohort.capacitanceRatioP10,
          middle: cohort.capacitanceRatioP50,
          high: cohort.capacitanceRatioP90,
        })),
        'capacitance, of its own new value',
        theme,
      ),
    [cohorts],
  );
  const drawEsr = useCallback(
    ({ theme }: Drawing) =>
      ageingOption(
        (cohorts ?? []).map((cohort) => ({
          cohort: cohort.cohort,
          ageYears: cohort.ageYears,
          middle: cohort.esrRatioP50,
        })),
        'ESR, of its own new value',
        theme,
      ),
    [cohorts],
  );
  return (
    <section className="study-section">
      <h2>Ageing of backup modules</h2>
      <p className="study-tools">
        <label>
          by{' '}
          <select value={group} onChange={(event) => setGroup(event.target.value as ModuleGroup)}>
            {groups.map(([value, label]) => (
              <option key={value} value={value}>
                {label}
              </option>
            ))}
          </select>
        </label>
        <a href={links.backupStudyCsv(group)} download>
          CSV
        </a>
      </p>
      {study.isPending ? (
        <Loading what="the study" />
      ) : study.isError ? (
        <Failed what="the study" error={study.error} retry={() => void study.refetch()} />
      ) : study.data.cohorts.length === 0 ? (
        <TooLittle>No module has enough closings for its ageing to be drawn.</TooLittle>
      ) : (
        <>
          <div className="study-charts">
            <div>
              <h3>Capacitance</h3>
              <Chart
                draw={drawCapacitance}
                height={340}
                label="Capacitance against age, a line per cohort"
                caption="Median of each cohort at one temperature and current; with one or two cohorts, first to ninth tenth as a band."
              />
            </div>
            <div>
              <h3>ESR</h3>
              <Chart
                draw={drawEsr}
                height={340}
                label="ESR against age, a line per cohort"
                caption="Median of each cohort."
              />
            </div>
          </div>
          <div className="scroll-x">
            <table>
              <thead>
                <tr>
                  <th>Cohort</th>
                  <th className="number">Modules</th>
                  <th className="number">Mean temperature</th>
                  <th className="number">Oldest seen</th>
                  <th className="number">Capacitance there</th>
                  <th className="number">ESR there</th>
                </tr>
              </thead>
              <tbody>
                {study.data.cohorts.map((cohort) => (
                  <tr key={cohort.cohort}>
                    <td>{cohort.cohort}</td>
                    <td className="number">{cohort.modules}</td>
                    <td className="number">{show(cohort.meanTemperature_K, 'temperature', units)}</td>
                    <td className="number">
                      {cohort.ageYears.length > 0 ? `${decimals(cohort.ageYears.at(-1)!, 1)} years` : '–'}
                    </td>
                    <td className="number">{lastKnown(cohort.capacitanceRatioP50)}</td>
                    <td className="number">{lastKnown(cohort.esrRatioP50)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </>
      )}
    </section>
  );
}

function lastKnown(column: (number | null)[]): string {
  const value = [...column].reverse().find((entry) => entry !== null);
  return value === undefined || value === null ? '–' : `${decimals(value * 100, 0)} % of new`;
}
