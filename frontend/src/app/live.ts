import { useQueryClient } from '@tanstack/react-query';
import { useEffect, useState } from 'react';

export type LiveState = 'connecting' | 'live' | 'lost';

/**
 * Listens to the server's events and marks what they touch as out of date, so that an open page follows the data.
 * The browser reconnects by itself; until it does, the shell says that the page may be behind.
 */
export function useLiveEvents(): LiveState {
  const queries = useQueryClient();
  const [state, setState] = useState<LiveState>('connecting');
  useEffect(() => {
    const source = new EventSource('/api/events');
    let lostTimer: ReturnType<typeof setTimeout> | undefined;
    const touched = new Map<string, number>();
    /** At most one refresh per key in `quiet_ms`: readings come every few seconds from every unit. */
    const refresh = (key: readonly unknown[], quiet_ms: number) => {
      const name = JSON.stringify(key);
      const now = Date.now();
      if (now - (touched.get(name) ?? 0) < quiet_ms) return;
      touched.set(name, now);
      void queries.invalidateQueries({ queryKey: key });
    };
    source.onopen = () => {
      clearTimeout(lostTimer);
      setState('live');
    };
    source.onerror = () => {
      clearTimeout(lostTimer);
      lostTimer = setTimeout(() => setState('lost'), 5_000);
    };
    source.addEventListener('progress', () => refresh(['progress'], 1_000));
    source.addEventListener('round-changed', () => {
      refresh(['round'], 2_000);
      refresh(['unit'], 5_000);
    });
    source.addEventListener('reading', () => refresh(['latest'], 10_000));
    return () => {
      clearTimeout(lostTimer);
      source.close();
    };
  }, [queries]);
  return state;
}
