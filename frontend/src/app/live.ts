import { useQueryClient, type QueryClient, type QueryKey } from '@tanstack/react-query';
import { useParams } from '@tanstack/react-router';
import { useEffect, useRef, useState } from 'react';
import { progressQuery } from '../api/queries.js';
import type { Progress, Round } from '../api/types.js';
import { keepConnected, type LiveState } from './connection.js';

export interface Live {
  state: LiveState;
  /** When the server was last heard, ms: what a page shows is no newer. */
  heardAt_ms: number;
}

/**
 * Listens to the server's events about what is shown, and marks what they touch as out of date, so that an open page
 * follows the data. Whoever comes back says what it knew; the server then tells what was missed, or to read everything
 * again. Until then, the shell says that the page may be behind.
 *
 * @param person who is here, as a stream belongs to one person; null: nobody yet, and nothing is listened to
 */
export function useLiveEvents(person: string | null): Live {
  const queries = useQueryClient();
  const [live, setLive] = useState<Live>(() => ({ state: 'connecting', heardAt_ms: Date.now() }));
  const { site, unit } = useParams({ strict: false });
  /** Id of the last event seen, kept from one connection to the next. */
  const lastId = useRef('');
  const before = useRef<{ heardAt_ms: number | undefined; lost: boolean }>({
    heardAt_ms: undefined,
    lost: false,
  });
  useEffect(() => {
    if (person === null) return;
    const shown = site !== undefined && unit !== undefined ? `${site}/${unit}` : undefined;
    const waiting = new Map<string, { queryKey: QueryKey; timer: ReturnType<typeof setTimeout> }>();
    /** One refresh per key in `quiet_ms`, after the last of the events that asked for it. */
    const refresh = (queryKey: QueryKey, quiet_ms: number) => {
      const name = JSON.stringify(queryKey);
      if (waiting.has(name)) return;
      const timer = setTimeout(() => {
        waiting.delete(name);
        void queries.invalidateQueries({ queryKey });
      }, quiet_ms);
      waiting.set(name, { queryKey, timer });
    };
    const connect = () => {
      const query = new URLSearchParams({
        ...(shown === undefined ? {} : { unit: shown }),
        ...(lastId.current === '' ? {} : { since: lastId.current }),
      });
      const source = new EventSource(`/api/events?${query}`);
      const on = <Data>(type: string, hear: (data: Data) => void) =>
        source.addEventListener(type, (event: MessageEvent<string>) => {
          connection.heard();
          if (event.lastEventId !== '') lastId.current = event.lastEventId;
          hear(JSON.parse(event.data) as Data);
        });
      // What was read before the first connection may be older than what its id stands for; a round says what it holds.
      const first = lastId.current === '';
      on<{ version: number }>('connected', ({ version }) => {
        if (first && !holdsRound(queries, version)) refresh(['round'], 0);
      });
      on('alive', () => {});
      on('read-again', () => void queries.invalidateQueries());
      on<{ units: string[] }>('round-changed', ({ units }) => {
        refresh(['round'], 1_000);
        if (shown !== undefined && units.includes(shown)) refresh(['unit'], 1_000);
      });
      on('unit-changed', () => refresh(['unit'], 1_000));
      on<Progress>('progress', (progress) => queries.setQueryData(progressQuery.queryKey, progress));
      on('reading', () => refresh(['latest'], 5_000));
      return source;
    };
    const connection = keepConnected({
      connect,
      heardAt_ms: before.current.heardAt_ms,
      told: (state) => {
        setLive({ state, heardAt_ms: connection.lastHeard() });
        // Readings and judgements that came meanwhile are told to nobody: all that is shown is read again.
        if (state === 'live' && before.current.lost) void queries.invalidateQueries();
        before.current.lost = state === 'lost';
      },
    });
    return () => {
      for (const { queryKey, timer } of waiting.values()) {
        clearTimeout(timer);
        void queries.invalidateQueries({ queryKey });
      }
      before.current.heardAt_ms = connection.lastHeard();
      connection.stop();
    };
  }, [queries, site, unit, person]);
  return live;
}

/** Whether a round is there, read when it stood where it stands now: then nothing that was read since is older either. */
function holdsRound(queries: QueryClient, version: number): boolean {
  const rounds = queries.getQueriesData<{ pages: Round[] }>({ queryKey: ['round', 'now'] });
  return rounds.some(([, round]) => round?.pages.some((page) => page.version === version));
}
