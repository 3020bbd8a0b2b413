import type { HealthOrder } from '../../api/registry/data-health.js';

/** What the address of a page of data health holds. */
export interface HealthSearch {
  q?: string;
  sort?: HealthOrder;
  descending?: true;
  page?: number;
}

const orders: readonly HealthOrder[] = ['worst', 'name', 'last', 'lateness', 'repeats', 'clock'];

export function readHealthSearch(search: Record<string, unknown>): HealthSearch {
  const page = Number(search.page);
  return {
    q: typeof search.q === 'string' && search.q !== '' ? search.q : undefined,
    sort: orders.find((order) => order === search.sort && order !== 'worst'),
    descending: search.descending === true || undefined,
    page: Number.isInteger(page) && page > 1 ? page : undefined,
  };
}

export const choiceOf = ({ q, sort, descending, page }: HealthSearch) => ({
  q,
  sort: sort ?? ('worst' as const),
  descending: descending ?? false,
  page: page ?? 1,
});
