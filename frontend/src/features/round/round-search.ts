import type { Urgency } from '../../api/types.js';
import { urgencies } from '../../components/urgency/urgency.js';

export const groupings = ['urgency', 'site', 'region'] as const;
export type Grouping = (typeof groupings)[number];

/** What the address of the round holds. */
export interface RoundSearch {
  site?: string;
  region?: string;
  urgency?: Urgency;
  q?: string;
  /** Left out: one list in the round's order. */
  group?: Grouping;
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
    view: search.view === 'reading' ? 'reading' : undefined,
    unit: text(search.unit),
    at: Number.isNaN(Date.parse(String(search.at))) ? undefined : text(search.at),
  };
}
