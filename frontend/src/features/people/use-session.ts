import { useQuery, useQueryClient } from '@tanstack/react-query';
import { sessionQuery, type Ability, type Session } from '../../api/people.js';

/** Whether whoever is here may do something; false until it is known. */
export function useMay(ability: Ability): boolean {
  const { data } = useQuery(sessionQuery);
  return data?.person?.abilities.includes(ability) ?? false;
}

/** Has all that was read asked for again, but for who is here. */
export function useAllAnew(): () => Promise<void> {
  const queries = useQueryClient();
  return () => queries.invalidateQueries({ predicate: ({ queryKey }) => queryKey[0] !== 'session' });
}

/** Goes on as somebody else: nothing that was read before is theirs. */
export function useNewSession(): (session: Session) => void {
  const queries = useQueryClient();
  const allAnew = useAllAnew();
  return (session) => {
    queries.setQueryData(sessionQuery.queryKey, session);
    void allAnew();
  };
}
