/** What an order of the round looks at. */
export interface OrderedPlace {
  urgency: number;
  waiting: number;
  findings: number;
  certainty: number;
  weight: number | null;
  since_s: number | null;
  name: string;
  siteName: string;
}

interface Part {
  /** Over `unit_attention a` and `site s`. */
  sql: string;
  /** The same of a place that is at hand. */
  of: (place: OrderedPlace) => number | string;
}

const column = (name: 'urgency' | 'waiting' | 'findings' | 'certainty' | 'name'): Part => ({
  sql: `a.${name}`,
  of: (place) => place[name],
});

/** As core ranks (`rankRound`): the order that the index of `unit_attention` keeps. */
const byUrgency = (['urgency', 'waiting', 'findings', 'certainty', 'name'] as const).map(column);

/** Units with nothing found come last, whatever is asked for. */
const nothingFound: Part = {
  sql: '(a.urgency = 4)::int',
  of: ({ urgency }) => Number(urgency === 4),
};

/** After all times that can be. */
const notKnown_s = 1e15;

const orders = {
  urgency: byUrgency,
  certainty: [
    nothingFound,
    column('certainty'),
    { sql: '-coalesce(a.weight, 0)::float8', of: ({ weight }) => -(weight ?? 0) },
    ...byUrgency,
  ],
  age: [
    nothingFound,
    { sql: `coalesce(a.since_s, ${notKnown_s})`, of: ({ since_s }) => since_s ?? notKnown_s },
    ...byUrgency,
  ],
  site: [nothingFound, { sql: 's.name', of: ({ siteName }) => siteName }, ...byUrgency],
  waiting: [nothingFound, column('waiting'), ...byUrgency],
} satisfies Record<string, Part[]>;

/** The most urgent first, the surest, the longest known, sites by name, the dearest to wait. */
export type RoundOrder = keyof typeof orders;

/** Expressions of an order for SQL; each order ends with the name, so that no two units have the same place. */
export const partsOf = (order: RoundOrder): string[] => (orders[order] as Part[]).map(({ sql }) => sql);

/** Whether an order needs the site beside the place. */
export const needsSite = (order: RoundOrder): boolean => order === 'site';

/** Where a place stands in an order; compared part by part. */
export const keyOf = (order: RoundOrder, place: OrderedPlace): (number | string)[] =>
  (orders[order] as Part[]).map(({ of }) => of(place));

export function compareKeys(a: readonly (number | string)[], b: readonly (number | string)[]): number {
  for (const [index, one] of a.entries()) {
    const other = b[index];
    if (one !== other) return one < other ? -1 : 1;
  }
  return 0;
}
