import type { PortfolioOrder } from '../../api/queries.js';

/** What the address of the portfolio holds. */
export interface PortfolioSearch {
  by?: 'region';
  sort?: PortfolioOrder;
  descending?: true;
  /** Words of the rows wanted. */
  q?: string;
  page?: number;
}

const orders: readonly PortfolioOrder[] = [
  'name',
  'urgency',
  'units',
  'change',
  'proven',
  'health',
  'energy',
];

export function readPortfolioSearch(search: Record<string, unknown>): PortfolioSearch {
  const page = Number(search.page);
  return {
    by: search.by === 'region' ? 'region' : undefined,
    sort: orders.find((order) => order === search.sort && order !== 'urgency'),
    descending: search.descending === true || undefined,
    q: typeof search.q === 'string' && search.q !== '' ? search.q : undefined,
    page: Number.isInteger(page) && page > 1 ? page : undefined,
  };
}
