import { Suspense, useEffect, useState, type ReactNode } from 'react';

interface FoldedProps {
  id: string;
  heading: string;
  /** What it holds, in a line. */
  about: string;
  children: () => ReactNode;
}

const isAskedFor = (id: string) => window.location.hash === `#${id}`;

/**
 * A section a step away: its heading and what it holds, until it is pressed, or named in the address as by the list of
 * contents. Then it is fetched and drawn, and stays.
 */
export function Folded({ id, heading, about, children }: FoldedProps) {
  const [opened, setOpened] = useState(() => isAskedFor(id));
  useEffect(() => {
    const look = () => {
      if (isAskedFor(id)) setOpened(true);
    };
    window.addEventListener('hashchange', look);
    return () => window.removeEventListener('hashchange', look);
  }, [id]);
  const folded = (
    <section id={id} className="unit-section unit-folded">
      <h2>
        <button type="button" className="unit-open" aria-expanded={false} onClick={() => setOpened(true)}>
          {heading}
        </button>
      </h2>
      <p className="quiet">{about}</p>
    </section>
  );
  return opened ? <Suspense fallback={folded}>{children()}</Suspense> : folded;
}
