/** Answers that the page asked for before the program was there (public/begin.js), by path and query. */
declare global {
  interface Window {
    begun?: Record<string, Promise<Response>>;
  }
}

/** Answers that came longer ago may be out of date, ms. */
const fresh_ms = 10_000;

/**
 * As `fetch`, but takes the answer that was asked for while the program loaded where there is one: once, and only in the
 * first seconds. One that failed is asked for again.
 */
export async function fetchOrBegun(request: Request): Promise<Response> {
  const begun = request.method === 'GET' ? taken(request.url) : undefined;
  if (begun === undefined) return fetch(request);
  const answer = await begun.catch(() => null);
  return answer?.ok ? answer : fetch(request);
}

function taken(url: string): Promise<Response> | undefined {
  if (typeof window === 'undefined' || window.begun === undefined) return undefined;
  const { pathname, search } = new URL(url);
  const begun = window.begun[pathname + search];
  delete window.begun[pathname + search];
  return performance.now() < fresh_ms ? begun : undefined;
}
