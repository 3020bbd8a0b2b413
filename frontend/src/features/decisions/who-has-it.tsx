import './decisions.css';
import { useStanding } from '../../api/decisions/decisions.js';
import { standingBriefly } from './standing-words.js';

/** On a line of the round: who has the finding, or until when it waits; nothing where nobody decided. */
export function WhoHasIt({ findingId }: { findingId: string }) {
  const standing = useStanding(findingId);
  if (!standing) return null;
  return <span className="who-has-it">{standingBriefly(standing)}</span>;
}
