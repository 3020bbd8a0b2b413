import { useQuery } from '@tanstack/react-query';
import { useCallback, useMemo, useState } from 'react';
import type { CircuitAssessment, CircuitDetail } from '../../../api/types.js';
import { windowsQuery, type CircuitPath } from '../../../api/queries.js';
import { useUnits } from '../../../components/site.js';
import { floorOption } from '../../../charts/hunting.js';
import { Chart, type Drawing } from '../../../components/chart/chart.js';
import { ScrollX } from '../../../components/scroll-x.js';
import { Say } from '../../../components/say.js';
import { Failed, Loading, TooLittle } from '../../../components/states.js';
import {
  decimals,
  formatDuration,
  formatQuantity,
  roundCount,
  show,
} from '../../../quantities/format-quantity.js';
import { clockWords } from '../../../quantities/site-time.js';
import type { UnitSystem } from '../../../quantities/unit-system.js';
import { PlaceLine } from '../facts/place-line.js';
import { CalendarStrip } from './calendar-strip.js';
import { CircuitChoice, type Choice } from '../parts/circuit-choice.js';
import { firstWindow, windowAt } from './week-strip.js';
import { WindowPictures } from './window-pictures.js';

const span_s = 28 * 86_400;

export function SteadinessSection({
  path,
  circuit,
  choice,
  shows_s,
}: {
  path: CircuitPath;
  circuit: CircuitDetail;
  choice: Choice;
  /** A time in the window that shows the finding; null: the newest telling one is opened. */
  shows_s: number | null;
}) {
  const end_s = Math.ceil((circuit.latest?.time_s ?? Date.now() / 1000) / 7200) * 7200;
  const windows = useQuery(windowsQuery(path, { from_s: end_s - span_s, to_s: end_s }));
  const [picked, setPicked] = useState<{ circuit: number; start_s: number } | null>(null);
  const first = useMemo(
    () => windowAt(windows.data?.windows ?? [], shows_s) ?? firstWindow(windows.data?.windows ?? []),
    [windows.data, shows_s],
  );
  const chosen = picked?.circuit === path.circuit ? picked.start_s : (first?.start_s ?? null);
  const choose = (start_s: number) => setPicked({ circuit: path.circuit, start_s });
  return (
    <section id="steady" className="unit-section">
      <h2>How steadily superheat is held</h2>
      <CircuitChoice {...choice} />
      {circuit.notReliable.superheatLevel && (
        <p className="measure">
          <strong>Superheat on this circuit is not judged</strong> until the measurement is corrected (see{' '}
          <a href="#sensors">sensor checks</a>). The figures here are as measured.
        </p>
      )}
      <Summary circuit={circuit} />
      <PlaceLine path={path} />
      {windows.isPending ? (
        <Loading what="the windows" />
      ) : windows.isError ? (
        <Failed what="the windows" error={windows.error} retry={() => void windows.refetch()} />
      ) : windows.data.windows.length === 0 ? (
        <TooLittle>No window of this circuit has been judged in the last four weeks.</TooLittle>
      ) : (
        <>
          <h3>The last weeks at a glance</h3>
          <CalendarStrip rows={windows.data.windows} chosen={chosen} choose={choose} />
          {chosen !== null && <WindowPictures path={path} start_s={chosen} />}
        </>
      )}
      {circuit.assessment && (
        <Floor
          assessment={circuit.assessment}
          floodbackLimit_K={circuit.entry.floodbackLimit_K}
          notReliable={circuit.notReliable.superheatLevel}
        />
      )}
    </section>
  );
}

