import './spark.css';
import { extent } from 'd3-array';
import { sparkPath } from '../charts/spark-path.js';

interface SparkProps {
  time_s: readonly number[];
  value: readonly (number | null)[];
  /** What a person who cannot see the line is told, and the caption. */
  label: string;
  range: (low: number, high: number) => string;
  limit?: number;
  tone?: 1 | 2 | 3;
  gap_s?: number;
}

/** Evidence drawn small: one line, its limit dashed, its range in words. */
export function Spark({ time_s, value, label, range, limit, tone = 1, gap_s }: SparkProps) {
  const [width, height] = [200, 44];
  const path = sparkPath(time_s, value, {
    width,
    height,
    include: limit === undefined ? [] : [limit],
    gap_s,
  });
  if (!path) return <p className="spark-none">{label}: too few readings to plot</p>;
  const [low, high] = extent(value.filter((entry) => entry !== null));
  const words = range(low!, high!);
  return (
    <figure className="spark">
      <svg
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label={`${label}, ${words}`}
        preserveAspectRatio="none"
      >
        {path.levels.map((level) => (
          <line key={level} x1="0" x2={width} y1={level} y2={level} className="spark-limit" />
        ))}
        <path d={path.line} className={`spark-line tone-${tone}`} vectorEffect="non-scaling-stroke" />
      </svg>
      <figcaption>
        <span>{label}</span> <span className="spark-range">{words}</span>
      </figcaption>
    </figure>
  );
}
