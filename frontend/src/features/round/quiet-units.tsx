import { Link } from '@tanstack/react-router';
import type { QuietUnit } from '../../api/types.js';
import { formatDuration } from '../../quantities/format-quantity.js';

/** Units with no finding, said so that no one has to wonder whether they were looked at. */
export function QuietUnits({ quiet }: { quiet: QuietUnit[] }) {
  if (quiet.length === 0) return null;
  return (
    <section className="quiet-units" aria-labelledby="quiet-title">
      <h2 id="quiet-title">Without findings</h2>
      <ul>
        {quiet.map((row) => (
          <li key={`${row.site.key}/${row.unit.key}`}>
            <Link to="/units/$site/$unit" params={{ site: row.site.key, unit: row.unit.key }}>
              {row.unit.name}, {row.site.name}
            </Link>
            <span className="quiet small">
              {row.note}
              {row.lastReading
                ? ` Last reading ${formatDuration((Date.now() - Date.parse(row.lastReading)) / 1000)} ago.`
                : ' No reading yet.'}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
