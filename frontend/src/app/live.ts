import { useQueryClient, type QueryKey } from '@tanstack/react-query';
import { useParams } from '@tanstack/react-router';
import { useEffect, useRef, useState } from 'react';
import { progressQuery } from '../api/queries.js';
import type { Progress } from '../api/types.js';

export type LiveState = 'connecting' | 'live' | 'lost';

/**
 * Listens to the server's events about what is shown, and marks what they touch as out of date, so that an open page
 * follows the data. The browser reconnects by itself and says what it knew; the server then tells what was missed, or
 * to read everything again. Until then, the shell says that the page may be behind.
 *
 * @param person who is here, as a stream belongs to one person; null: nobody yet, and nothing is listened to
 */
export function useLiveEvents(person: string | null): LiveState {
  const queries = useQueryClient();
  const [state, setState] = useState<LiveState>('connecting');
  const { site, unit } = useParams({ strict: false });
  /** Id of the last event seen, kept from one connection to the next. */
  const lastId = useRef('');
  useEffect(() => {
    if (person === null) return;
    const shown = site !== undefined && unit !== undefined ? `${site}/${unit}` : undefined;
    const query = new URLSearchParams({
      ...(shown === undefined ? {} : { unit: shown }),
      ...(lastId.current === '' ? {} : { since: lastId.current }),
    });
    const source = new EventSource(`/api/events?${query}`);
    let lostTimer: ReturnType<typeof setTimeout> | undefined;
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
    const on = <Data>(type: string, hear: (data: Data) => void) =>
      source.addEventListener(type, (event: MessageEvent<string>) => {
        if (event.lastEventId !== '') lastId.current = event.lastEventId;
        hear(JSON.parse(event.data) as Data);
      });
    source.onopen = () => {
      clearTimeout(lostTimer);
      setState('live');
    };
    source.onerror = () => {
      clearTimeout(lostTimer);
      lostTimer = setTimeout(() => setState('lost'), 5_000);
    };
    // What was read before the first connection may be older than what its id stands for.
    const first = lastId.current === '';
    on('connected', () => first && refresh(['round'], 0));
    on('read-again', () => void queries.invalidateQueries());
    on<{ units: string[] }>('round-changed', ({ units }) => {
      refresh(['round'], 1_000);
      if (shown !== undefined && units.includes(shown)) refresh(['unit'], 1_000);
    });
    on('unit-changed', () => refresh(['unit'], 1_000));
    on<Progress>('progress', (progress) => queries.setQueryData(progressQuery.queryKey, progress));
    on('reading', () => refresh(['latest'], 5_000));
    return () => {
      clearTimeout(lostTimer);
      for (const { queryKey, timer } of waiting.values()) {
        clearTimeout(timer);
        void queries.invalidateQueries({ queryKey });
      }
      source.close();
    };
  }, [queries, site, unit, person]);
  return state;
}
