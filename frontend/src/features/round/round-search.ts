import type { Urgency } from '../../api/types.js';
import { urgencies } from '../../components/urgency/urgency.js';

export const groupings = ['urgency', 'site', 'region'] as const;
export type Grouping = (typeof groupings)[number];

/** Orders besides the round's own, with their words. */
export const orders = {
  certainty: 'by certainty',
  age: 'by age',
  waiting: 'by cost of waiting',
  site: 'by site',
} as const;
export type Order = keyof typeof orders;
const orderNames = Object.keys(orders) as Order[];

/** What the address of the round holds. */
export interface RoundSearch {
  site?: string;
  region?: string;
  urgency?: Urgency;
  q?: string;
  /** Left out: one list in the round's order. */
  group?: Grouping;
  /** Left out: the most urgent first. */
  sort?: Order;
  /** Where the list begins, as the server named it; left out: at its first unit. */
  from?: string;
  /** Left out: the dense list. */
  view?: 'reading';
  /** `{site}/{unit}`: whose answer stands beside the list. */
  unit?: string;
  /** ISO instant: the round as it stood then. */
  at?: string;
}

export function readRoundSearch(search: Record<string, unknown>): RoundSearch {
  const text = (value: unknown) => (typeof value === 'string' && value !== '' ? value : undefined);
  const urgency = text(search.urgency);
  return {
    site: text(search.site),
    region: text(search.region),
    urgency: urgencies.find((entry) => entry === urgency),
    q: text(search.q),
    group: groupings.find((entry) => entry === search.group),
    sort: orderNames.find((entry) => entry === search.sort),
    from: text(search.from),
    view: search.view === 'reading' ? 'reading' : undefined,
    unit: text(search.unit),
    at: Number.isNaN(Date.parse(String(search.at))) ? undefined : text(search.at),
  };
}

/** A change of what is shown begins at its first unit; by urgencies is grouped what stands in that order alone. */
export function changed(old: RoundSearch, change: Partial<RoundSearch>): RoundSearch {
  const next = { ...old, from: undefined, ...change };
  if (change.sort !== undefined && next.group === 'urgency') next.group = undefined;
  if (change.group === 'urgency') next.sort = undefined;
  return next;
}
