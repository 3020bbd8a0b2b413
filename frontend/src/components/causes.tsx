import './causes.css';
import { likelihood, mayBeTogether } from './problem/problems.js';

/** What it could be, likeliest first, each with its share as a bar and as a figure. */
export function Causes({ explanations }: { explanations: readonly { cause: string; weight: number }[] }) {
  return (
    <>
      <ol className="causes">
        {explanations.map(({ cause, weight }) => (
          <li key={cause}>
            <span>{cause}</span>
            <span className="explanation-share" aria-hidden="true">
              <span style={{ width: `${Math.round(weight * 100)}%` }} />
            </span>
            <span className="n">{likelihood(weight)}</span>
          </li>
        ))}
      </ol>
      {mayBeTogether(explanations) && <p className="quiet small">Two of them may be there at once.</p>}
    </>
  );
}
