import './causes.css';
import type { Explanation } from '../api/types.js';

/** What it could be, likeliest first, each with its share as a bar and as a figure. */
export function Causes({ explanations }: { explanations: readonly Explanation[] }) {
  return (
    <ol className="causes">
      {explanations.map(({ cause, weight }) => (
        <li key={cause}>
          <span>{cause}</span>
          <span className="explanation-share" aria-hidden="true">
            <span style={{ width: `${Math.round(weight * 100)}%` }} />
          </span>
          <span className="n">{Math.round(weight * 100)} %</span>
        </li>
      ))}
    </ol>
  );
}
