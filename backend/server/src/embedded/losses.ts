/** Lines about telemetry that was lost, could not be read or could not be judged, from what the server's health says. */

export interface Losses {
  messagesLost: { broker: string; lost: number }[] | null;
  samplesMissing: { samples: number; units: number } | null;
  unreadMessages: { reason: string; kept: number; notKept: number }[] | null;
  notJudged: { windows: number; closings: number; circuits: number; modules: number } | null;
}

const whole = (value: number) => Math.round(value).toLocaleString('en');

/** What is to be said now that was not said before; nothing where nothing more was lost. */
export function newLosses(before: Losses | null, now: Losses): string[] {
  const lines: string[] = [];
  for (const { broker, lost } of now.messagesLost ?? []) {
    const known = before?.messagesLost?.find((entry) => entry.broker === broker)?.lost ?? 0;
    if (lost > known)
      lines.push(
        `the broker ${broker} has dropped ${whole(lost)} messages because one of its queues was full; that telemetry is lost (Mosquitto: set max_queued_messages 1000000000 and max_queued_bytes 0)`,
      );
  }
  const missing = now.samplesMissing;
  // More units, or twice the samples: not a line for each hour of one poor connection.
  if (
    missing !== null &&
    missing.samples > 0 &&
    (missing.units > (before?.samplesMissing?.units ?? 0) ||
      missing.samples > 2 * (before?.samplesMissing?.samples ?? 0))
  )
    lines.push(
      `at least ${whole(missing.samples)} samples of the last 24 hours from ${whole(missing.units)} unit${missing.units === 1 ? '' : 's'} did not come; the page "Unread messages" names them`,
    );
  const unread = countUnread(now);
  if (unread > 2 * countUnread(before))
    lines.push(
      `${whole(unread)} messages of the last 24 hours could not be read (${(now.unreadMessages ?? []).map(({ reason }) => reason.replaceAll('-', ' ')).join(', ')}); the page "Unread messages" gives the reasons`,
    );
  const failed = countFailed(now);
  if (failed > 2 * countFailed(before))
    lines.push(
      `${whole(failed)} windows, closings, circuits or modules could not be judged; the pages of their units give the reasons`,
    );
  return lines;
}

const countUnread = (losses: Losses | null): number =>
  (losses?.unreadMessages ?? []).reduce((sum, { kept, notKept }) => sum + kept + notKept, 0);
const countFailed = (losses: Losses | null): number =>
  Object.values(losses?.notJudged ?? {}).reduce((sum, count) => sum + count, 0);

const every_ms = 30_000;

/** Says what is lost as soon as the server knows. Returns how to stop. */
export function watchLosses(address: string, say: (line: string) => void): () => void {
  let said: Losses | null = null;
  const look = async () => {
    const health = (await (await fetch(`${address}/api/health`)).json()) as Losses;
    // Null while the database is away: what was said holds on.
    if (health.messagesLost === null || health.samplesMissing === null) return;
    const lines = newLosses(said, health);
    for (const line of lines) say(line);
    if (lines.length > 0 || said === null) said = health;
  };
  const timer = setInterval(() => void look().catch(() => {}), every_ms);
  timer.unref();
  return () => clearInterval(timer);
}
