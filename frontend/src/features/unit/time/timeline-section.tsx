import { extent as extremes } from 'd3-array';
import { keepPreviousData, useQuery } from '@tanstack/react-query';
import { memo, useMemo } from 'react';
import type { CircuitSeries, UnitDetail } from '../../../api/types.js';
import { links, progressQuery, seriesQuery, waterQuery, type CircuitPath } from '../../../api/queries.js';
import { unitDecisionsQuery } from '../../../api/decisions/decisions.js';
import { markersOf, type Happened, type Marker } from '../../../charts/timeline/markers.js';
import { useUnits } from '../../../components/site.js';
import { useTimes } from '../../../components/zone.js';
import { Failed, Loading } from '../../../components/states.js';
import { formatDuration, show } from '../../../quantities/format-quantity.js';
import type { UnitSystem } from '../../../quantities/unit-system.js';
import { CircuitChoice, type Choice } from '../parts/circuit-choice.js';
import type { LiveSpan } from './live-span.js';
import { TimePanels } from './panels/time-panels.js';
import { moved, scaled, wholeSeconds, type Span } from './span.js';
import { TimeStrip } from './time-strip.js';
import { useTimeView, type View } from './use-time-view.js';

const presets = [
  ['30 d', 30 * 86_400],
  ['7 d', 7 * 86_400],
  ['24 h', 86_400],
  ['2 h', 7_200],
  ['10 min', 600],
] as const;
const moves = [
  ['earlier', (span: Span) => moved(span, -0.5)],
  ['later', (span: Span) => moved(span, 0.5)],
  ['closer', (span: Span) => scaled(span, 0.5)],
  ['wider', (span: Span) => scaled(span, 2)],
] as const;
const longest_s = 30 * 86_400;
const points = 1500;

interface TimelineProps {
  path: CircuitPath;
  detail: UnitDetail;
  choice: Choice;
  /** What is shown at first: the stretch that shows the finding, or null for the last day. */
  start: Span | null;
}

/** What the panels show, in numbers, for people who cannot see them. */
function timelineWords(
  series: Pick<CircuitSeries, 'superheat_K' | 'valveOpening_pct'>,
  units: UnitSystem,
): string {
  const range = (column: readonly (number | null)[], kind: string) => {
    const [low, high] = extremes(column.filter((value) => value !== null));
    return low === undefined ? 'not sent' : `${show(low, kind, units)} to ${show(high, kind, units)}`;
  };
  return `superheat ${range(series.superheat_K, 'temperature-difference')}, valve opening ${range(series.valveOpening_pct, 'percent-opening')}; pressures and temperatures under them`;
}

/** All that can be shown: the newest month, or less where the readings begin later. */
function useExtent(detail: UnitDetail): Span {
  const { data: progress } = useQuery(progressQuery);
  // The newest end moves on with the readings, in steps, so that a chart that follows is fetched twice a minute at most.
  const newest_s = detail.lastReading ? Date.parse(detail.lastReading) / 1000 : Date.now() / 1000;
  const to_s = Math.ceil(newest_s / 30) * 30;
  const oldest_s = progress?.oldestReading
    ? Math.floor(Date.parse(progress.oldestReading) / 1000)
    : -Infinity;
  return useMemo(() => ({ from_s: Math.max(to_s - longest_s, oldest_s), to_s }), [to_s, oldest_s]);
}

export function TimelineSection({ path, detail, choice, start }: TimelineProps) {
  const extent = useExtent(detail);
  const time = useTimeView(extent, start ?? { length_s: 86_400 });
  const { view, press } = time;
  const asked = useMemo(() => wholeSeconds(time.fetched), [time.fetched]);
  const series = useQuery(seriesQuery(path, asked, points));
  const { data: decided } = useQuery(unitDecisionsQuery({ site: path.site, unit: path.unit }));
  const happened = useMemo<Happened>(
    () => ({
      findings: detail.findings.filter(
        ({ subject }) => 'circuit' in subject && subject.circuit === path.circuit,
      ),
      visits_s: (decided?.standings ?? []).flatMap(({ kind, seen, at }) =>
        kind === 'closed' && seen !== null ? [Date.parse(at) / 1000] : [],
      ),
    }),
    [detail.findings, decided, path.circuit],
  );
  return (
    <section id="time" className="unit-section">
      <h2>Over time</h2>
      <Controls choice={choice} view={view} press={press} />
      {series.isPending ? (
        <Loading what="the readings" />
      ) : series.isError ? (
        <Failed what="the readings" error={series.error} retry={() => void series.refetch()} />
      ) : (
        <>
          <Words path={path} asked={asked} series={series.data} isFetching={series.isFetching} />
          <Panels
            path={path}
            asked={asked}
            extent={extent}
            live={time.live}
            moving={time.moving}
            move={time.move}
            series={series.data}
            happened={happened}
          />
        </>
      )}
    </section>
  );
}

