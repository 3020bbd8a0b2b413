import type { QueryClient } from '@tanstack/react-query';
import { sessionQuery } from '../api/people.js';
import { roundQuery, unitQuery } from '../api/queries.js';

/** How long the first drawing waits for answers: longer, and a page that says that it is loading is better, ms. */
const patience_ms = 400;

/**
 * Reads what the first screen is made of, so that the page is drawn once with it and not first without: drawing and laying
 * out twice costs a slow machine more than it waits here. Answers were asked for while the program loaded
 * (public/begin.js). Resolves when they are there, have failed, or keep the reader waiting.
 */
export async function readFirst(queries: QueryClient, { pathname, search }: Location): Promise<void> {
  const asked = [queries.prefetchQuery(sessionQuery)];
  const unit = /^\/units\/([^/]+)\/([^/]+)(\/brief)?$/.exec(pathname);
  if (pathname === '/' && search === '') asked.push(queries.prefetchInfiniteQuery(roundQuery({})));
  else if (unit !== null) {
    const [site, key] = [unit[1], unit[2]].map(decodeURIComponent);
    asked.push(queries.prefetchQuery(unitQuery({ site, unit: key })));
  }
  await Promise.race([Promise.all(asked), new Promise((resolve) => setTimeout(resolve, patience_ms))]);
}
