import { createContext, useContext, useEffect, useMemo, useState, type ReactNode } from 'react';
import type { Measures } from '../quantities/unit-system.js';

export type Pressures = 'gauge' | 'absolute';
export type ThemeChoice = 'system' | 'light' | 'dark';

interface Preferences {
  units: Measures;
  /** Gauge: over the pressure of the air at the site, as a manifold shows it. */
  pressures: Pressures;
  theme: ThemeChoice;
  /** What the choice comes to now, with the system's own setting taken in. */
  dark: boolean;
  setUnits(units: Measures): void;
  setPressures(pressures: Pressures): void;
  setTheme(theme: ThemeChoice): void;
}

const Context = createContext<Preferences | null>(null);

function stored<T extends string>(key: string, allowed: readonly T[], fallback: T): T {
  try {
    const value = localStorage.getItem(key) as T | null;
    return value !== null && allowed.includes(value) ? value : fallback;
  } catch {
    return fallback; // Storage can be refused; the page works without it.
  }
}

function store(key: string, value: string): void {
  try {
    localStorage.setItem(key, value);
  } catch {
    // Kept for this page only.
  }
}

const darkQuery = '(prefers-color-scheme: dark)';

export function PreferencesProvider({ children }: { children: ReactNode }) {
  const [units, setUnits] = useState(() => stored('coldrounds.units', ['si', 'inch-pound'] as const, 'si'));
  const [pressures, setPressures] = useState(() =>
    stored('coldrounds.pressures', ['gauge', 'absolute'] as const, 'gauge'),
  );
  const [theme, setTheme] = useState(() =>
    stored('coldrounds.theme', ['system', 'light', 'dark'] as const, 'system'),
  );
  const [systemDark, setSystemDark] = useState(() => matchMedia(darkQuery).matches);

  useEffect(() => {
    const query = matchMedia(darkQuery);
    const follow = () => setSystemDark(query.matches);
    query.addEventListener('change', follow);
    return () => query.removeEventListener('change', follow);
  }, []);

  const dark = theme === 'dark' || (theme === 'system' && systemDark);
  useEffect(() => {
    document.documentElement.dataset.theme = dark ? 'dark' : 'light';
  }, [dark]);

  const value = useMemo<Preferences>(
    () => ({
      units,
      pressures,
      theme,
      dark,
      setUnits(next) {
        store('coldrounds.units', next);
        setUnits(next);
      },
      setPressures(next) {
        store('coldrounds.pressures', next);
        setPressures(next);
      },
      setTheme(next) {
        store('coldrounds.theme', next);
        setTheme(next);
      },
    }),
    [units, pressures, theme, dark],
  );
  return <Context.Provider value={value}>{children}</Context.Provider>;
}

export function usePreferences(): Preferences {
  const value = useContext(Context);
  if (!value) throw new Error('usePreferences outside PreferencesProvider');
  return value;
}