interface ControlsProps {
  choice: Choice;
  view: View;
  press: ReturnType<typeof useTimeView>['press'];
}

const Controls = ({ choice, view, press }: ControlsProps) => (
  <div className="controls">
    <CircuitChoice {...choice} />
    <div className="choice" role="group" aria-label="Length of time, up to the newest reading">
      {presets.map(([words, length_s]) => (
        <button
          key={words}
          type="button"
          className="button small"
          aria-pressed={'length_s' in view && view.length_s === length_s}
          onClick={() => press(() => ({ length_s }))}
        >
          {words}
        </button>
      ))}
    </div>
    <div className="choice" role="group" aria-label="Move in time">
      {moves.map(([words, by]) => (
        <button key={words} type="button" className="button small" onClick={() => press(by)}>
          {words}
        </button>
      ))}
    </div>
  </div>
);

interface WordsProps {
  path: CircuitPath;
  asked: Span;
  series: CircuitSeries;
  isFetching: boolean;
}

const Words = memo(({ path, asked, series: data, isFetching }: WordsProps) => {
  const { instant } = useTimes();
  return (
    <p className="quiet small" aria-live="polite">
      {instant(asked.from_s)} to {instant(asked.to_s)}, {formatDuration(asked.to_s - asked.from_s)}.{' '}
      {data.time_s.length === 0
        ? 'No readings in this time.'
        : `One point per ${formatDuration(data.resolution_s)}${data.source === 'rollup' ? ', from two-minute summaries' : ''}.`}{' '}
      {isFetching && 'Fetching the readings… '}
      <a href={links.seriesCsv(path, asked)} download>
        Readings as CSV
      </a>
    </p>
  );
});

interface PanelsProps {
  path: CircuitPath;
  asked: Span;
  extent: Span;
  live: LiveSpan;
  moving: boolean;
  move: ReturnType<typeof useTimeView>['move'];
  series: CircuitSeries;
  /** On the circuit that is shown, and visits to the unit. */
  happened: Happened;
}

function Panels({ path, asked, extent, live, moving, move, series, happened }: PanelsProps) {
  const units = useUnits();
  const { data: water } = useQuery({
    ...waterQuery({ site: path.site, unit: path.unit }, asked, 600),
    placeholderData: keepPreviousData,
  });
  // Only a mains loss that lasts needs the end, so the panels are drawn anew with readings and not with the clock.
  const end_s = series.mainsLosses.some((loss) => loss.to_s === null) ? extent.to_s : 0;
  const markers = useMemo(() => markersOf(series, happened, units), [series, happened, units]);
  const words = useMemo(() => timelineWords(series, units), [series, units]);
  return (
    <>
      <TimePanels
        series={series}
        water={water ?? null}
        markers={markers}
        end_s={end_s}
        live={live}
        moving={moving}
        move={move}
        label={`Circuit ${path.circuit} over time: ${words}`}
      />
      <TimeStrip extent={extent} live={live} move={move} />
      <Caption markers={markers} />
    </>
  );
}

const Caption = memo(({ markers }: { markers: readonly Marker[] }) => {
  const { instant } = useTimes();
  return (
    <p className="time-caption">
      Drag to move; hold Shift or Ctrl and turn the wheel to zoom, or pinch on a touch screen; or pull the
      ends of the strip. Shaded: mains lost. The superheat scale leaves out the outermost hundredth of the
      readings, such as the spike of a start.
      {markers.length > 0 &&
        ` Dotted: ${markers.map(({ at_s, words }) => `${words} ${instant(at_s)}`).join('; ')}.`}
    </p>
  );
});
