/** A few lines about how far the first load has come, from what the server itself counts. */

export interface Progress {
  readings: number;
  newestReading: string | null;
  windowsDue: number;
  windowsJudged: number;
  readingsPerSecond: number;
  settled: boolean;
  upToDate: boolean;
}

const whole = (value: number) => Math.round(value).toLocaleString('en');

export function describeProgress(progress: Progress): string {
  return [
    `${whole(progress.readings)} readings stored (${whole(progress.readingsPerSecond)} a second)`,
    `${whole(progress.windowsJudged)} windows judged, ${whole(progress.windowsDue)} waiting`,
  ].join('; ');
}

/** The history that a simulator sends: `until_s` is the end of it, once all of it has been sent. */
export interface SentHistory {
  until_s: number | null;
}

/**
 * Whether all of the history is in the round. Messages are stored in the order in which they come, so a reading from after its
 * end tells that all of it is stored; what the server said before it told of such a reading may leave the last of it out.
 */
export function includesHistory(history: SentHistory): (progress: Progress) => boolean {
  let stored = false;
  return ({ newestReading, upToDate }) => {
    if (stored) return upToDate;
    stored =
      history.until_s !== null &&
      newestReading !== null &&
      Date.parse(newestReading) / 1000 > history.until_s;
    return false;
  };
}

/** Prints a line every 10 s while history loads, one when the first round is ranked, one when all is settled. */
export function watchProgress(
  address: string,
  shownAddress: string,
  say: (line: string) => void,
  /** Null: nobody sends any. */
  history: SentHistory | null,
): () => void {
  const started = Date.now();
  const seconds = () => Math.round((Date.now() - started) / 1000);
  const isDone = history === null ? ({ settled }: Progress) => settled : includesHistory(history);
  let roundShown = false;
  let lastLine = 0;
  let asking = false;
  const timer = setInterval(() => {
    // A server that is slow to answer is not asked twice at once, or a line would be printed twice.
    if (asking) return;
    asking = true;
    void (async () => {
      try {
        if (!roundShown) {
          const answer = await fetch(`${address}/api/rounds?limit=1`);
          if (answer.status === 401) {
            // People sign in here; what they see is not for the start's own lines.
            say(`open ${shownAddress} ; Ctrl-C stops everything and keeps the data`);
            clearInterval(timer);
            return;
          }
          const round = (await answer.json()) as { units: unknown[]; asOf: string };
          if (round.units.length > 0) {
            roundShown = true;
            say(`the first round is ranked after ${seconds()} s: ${shownAddress}`);
          }
        }
        const progress = (await (await fetch(`${address}/api/progress`)).json()) as Progress;
        if (isDone(progress) && roundShown) {
          if (history !== null)
            say(`history is loaded and judged after ${seconds()} s: ${describeProgress(progress)}`);
          say(`open ${shownAddress} ; Ctrl-C stops everything and keeps the data`);
          clearInterval(timer);
        } else if (Date.now() - lastLine >= 10_000 && progress.readings > 0) {
          lastLine = Date.now();
          say(describeProgress(progress));
        }
      } catch {
        // The server may be busy or stopping; the supervisor says so when it ends.
      } finally {
        asking = false;
      }
    })();
  }, 2000);
  return () => clearInterval(timer);
}
