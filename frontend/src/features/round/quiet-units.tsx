import { Link } from '@tanstack/react-router';
import type { QuietUnit } from '../../api/types.js';
import { formatDuration } from '../../quantities/format-quantity.js';

/** Units with no finding, said so that no one has to wonder whether they were looked at. */
export function QuietUnits({ quiet }: { quiet: QuietUnit[] }) {
  return (
    <>
      <Listed
        title="Without findings"
        id="quiet-title"
        units={quiet.filter(({ neverHeard }) => !neverHeard)}
      />
      <Listed
        title="Registered, never heard"
        id="never-heard-title"
        units={quiet.filter(({ neverHeard }) => neverHeard)}
      />
    </>
  );
}

function Listed({ title, id, units }: { title: string; id: string; units: QuietUnit[] }) {
  if (units.length === 0) return null;
  return (
    <section className="quiet-units" aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      <ul>
        {units.map((row) => (
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
