import './tokens.css';
import './base.css';
import { useQuery } from '@tanstack/react-query';
import { Link, Outlet, useLocation } from '@tanstack/react-router';
import { useEffect, useRef } from 'react';
import { sessionQuery } from '../api/people.js';
import { OutboxStrip } from '../features/decisions/outbox/outbox-strip.js';
import { SignedIn } from '../features/people/signed-in.js';
import { WhoIsHere } from '../features/people/who-is-here.js';
import { useLiveEvents } from './live.js';
import { usePreferences, type Pressures, type ThemeChoice } from './preferences.js';
import { ProgressStrip } from './progress-strip.js';
import type { Measures } from '../quantities/unit-system.js';

const places = [
  { to: '/', words: 'Round' },
  { to: '/portfolio', words: 'Portfolio' },
  { to: '/plan', words: 'Plan' },
  { to: '/fleet', words: 'All units' },
  { to: '/registry', words: 'Registry' },
  { to: '/data', words: 'Data' },
  { to: '/study', words: 'Field study' },
  { to: '/accuracy', words: 'Accuracy' },
  { to: '/refrigerants', words: 'Refrigerants' },
  { to: '/unread', words: 'Unread' },
  { to: '/words', words: 'Glossary' },
] as const;

export function Shell() {
  const { data: session } = useQuery(sessionQuery);
  const here = session?.person ?? null;
  const live = useLiveEvents(here === null ? null : `${here.id} ${here.name}`);
  const { units, setUnits, pressures, setPressures, theme, setTheme } = usePreferences();
  const main = useRef<HTMLElement>(null);
  const { pathname } = useLocation();
  const shown = useRef(pathname);
  // After a change of page the reading place moves to its start, for screen readers and keyboards.
  useEffect(() => {
    if (shown.current === pathname) return;
    shown.current = pathname;
    main.current?.focus({ preventScroll: true });
  }, [pathname]);

  return (
    <>
      <a className="skip" href="#content">
        Skip to the content
      </a>
      <header className="masthead">
        <div className="masthead-in">
          <Link to="/" className="name">
            Coldrounds
          </Link>
          <nav aria-label="Pages">
            <ul>
              {places.map((place) => (
                <li key={place.to}>
                  <Link to={place.to} activeOptions={{ exact: place.to === '/', includeSearch: false }}>
                    {place.words}
                  </Link>
                </li>
              ))}
            </ul>
          </nav>
          <div className="switches">
            <WhoIsHere />
            <label>
              <span className="hidden-visually">Units</span>
              <select value={units} onChange={(event) => setUnits(event.target.value as Measures)}>
                <option value="si">SI</option>
                <option value="inch-pound">inch-pound</option>
              </select>
            </label>
            <label>
              <span className="hidden-visually">Pressure</span>
              <select value={pressures} onChange={(event) => setPressures(event.target.value as Pressures)}>
                <option value="gauge">gauge</option>
                <option value="absolute">absolute</option>
              </select>
            </label>
            <label>
              <span className="hidden-visually">Theme</span>
              <select value={theme} onChange={(event) => setTheme(event.target.value as ThemeChoice)}>
                <option value="system">system</option>
                <option value="light">light</option>
                <option value="dark">dark</option>
              </select>
            </label>
          </div>
        </div>
      </header>
      <div className="strips">
        {session?.person !== null && <ProgressStrip live={live} />}
        <OutboxStrip />
      </div>
      <main id="content" ref={main} tabIndex={-1} className="page">
        <SignedIn>
          <Outlet />
        </SignedIn>
      </main>
      <Foot />
    </>
  );
}

function Foot() {
  return (
    <footer className="foot">
      <p>
        Coldrounds only reads telemetry; it never commands a valve, a controller or a module. Times of a unit
        are by its site’s clock, other times by yours (
        {Intl.DateTimeFormat().resolvedOptions().timeZone.replace('_', ' ')}). Work on refrigeration circuits
        is for qualified, licensed people under the local codes.
      </p>
    </footer>
  );
}
