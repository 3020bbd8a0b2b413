import { useQuery } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import type { Live } from './live.js';
import { progressQuery } from '../api/queries.js';
import { decimals, formatDuration, roundCount } from '../quantities/format-quantity.js';

/** Data older than this is said to be old: readings come every 10 s, gateways may batch for minutes. */
const staleAfter_s = 15 * 60;

/** Shows that history is still loading, that nothing new comes in, or that the connection is lost; else nothing. */
export function ProgressStrip({ live }: { live: Live }) {
  const { data, isError } = useQuery(progressQuery);
  if (live.state === 'lost') return <Lost since_ms={live.heardAt_ms} />;
  if (isError)
    return (
      <Strip>
        <strong>The server does not say how far it is.</strong> What is shown here may be out of date.
      </Strip>
    );
  if (!data) return null;
  if (!data.settled && data.readings > 0) {
    const done = data.windowsJudged;
    const all = done + data.windowsDue;
    return (
      <Strip>
        <span>
          Loading history: {roundCount(data.readings)} readings so far, {decimals(done, 0)} of{' '}
          {decimals(all, 0)} windows judged. Findings are added to the round as windows are judged.
        </span>
        {all > 0 && <progress value={done} max={all} aria-label="Windows judged" />}
      </Strip>
    );
  }
  if (data.newestReading === null)
    return (
      <Strip>
        <strong>No telemetry yet.</strong> Nothing can be judged until a gateway publishes.
      </Strip>
    );
  const age_s = (Date.now() - Date.parse(data.newestReading)) / 1000;
  if (age_s > staleAfter_s)
    return (
      <Strip>
        <strong>The newest reading is {formatDuration(age_s)} old.</strong> Everything here is as of then.
      </Strip>
    );
  return null;
}

const every_ms = 5_000;

/** How old what is shown is at least, counted on while nothing comes. */
function Lost({ since_ms }: { since_ms: number }) {
  const [now_ms, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), every_ms);
    return () => clearInterval(timer);
  }, []);
  return (
    <Strip>
      <span>
        <strong>The server has not answered for {formatDuration((now_ms - since_ms) / 1000)}.</strong> What is
        shown here is that old. The page keeps trying and brings itself up to date.
      </span>
    </Strip>
  );
}

function Strip({ children }: { children: React.ReactNode }) {
  return (
    <div className="strip" role="status">
      <div className="strip-in">{children}</div>
    </div>
  );
}
