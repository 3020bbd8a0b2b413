import '../people.css';
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { auditQuery } from '../../../api/people.js';
import { PageTitle } from '../../../components/page-title.js';
import { Failed, Loading } from '../../../components/states.js';
import { formatInstant } from '../../../quantities/format-quantity.js';
import { AdministratorsOnly } from '../administrators-only.js';

/** For administrators: who did what and when. */
export function LogPage() {
  return (
    <>
      <PageTitle>Who did what – Coldrounds</PageTitle>
      <h1>Who did what</h1>
      <AdministratorsOnly>
        <Log />
      </AdministratorsOnly>
    </>
  );
}

function Log() {
  const [before, setBefore] = useState<number | undefined>(undefined);
  const log = useQuery(auditQuery(before));
  return (
    <>
      <p className="quiet">Newest first. Entries are only ever added.</p>
      {log.isPending ? (
        <Loading what="the log" />
      ) : log.isError ? (
        <Failed what="the log" error={log.error} retry={() => void log.refetch()} />
      ) : (
        <>
          <ul className="people-list">
            {log.data.entries.map((entry) => (
              <li key={entry.id}>
                <p>
                  <strong>{entry.who}</strong> {entry.action}
                  {entry.subject !== null && `: ${entry.subject}`}
                </p>
                <p className="small quiet">
                  {formatInstant(Date.parse(entry.at) / 1000)}
                  {entry.address !== null && ` from ${entry.address}`}
                </p>
                {Object.keys(entry.detail).length > 0 && (
                  <code className="small">{JSON.stringify(entry.detail)}</code>
                )}
              </li>
            ))}
          </ul>
          {log.data.next !== null && (
            <button type="button" className="button" onClick={() => setBefore(log.data.next ?? undefined)}>
              Older
            </button>
          )}
        </>
      )}
    </>
  );
}
