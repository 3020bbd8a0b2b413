import { count } from '../../quantities/format-quantity.js';
import { capitalised } from '../../quantities/capitalised.js';

interface MissingFactsProps {
  missing: { fact: string; cost: string; part?: { kind: string; number?: number } }[];
}

const place = (part: { kind: string; number?: number } | undefined) =>
  part === undefined || part.kind === 'unit'
    ? ''
    : ` of ${part.kind === 'module' ? 'backup module' : part.kind} ${part.number}`;

/** What is not known, and which judgements that costs. */
export function MissingFacts({ missing }: MissingFactsProps) {
  if (missing.length === 0) return null;
  return (
    <details className="missing-facts">
      <summary>{count(missing.length, 'fact is', 'facts are')} not known: what that costs</summary>
      <dl>
        {missing.map(({ fact, cost, part }) => (
          <div key={`${fact}${place(part)}`}>
            <dt>
              {capitalised(fact)}
              {place(part)}
            </dt>
            <dd>{cost}</dd>
          </div>
        ))}
      </dl>
    </details>
  );
}
