import { useQuery } from '@tanstack/react-query';
import { historyQuery } from '../../../api/queries.js';
import { Say } from '../../../components/say.js';
import { useTimes } from '../../../components/zone.js';
import { Failed, Loading } from '../../../components/states.js';

/** Findings that have ended: what a technician asks when the same thing comes back. */
export function HistorySection({ site, unit }: { site: string; unit: string }) {
  const { instant } = useTimes();
  const history = useQuery(historyQuery({ site, unit }));
  return (
    <section id="history" className="unit-section">
      <h2>Earlier findings</h2>
      {history.isPending ? (
        <Loading what="earlier findings" />
      ) : history.isError ? (
        <Failed what="earlier findings" error={history.error} retry={() => void history.refetch()} />
      ) : history.data.findings.length === 0 ? (
        <p className="quiet">No finding on this unit has ended so far.</p>
      ) : (
        <ul className="bullets">
          {history.data.findings.map(({ finding }) => (
            <li key={finding.id}>
              <Say statement={finding.headline} />{' '}
              <span className="quiet small">
                {instant(Date.parse(finding.openedAt) / 1000)}
                {finding.endedAt && ` to ${instant(Date.parse(finding.endedAt) / 1000)}`}
              </span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
