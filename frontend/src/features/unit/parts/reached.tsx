import { Suspense, useRef, type ReactNode } from 'react';
import { useSeen } from '../../../components/picture/use-seen.js';

interface ReachedProps {
  id: string;
  heading: string;
  children: () => ReactNode;
}

/** A section that is fetched and drawn once the reader comes near it; until then its heading keeps its place. */
export function Reached({ id, heading, children }: ReachedProps) {
  const box = useRef<HTMLElement>(null);
  const seen = useSeen(box, 500);
  const waiting = (
    <section id={id} ref={box} className="unit-section unit-waiting">
      <h2>{heading}</h2>
    </section>
  );
  return seen ? <Suspense fallback={waiting}>{children()}</Suspense> : waiting;
}
