import './people.css';
import { useMutation, useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { sessionQuery, signOut, switchTo } from '../../api/people.js';
import { roleWords } from './role-words.js';
import { useNewSession } from './use-session.js';

/** In the masthead: who is signed in; in the demo, as whom one goes on. */
export function WhoIsHere() {
  const { data: session } = useQuery(sessionQuery);
  const begin = useNewSession();
  const change = useMutation({ mutationFn: switchTo, onSuccess: begin });
  const end = useMutation({
    mutationFn: signOut,
    onSuccess: ({ goOnTo }) => window.location.assign(goOnTo ?? '/'),
  });
  const person = session?.person;
  // Its room is kept until it is known, so that the masthead keeps its height.
  if (session === undefined) return <span className="who-room" />;
  if (person == null) return null;
  if (session.switchTo.length > 0)
    return (
      <label>
        <span className="hidden-visually">You are</span>
        <select
          value={person.id ?? ''}
          disabled={change.isPending}
          onChange={(event) => change.mutate(Number(event.target.value))}
        >
          {session.switchTo.map(({ id, name, role }) => (
            <option key={id} value={id}>
              {name}, {roleWords[role]}
            </option>
          ))}
        </select>
      </label>
    );
  if (person.id === null) return null;
  return (
    <span className="who-is-here">
      <Link to="/account">{person.name}</Link>
      <button type="button" className="button small" disabled={end.isPending} onClick={() => end.mutate()}>
        Sign out
      </button>
    </span>
  );
}
