import { useMutation, useQueryClient } from '@tanstack/react-query';
import { accountsQuery, endSessionsOf, takeSecondFactorAway, type Account } from '../../../api/people.js';
import { FormError } from '../../../components/form-error.js';

/** Ends what somebody is signed in by: their sessions, and a second factor that they have lost. */
export function SignInMeans({ account: { id, name, secondFactor } }: { account: Account }) {
  const queries = useQueryClient();
  const ending = useMutation({ mutationFn: endSessionsOf });
  const taking = useMutation({
    mutationFn: takeSecondFactorAway,
    onSuccess: () => void queries.invalidateQueries({ queryKey: accountsQuery.queryKey }),
  });
  return (
    <>
      <button type="button" className="button small" onClick={() => ending.mutate(id)}>
        Sign {name} out everywhere
      </button>{' '}
      {secondFactor && (
        <button type="button" className="button small" onClick={() => taking.mutate(id)}>
          Take {name}’s second factor away
        </button>
      )}
      {ending.isSuccess && <p role="status">All sessions of {name} have ended.</p>}
      {taking.isSuccess && (
        <p role="status">{name} signs in without a second factor until there is a new one.</p>
      )}
      <FormError why={ending.error?.message ?? taking.error?.message} />
    </>
  );
}
