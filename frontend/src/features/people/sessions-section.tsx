import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { endSession, ownSessionsQuery } from '../../api/people.js';
import { Failed } from '../../components/states.js';
import { formatInstant } from '../../quantities/format-quantity.js';

const at = (instant: string) => formatInstant(Date.parse(instant) / 1000);

/** Where a person is signed in, and a way to end each. */
export function SessionsSection() {
  const queries = useQueryClient();
  const sessions = useQuery(ownSessionsQuery);
  const ending = useMutation({
    mutationFn: endSession,
    onSettled: () => void queries.invalidateQueries({ queryKey: ownSessionsQuery.queryKey }),
  });
  return (
    <>
      <h2>Where you are signed in</h2>
      {sessions.isError && <Failed what="your sessions" error={sessions.error} />}
      <ul className="people-list">
        {sessions.data?.sessions.map(({ id, startedAt, usedAt, address, openId, own }) => (
          <li key={id}>
            <p>
              {own ? 'This browser' : 'Another browser'}
              {address !== null && `, from ${address}`}
              {openId && ', by OpenID'}
            </p>
            <p className="small quiet">
              signed in {at(startedAt)}, last used {at(usedAt)}
            </p>
            {!own && (
              <button type="button" className="button small" onClick={() => ending.mutate(id)}>
                Sign out there
              </button>
            )}
          </li>
        ))}
      </ul>
    </>
  );
}
