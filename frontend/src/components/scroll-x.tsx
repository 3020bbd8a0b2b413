import type { ReactNode } from 'react';

/** What may be wider than the window scrolls sideways by itself, with the keyboard too. */
export function ScrollX({ label, children }: { label: string; children: ReactNode }) {
  return (
    <div className="scroll-x" role="region" aria-label={label} tabIndex={0}>
      {children}
    </div>
  );
}
