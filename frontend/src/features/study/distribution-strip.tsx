import { extent } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { count } from '../../quantities/format-quantity.js';

interface DistributionRow {
  name: string;
  circuits: number;
  count: number;
  p10: number | null;
  p25: number | null;
  p50: number | null;
  p75: number | null;
  p90: number | null;
  /** Values of single circuits, drawn as ticks: all of them, or some evenly taken where they are many. */
  values: number[];
}

/** A line per cohort on one scale: circuits as ticks, the middle 50 % a bar, the median a mark, tenth to ninetieth a line. */
export function DistributionStrip({
  rows,
  format,
  one = 'circuit',
}: {
  rows: DistributionRow[];
  format: (value: number | null) => string;
  /** What the values are of. */
  one?: string;
}) {
  const all = rows.flatMap((row) => [...row.values, ...[row.p10, row.p90].filter((value) => value !== null)]);
  if (all.length === 0) return <p className="quiet">No {one} has this value.</p>;
  const [low, high] = extent(all) as [number, number];
  const place = scaleLinear([low, high], [1, 99]);
  const known = (value: number | null): value is number => value !== null;
  return (
    <div className="distributions">
      {rows.map((row) => (
        <div key={row.name} className="distribution">
          <p className="distribution-name">
            <strong>{row.name}</strong>{' '}
            <span className="quiet">
              {row.count} of {count(row.circuits, one)}
            </span>
          </p>
          <svg
            viewBox="0 0 100 24"
            preserveAspectRatio="none"
            role="img"
            aria-label={`${row.name}: median ${format(row.p50)}, middle 50 % ${format(row.p25)} to ${format(row.p75)}`}
          >
            <line x1="0" x2="100" y1="14" y2="14" className="distribution-base" />
            {known(row.p10) && known(row.p90) && (
              <line x1={place(row.p10)} x2={place(row.p90)} y1="14" y2="14" className="distribution-range" />
            )}
            {known(row.p25) && known(row.p75) && (
              <rect
                x={place(row.p25)}
                width={Math.max(place(row.p75) - place(row.p25), 0.3)}
                y="9"
                height="10"
                className="distribution-half"
              />
            )}
            {row.values.map((value, index) => (
              <line
                key={index}
                x1={place(value)}
                x2={place(value)}
                y1="0"
                y2="5"
                className="distribution-tick"
              />
            ))}
            {known(row.p50) && (
              <line x1={place(row.p50)} x2={place(row.p50)} y1="6" y2="22" className="distribution-median" />
            )}
          </svg>
          <p className="distribution-words">
            median <b className="n">{format(row.p50)}</b>, middle 50 % {format(row.p25)} to {format(row.p75)}
          </p>
        </div>
      ))}
      <p className="distribution-scale small quiet">
        <span>{format(low)}</span>
        <span>one scale for all cohorts</span>
        <span>{format(high)}</span>
      </p>
    </div>
  );
}