function Summary({ circuit }: { circuit: CircuitDetail }) {
  const units = useUnits();
  const { day, week } = circuit.summary;
  const dayWords = (time_s: number) => clockWords(time_s * 1000, 'short-day');
  if (!week && !day) return <TooLittle>No steady running judged yet.</TooLittle>;
  const share = (value: number | null | undefined) => show(value, 'share', units);
  const rows: [string, (span: NonNullable<typeof week>) => string][] = [
    ['Steady running judged', (span) => formatDuration(span.steadyMinutes * 60)],
    ['Superheat, mean', (span) => show(span.mean_K, 'temperature-difference', units)],
    ['Spread (standard)', (span) => show(span.spread_K, 'temperature-difference', units)],
    ['Lowest (first percentile of a window)', (span) => show(span.lowest_K, 'temperature-difference', units)],
    ['Under the floodback limit', (span) => share(span.underLimitFraction)],
    ['… also if the sensors read low', (span) => share(span.surelyUnderLimitFraction)],
    ['Starved', (span) => share(span.starvedFraction)],
    ['Deviation from setpoint, mean', (span) => show(span.offset_K, 'temperature-difference', units)],
    ['Hunting, fraction of the time judged', (span) => share(span.huntingFraction)],
    ['Valve travel, full strokes', (span) => roundCount(span.travel_strokes)],
    ['Valve reversals', (span) => roundCount(span.reversals)],
  ];
  const wear = circuit.assessment?.wear;
  return (
    <>
      <ScrollX label="Superheat over the last day and week">
        <table className="now">
          <thead>
            <tr>
              <td />
              {day && <th className="number">{dayWords(day.from_s)} (UTC)</th>}
              {week && <th className="number">Seven days to {dayWords(week.to_s - 1)}</th>}
            </tr>
          </thead>
          <tbody>
            {rows.map(([words, value]) => (
              <tr key={words}>
                <th scope="row">{words}</th>
                {day && <td className="number">{value(day)}</td>}
                {week && <td className="number">{value(week)}</td>}
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
      {wear && (
        <p className="measure">
          The valve travels <b className="n">{roundCount(wear.travel_strokes_per_day)}</b> full strokes and
          reverses <b className="n">{roundCount(wear.reversals_per_day)}</b> times a day, measured over{' '}
          {formatDuration(wear.observedDays * 86_400)} of these seven days
          {wear.fleetTravelPercentile !== null &&
            wear.fleetReversalPercentile !== null &&
            `: further than ${share(wear.fleetTravelPercentile)} of the valves in the fleet, and more often than ${share(wear.fleetReversalPercentile)}`}
          .
        </p>
      )}
    </>
  );
}

type FloorPart = NonNullable<CircuitAssessment['floor']>['parts'][number];

/** What is said of a part of the curve: a floor, no more than an upper bound of it, or nothing. */
function floorWords({ floor_K, uncertainty_K, bracketed }: FloorPart, units: UnitSystem): string {
  if (floor_K === null) return 'not known';
  return bracketed
    ? formatQuantity(
        { kind: 'temperature-difference', value: floor_K, uncertainty: uncertainty_K ?? undefined },
        units,
      )
    : `at most ${show(floor_K, 'temperature-difference', units)}`;
}

function Floor({
  assessment,
  floodbackLimit_K,
  notReliable,
}: {
  assessment: CircuitAssessment;
  floodbackLimit_K: number;
  notReliable: boolean;
}) {
  const units = useUnits();
  const { floor, headroom } = assessment;
  const draw = useCallback(
    ({ theme, system }: Drawing) => floorOption({ ...floor!, floodbackLimit_K }, theme, system),
    [floor, floodbackLimit_K],
  );
  return (
    <>
      <h3>Steady floor</h3>
      {!floor || floor.points.length === 0 ? (
        <TooLittle>
          {notReliable
            ? 'Not estimated while superheat is measured wrong.'
            : 'Too few windows with steady running to estimate a floor.'}
        </TooLittle>
      ) : (
        <>
          <HeadroomWords assessment={assessment} />
          <Chart
            draw={draw}
            height={360}
            label={`Superheat of ${floor.points.length} windows over ${floor.against === 'compressor-load' ? 'load' : 'opening'}, with the steady floor ${headroom ? `(${show(headroom.floor_K, 'temperature-difference', units)} at the loads it runs)` : 'where it is known'}`}
            caption="A point per window: filled held steady, hollow hunted. The floor is drawn where enough windows support it: thick where hunting was seen below and steady running above it, thin where the floor is there or lower."
          />
          <FloorParts floor={floor} />
        </>
      )}
    </>
  );
}

/** What could be given back, or why that is not said. */
function HeadroomWords({ assessment: { headroom, floor } }: { assessment: CircuitAssessment }) {
  const units = useUnits();
  return (
    <p className="measure">
      {headroom ? (
        <>
          Held {show(headroom.held_K, 'temperature-difference', units)}, floor{' '}
          {show(headroom.floor_K, 'temperature-difference', units)}, margin{' '}
          {show(headroom.safetyMargin_K, 'temperature-difference', units)}: headroom{' '}
          <b className="n">
            {formatQuantity(
              {
                kind: 'temperature-difference',
                value: headroom.headroom_K,
                uncertainty: headroom.uncertainty_K,
              },
              units,
            )}
          </b>
          , over {show(headroom.coveredFraction, 'share', units)} of the steady time.{' '}
          {headroom.headroom_K > headroom.uncertainty_K ? (
            <>
              It may be worth {show(headroom.energyFraction, 'share', units)} of the compressor’s energy.{' '}
              <Say statement={headroom.assumption} />
            </>
          ) : (
            'No superheat can be given back here.'
          )}
        </>
      ) : floor?.parts.some((part) => part.floor_K !== null) ? (
        'Headroom is not estimated here.'
      ) : (
        'No floor is estimated: hunting below it and steady running above it have not both been seen often enough.'
      )}
    </p>
  );
}

function FloorParts({ floor }: { floor: NonNullable<CircuitAssessment['floor']> }) {
  const units = useUnits();
  return (
    <details className="small">
      <summary>Data behind each part of the curve</summary>
      <ScrollX label="Parts of the curve">
        <table>
          <thead>
            <tr>
              <th>{floor.against === 'compressor-load' ? 'Load' : 'Opening'}</th>
              <th className="number">Floor</th>
              <th className="number">Steady windows</th>
              <th className="number">Hunting windows</th>
              <th className="number">Steady hours</th>
            </tr>
          </thead>
          <tbody>
            {floor.parts.map((part) => (
              <tr key={part.from}>
                <td>
                  {decimals(part.from, 0)} to {decimals(part.to, 0)} %
                </td>
                <td className="number">{floorWords(part, units)}</td>
                <td className="number">{part.steadyWindows}</td>
                <td className="number">{part.huntingWindows}</td>
                <td className="number">{decimals(part.steadyHours, 1)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
    </details>
  );
}
