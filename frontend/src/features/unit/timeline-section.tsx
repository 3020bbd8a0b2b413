import { keepPreviousData, useQuery } from '@tanstack/react-query';
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { UnitDetail } from '../../api/types.js';
import {
  links,
  progressQuery,
  seriesQuery,
  waterQuery,
  type CircuitPath,
  type Span,
} from '../../api/queries.js';
import { timelineOption } from '../../charts/timeline.js';
import { timelineHeight } from '../../charts/timeline-panels.js';
import { usePreferences } from '../../app/preferences.js';
import { useTimes, useZone } from '../../components/zone.js';
import { Chart, type Drawing } from '../../components/chart.js';
import { Failed, Loading } from '../../components/states.js';
import { formatDuration, show } from '../../quantities/format-quantity.js';
import { instantOf_ms } from '../../quantities/site-time.js';
import type { UnitSystem } from '../../quantities/unit-system.js';
import { CircuitChoice, type Choice } from './circuit-choice.js';
import { clampSpan, moved, scaled } from './span.js';

const presets = [
  ['30 d', 30 * 86_400],
  ['7 d', 7 * 86_400],
  ['24 h', 86_400],
  ['2 h', 7_200],
  ['10 min', 600],
] as const;
const longest_s = 30 * 86_400;
const points = 1500;

interface TimelineProps {
  path: CircuitPath;
  detail: UnitDetail;
  choice: Choice;
}

/** What the panels show, in numbers, for people who cannot see them. */
function timelineWords(
  series: { superheat_K: readonly (number | null)[]; valveOpening_pct: readonly (number | null)[] },
  units: UnitSystem,
): string {
  const range = (column: readonly (number | null)[], kind: string) => {
    const known = column.filter((value): value is number => value !== null);
    if (known.length === 0) return 'not sent';
    const [low, high] = known.reduce(
      ([a, b], value) => [Math.min(a, value), Math.max(b, value)],
      [known[0], known[0]],
    );
    return `${show(low, kind, units)} to ${show(high, kind, units)}`;
  };
  return `superheat ${range(series.superheat_K, 'temperature-difference')}, valve opening ${range(series.valveOpening_pct, 'percent-opening')}; pressures and temperatures under them`;
}

export function TimelineSection({ path, detail, choice }: TimelineProps) {
  const { instant } = useTimes();
  const { units } = usePreferences();
  const zone = useZone();
  const { data: progress } = useQuery(progressQuery);
  // The newest end moves on with the readings, in steps, so that a chart that follows is fetched twice a minute at most.
  const end_s =
    Math.ceil((detail.lastReading ? Date.parse(detail.lastReading) / 1000 : Date.now() / 1000) / 30) * 30;
  const oldest_s = progress?.oldestReading ? Math.floor(Date.parse(progress.oldestReading) / 1000) : null;
  const extent = useMemo<Span>(
    () => ({ from_s: Math.max(end_s - longest_s, oldest_s ?? -Infinity), to_s: end_s }),
    [end_s, oldest_s],
  );
  // A length means "up to the newest reading"; a span means a place that the reader chose.
  const [view, setView] = useState<{ length_s: number } | Span>({ length_s: 86_400 });
  const shown = useMemo<Span>(
    () =>
      'length_s' in view
        ? clampSpan({ from_s: extent.to_s - view.length_s, to_s: extent.to_s }, extent)
        : view,
    [view, extent],
  );
  const series = useQuery(seriesQuery(path, shown, points));
  const water = useQuery({
    ...waterQuery({ site: path.site, unit: path.unit }, shown, 600),
    placeholderData: keepPreviousData,
  });

  const later = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => () => clearTimeout(later.current), []);
  const onZoom = useCallback(
    (from_ms: number, to_ms: number) => {
      clearTimeout(later.current);
      later.current = setTimeout(
        () =>
          setView({
            from_s: Math.floor(instantOf_ms(from_ms, zone) / 1000),
            to_s: Math.ceil(instantOf_ms(to_ms, zone) / 1000),
          }),
        250,
      );
    },
    [zone],
  );
  const draw = useCallback(
    ({ theme, system, narrow }: Drawing) =>
      timelineOption(series.data!, water.data ?? null, { extent, shown, narrow }, theme, system),
    [series.data, water.data, extent, shown],
  );
  const length_s = shown.to_s - shown.from_s;
  const go = (span: Span) => setView(clampSpan(span, extent));
  return (
    <section id="time" className="unit-section">
      <h2>Over time</h2>
      <div className="controls">
        <CircuitChoice {...choice} />
        <div className="choice" role="group" aria-label="Length of time, up to the newest reading">
          {presets.map(([words, length]) => (
            <button
              key={words}
              type="button"
              className="button small"
              aria-pressed={'length_s' in view && view.length_s === length}
              onClick={() => setView({ length_s: length })}
            >
              {words}
            </button>
          ))}
        </div>
        <div className="choice" role="group" aria-label="Move in time">
          <button type="button" className="button small" onClick={() => go(moved(shown, -0.5))}>
            earlier
          </button>
          <button type="button" className="button small" onClick={() => go(moved(shown, 0.5))}>
            later
          </button>
          <button type="button" className="button small" onClick={() => go(scaled(shown, 0.5))}>
            closer
          </button>
          <button type="button" className="button small" onClick={() => go(scaled(shown, 2))}>
            wider
          </button>
        </div>
      </div>
      {series.isPending ? (
        <Loading what="the readings" />
      ) : series.isError ? (
        <Failed what="the readings" error={series.error} retry={() => void series.refetch()} />
      ) : (
        <>
          <p className="quiet small" aria-live="polite">
            {instant(shown.from_s)} to {instant(shown.to_s)}, {formatDuration(length_s)}.{' '}
            {series.data.time_s.length === 0
              ? 'No readings in this time.'
              : `One point is ${formatDuration(series.data.resolution_s)}${series.data.source === 'rollup' ? ', from two-minute summaries' : ''}.`}{' '}
            {series.isFetching && 'Fetching closer detail… '}
            <a href={links.seriesCsv(path, shown)} download>
              Readings as CSV
            </a>
          </p>
          <Chart
            draw={draw}
            height={timelineHeight}
            onZoom={onZoom}
            label={`Circuit ${path.circuit} over time: ${timelineWords(series.data, units)}`}
            caption="Drag to move, hold Shift and turn the wheel to zoom, pinch on a touch screen, or pull the ends of the strip underneath. Shaded: mains lost. The superheat scale leaves out the outermost hundredth of the readings, such as the spike of a start."
          />
        </>
      )}
    </section>
  );
}
