import { createContext, useContext, useMemo, type ReactNode } from 'react';
import { usePreferences } from '../app/preferences.js';
import type { UnitSystem } from '../quantities/unit-system.js';
import { ZoneProvider } from './zone.js';

const Ambient = createContext<number | null>(null);

interface SiteProviderProps {
  site: { timeZone: string; ambientPressure_Pa: number };
  children: ReactNode;
}

/** What is below it is of one site: times by its clock, gauge pressures over the pressure of its air. */
export function SiteProvider({ site, children }: SiteProviderProps) {
  return (
    <ZoneProvider value={site.timeZone}>
      <Ambient.Provider value={site.ambientPressure_Pa}>{children}</Ambient.Provider>
    </ZoneProvider>
  );
}

/** What the reader's numbers are shown in here; where no site is known, pressures are absolute. */
export function useUnits(): UnitSystem {
  const { units, pressures } = usePreferences();
  const ambient_Pa = useContext(Ambient);
  return useMemo(
    () => (pressures === 'absolute' || ambient_Pa === null ? units : { measures: units, ambient_Pa }),
    [units, pressures, ambient_Pa],
  );
}
