import type { ReactNode } from 'react';

export function Loading({ what }: { what: string }) {
  return (
    <p className="quiet" role="status">
      Loading {what}…
    </p>
  );
}

/** Says plainly what could not be had and what the reader can do. */
export function Failed({ what, error, retry }: { what: string; error: Error; retry?: () => void }) {
  return (
    <div className="notice bad" role="alert">
      <p>
        <strong>Could not load {what}.</strong>
      </p>
      <p className="quiet">{error.message}</p>
      {retry && (
        <button type="button" className="button small" onClick={retry}>
          Try again
        </button>
      )}
    </div>
  );
}

export function TooLittle({ children }: { children: ReactNode }) {
  return <p className="notice quiet">{children}</p>;
}
