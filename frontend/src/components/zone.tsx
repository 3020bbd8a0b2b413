import { createContext, useContext, useMemo } from 'react';
import { formatDay, formatInstant } from '../quantities/format-quantity.js';
import type { Zone } from '../quantities/site-time.js';

const Context = createContext<Zone>(null);

/** Whose clock the times below it show: a site's zone, or the reader's own where there is none. */
export const ZoneProvider = Context.Provider;
export const useZone = (): Zone => useContext(Context);

/** Instants (s) as words by the clock that holds here. */
export function useTimes(): { instant(epoch_s: number): string; day(epoch_s: number): string } {
  const zone = useZone();
  return useMemo(
    () => ({
      instant: (epoch_s) => formatInstant(epoch_s, zone),
      day: (epoch_s) => formatDay(epoch_s, zone),
    }),
    [zone],
  );
}
