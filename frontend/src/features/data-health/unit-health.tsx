import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import {
  unitHealthQuery,
  type SignalHealth,
  type UnitDataHealthDetail,
} from '../../api/registry/data-health.js';
import { Say } from '../../components/say.js';
import { ScrollX } from '../../components/scroll-x.js';
import { useUnits } from '../../components/site.js';
import { Failed, Loading } from '../../components/states.js';
import { urgencyWords } from '../../components/urgency/urgency.js';
import { useTimes } from '../../components/zone.js';
import { decimals, formatDuration } from '../../quantities/format-quantity.js';
import { subjectWords } from '../../quantities/subject-words.js';
import { GapHours } from './calendar-strip.js';
import { shareWords, signalWords, stepWords } from './health-words.js';
import { capitalised } from '../../quantities/capitalised.js';

/** The data of one unit in full: hours of four weeks, lateness, signals, findings, and what cannot be judged. */
export function UnitHealth({ path }: { path: { site: string; unit: string } }) {
  const health = useQuery(unitHealthQuery(path));
  if (health.isPending) return <Loading what="the unit’s data" />;
  if (health.isError)
    return <Failed what="the unit’s data" error={health.error} retry={() => void health.refetch()} />;
  const { calendar, calendarFrom, countedSince, circuits, findings, cannotBeJudged, lateness } = health.data;
  return (
    <div className="health-detail">
      <CannotBeJudged list={cannotBeJudged} />
      <Findings findings={findings} path={path} />
      <GapHours calendar={calendar} from={calendarFrom} countedSince={countedSince} />
      <Lateness bins={lateness} />
      {circuits.map((circuit) => (
        <Signals key={circuit.number} circuit={circuit} />
      ))}
    </div>
  );
}

export function CannotBeJudged({ list }: { list: UnitDataHealthDetail['cannotBeJudged'] }) {
  return (
    <section>
      <h3>Cannot be judged, because</h3>
      {list.length === 0 ? (
        <p>Nothing is in the way: everything of this unit can be judged.</p>
      ) : (
        <ul className="bullets health-cannot">
          {list.map(({ part, because, cost }, index) => (
            <li key={index}>
              {capitalised(part)}: <Say statement={because} />{' '}
              <span className="quiet">
                Not judged, or only roughly: <Say statement={cost} />
              </span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Findings({
  findings,
  path,
}: {
  findings: UnitDataHealthDetail['findings'];
  path: { site: string; unit: string };
}) {
  return (
    <section>
      <h3>What was found wrong</h3>
      {findings.length === 0 ? (
        <p>Nothing is found wrong with its sensors or its telemetry.</p>
      ) : (
        <ul className="bullets">
          {findings.map(({ id, headline, subject, urgency }) => (
            <li key={id}>
              <Link to="/units/$site/$unit" params={path}>
                <Say statement={headline} />
              </Link>{' '}
              <span className="quiet">
                ({subjectWords(subject)}, {urgencyWords[urgency]})
              </span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Lateness({ bins }: { bins: UnitDataHealthDetail['lateness'] }) {
  const shown = bins.filter(({ steps }) => steps > 0);
  const all = shown.reduce((sum, { steps }) => sum + steps, 0);
  if (all === 0) return null;
  return (
    <section>
      <h3>How late samples came in the last day</h3>
      <ScrollX label="Samples by lateness">
        <table>
          <thead>
            <tr>
              <th scope="col">Late by</th>
              <th scope="col" className="number">
                Time steps
              </th>
              <th scope="col" className="number">
                Share
              </th>
            </tr>
          </thead>
          <tbody>
            {shown.map(({ from_s, to_s, steps }) => (
              <tr key={from_s ?? 'first'}>
                <td>{spanWords(from_s, to_s)}</td>
                <td className="number">{decimals(steps, 0)}</td>
                <td className="number">{shareWords(steps / all)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
    </section>
  );
}

/** A bin in words; below nothing a sample comes before its own time. */
function spanWords(from_s: number | null, to_s: number | null): string {
  const size = (at_s: number) => (at_s === 0 ? '0' : formatDuration(Math.abs(at_s)));
  if (from_s === null) return `over ${size(to_s!)} early`;
  if (to_s === null) return `over ${size(from_s)}`;
  return to_s <= 0 ? `${size(to_s)} to ${size(from_s)} early` : `${size(from_s)} to ${size(to_s)}`;
}

function Signals({ circuit }: { circuit: UnitDataHealthDetail['circuits'][number] }) {
  const times = useTimes();
  const units = useUnits();
  const { number, from, to, signals } = circuit;
  if (from === null || to === null)
    return (
      <section>
        <h3>Signals of circuit {number}</h3>
        <p className="quiet">
          They are looked at with the first check of its sensors, after its first judged window.
        </p>
      </section>
    );
  const instant = (at: string) => times.instant(Date.parse(at) / 1000);
  return (
    <section>
      <h3>Signals of circuit {number}</h3>
      <p className="quiet small">
        As they came from {instant(from)} to {instant(to)}. Complete is by the signal’s own interval.
      </p>
      <ScrollX label={`Signals of circuit ${number}`}>
        <table>
          <thead>
            <tr>
              <th scope="col">Signal</th>
              <th scope="col">Complete</th>
              <th scope="col">Sent</th>
              <th scope="col">Every</th>
              <th scope="col">Step</th>
              <th scope="col">Stands for</th>
              <th scope="col" className="number">
                Glitches
              </th>
            </tr>
          </thead>
          <tbody>
            {signals.map((signal) => (
              <tr key={signal.name}>
                <th scope="row">{signalWords[signal.name] ?? signal.name}</th>
                {signal.values === 0 ? (
                  <td colSpan={6} className="quiet">
                    does not come
                  </td>
                ) : (
                  <>
                    <td>{signal.completeness === null ? 'not known' : shareWords(signal.completeness)}</td>
                    <td>{sentWords(signal)}</td>
                    <td>{signal.interval_s === null ? '–' : formatDuration(signal.interval_s)}</td>
                    <td>{stepWords(signal.name, signal.resolution, units)}</td>
                    <td>{formatDuration(signal.hold_s)}</td>
                    <td className="number">{signal.glitches}</td>
                  </>
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
    </section>
  );

  function sentWords({ name, reporting, deadband }: SignalHealth): string {
    if (reporting === 'sampled') return 'sampled';
    return deadband > 0 ? `on change by ${stepWords(name, deadband, units)}` : 'on change';
  }
}
