import type { UnitJudged } from '../../../api/registry/registry.js';
import { Say } from '../../../components/say.js';

/** What is doubtful about one field, beneath it. */
export function Doubts({ judged, field }: { judged: UnitJudged | undefined; field: string }) {
  const own = judged?.doubts.filter((doubt) => doubt.field === field) ?? [];
  return own.map(({ refused, sentence }) => (
    <p key={sentence.text} className={refused ? 'doubt refused' : 'doubt'}>
      {refused ? 'Cannot be: ' : 'Doubtful: '}
      <Say statement={sentence} />
    </p>
  ));
}
