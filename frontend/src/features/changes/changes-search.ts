/** What the address of the changes holds. */
export interface ChangesSearch {
  /** Left out: the last look. */
  since?: string;
  page?: number;
}

export function readChangesSearch(search: Record<string, unknown>): ChangesSearch {
  const page = Number(search.page);
  const since = typeof search.since === 'string' ? search.since : undefined;
  return {
    since: since === undefined || since === 'look' ? undefined : since,
    page: Number.isInteger(page) && page > 1 ? page : undefined,
  };
}
