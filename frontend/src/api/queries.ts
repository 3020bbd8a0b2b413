import { infiniteQueryOptions, keepPreviousData, queryOptions } from '@tanstack/react-query';
import { askTogether } from './ask-together.js';
import { client, read } from './client.js';
import type { paths } from './schema.js';
import type { BackupStudy, Urgency } from './types.js';

export interface UnitPath {
  site: string;
  unit: string;
}
export interface CircuitPath extends UnitPath {
  circuit: number;
}
export interface ModulePath extends UnitPath {
  module: number;
}
export interface Span {
  from_s: number;
  to_s: number;
}

export const progressQuery = queryOptions({
  queryKey: ['progress'],
  queryFn: ({ signal }) => read(client.GET('/api/progress', { signal })),
});

type RoundParameters = NonNullable<paths['/api/rounds']['get']['parameters']['query']>;
export interface RoundChoice {
  at?: string;
  site?: string;
  region?: string;
  urgency?: Urgency;
  q?: string;
  sort?: RoundParameters['sort'];
  /** Cursor of the page to begin with; left out: the first. */
  from?: string;
}

/** Units of the first screen, so that it comes soon; and of each page after it. */
export const firstPage = 12;
const nextPages = 40;

/** The round, filtered by the server, page by page. */
export const roundQuery = ({ at, from, ...choice }: RoundChoice) =>
  infiniteQueryOptions({
    queryKey: ['round', at ?? 'now', from ?? 'first', choice],
    queryFn: ({ signal, pageParam }) =>
      read(
        client.GET('/api/rounds', {
          params: {
            query: {
              at,
              ...choice,
              ...(pageParam === null ? { limit: firstPage } : { cursor: pageParam, limit: nextPages }),
            },
          },
          signal,
        }),
      ),
    initialPageParam: from ?? null,
    getNextPageParam: ({ next }) => next,
    placeholderData: keepPreviousData,
  });

/** What changed on the round since a moment; with `limit` 0 only how much. */
export const changesQuery = (since: string, page = 1, limit = 50) =>
  queryOptions({
    queryKey: ['round', 'changes', since, page, limit],
    queryFn: ({ signal }) =>
      read(client.GET('/api/changes', { params: { query: { since, page, limit } }, signal })),
    placeholderData: keepPreviousData,
  });

type PortfolioParameters = NonNullable<paths['/api/portfolio']['get']['parameters']['query']>;
export type PortfolioOrder = NonNullable<PortfolioParameters['sort']>;
export interface PortfolioChoice {
  by: 'site' | 'region';
  sort: PortfolioOrder;
  descending: boolean;
  q?: string;
  page: number;
  limit: number;
}

export const portfolioQuery = ({ by, sort, descending, q, page, limit }: PortfolioChoice) =>
  queryOptions({
    queryKey: ['round', 'portfolio', { by, sort, descending, q, page, limit }],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/portfolio', {
          params: { query: { by, sort, descending: String(descending), q, page, limit } },
          signal,
        }),
      ),
    placeholderData: keepPreviousData,
  });

/** Sites near another one where something is due. */
export const nearbyQuery = (site: string) =>
  queryOptions({
    queryKey: ['round', 'nearby', site],
    queryFn: ({ signal }) =>
      read(client.GET('/api/sites/{site}/nearby', { params: { path: { site } }, signal })),
    staleTime: 300_000,
  });

export interface UnitChoice {
  q?: string;
  sort: UnitOrder;
  descending: boolean;
  page: number;
}
export type UnitOrder = 'round' | 'unit' | 'site' | 'refrigerant' | 'capacity' | 'firmware';

/** One page of the list of units, sorted and filtered by the server. */
export const unitsQuery = ({ q, sort, descending, page }: UnitChoice) =>
  queryOptions({
    queryKey: ['round', 'units', { q, sort, descending, page }],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/units', {
          params: { query: { q, sort, descending: String(descending), page } },
          signal,
        }),
      ),
    placeholderData: keepPreviousData,
  });

export const unitQuery = (path: UnitPath) =>
  queryOptions({
    queryKey: ['unit', path],
    queryFn: ({ signal }) => read(client.GET('/api/units/{site}/{unit}', { params: { path }, signal })),
  });

export const historyQuery = ({ site, unit }: UnitPath) =>
  queryOptions({
    queryKey: ['unit', { site, unit }, 'history'],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/findings', {
          params: { query: { unit: `${site}/${unit}`, open: 'false', limit: 200 } },
          signal,
        }),
      ),
  });

const readEvidence = (id: string, at?: string, signal?: AbortSignal) =>
  read(client.GET('/api/findings/{id}/evidence', { params: { path: { id }, query: { at } }, signal }));

/** Asks once for the pictures of all lines that come into sight at the same time. */
const evidenceOf = askTogether(40, async (ids) => {
  const { evidence } = await read(
    client.GET('/api/evidence', { params: { query: { findings: ids.join(',') } } }),
  );
  return new Map(evidence.map((each) => [each.finding, each]));
});

/** What one finding's picture is drawn from; it changes only when the finding does. */
export const evidenceQuery = (id: string, at?: string, inList = false) =>
  queryOptions({
    queryKey: ['evidence', id, at ?? 'now'],
    queryFn: async ({ signal }) =>
      inList && at === undefined
        ? // Asked for by itself, one that is missing says why.
          ((await evidenceOf(id)) ?? readEvidence(id))
        : readEvidence(id, at, signal),
    staleTime: 300_000,
  });

export const seriesQuery = (path: CircuitPath, span: Span, points: number) =>
  queryOptions({
    queryKey: ['series', path, span, points],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/units/{site}/{unit}/circuits/{circuit}/series', {
          params: { path, query: { from: span.from_s, to: span.to_s, points } },
          signal,
        }),
      ),
    placeholderData: keepPreviousData,
    staleTime: 30_000,
  });

export const waterQuery = (path: UnitPath, span: Span, points: number) =>
  queryOptions({
    queryKey: ['water', path, span, points],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/units/{site}/{unit}/water/series', {
          params: { path, query: { from: span.from_s, to: span.to_s, points } },
          signal,
        }),
      ),
    placeholderData: keepPreviousData,
    staleTime: 30_000,
  });

export const windowsQuery = (path: CircuitPath, span: Span) =>
  queryOptions({
    queryKey: ['windows', path, span],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/units/{site}/{unit}/circuits/{circuit}/windows', {
          params: { path, query: { from: span.from_s, to: span.to_s } },
          signal,
        }),
      ),
    staleTime: 60_000,
  });

export const windowQuery = (path: CircuitPath, start_s: number) =>
  queryOptions({
    queryKey: ['window', path, start_s],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/units/{site}/{unit}/circuits/{circuit}/windows/{start_s}', {
          params: { path: { ...path, start_s } },
          signal,
        }),
      ),
    placeholderData: keepPreviousData,
    staleTime: 60_000,
  });

export const cycleQuery = (path: CircuitPath) =>
  queryOptions({
    queryKey: ['latest', 'cycle', path],
    queryFn: ({ signal }) =>
      read(client.GET('/api/units/{site}/{unit}/circuits/{circuit}/cycle', { params: { path }, signal })),
    placeholderData: keepPreviousData,
  });

export const moduleQuery = (path: ModulePath) =>
  queryOptions({
    queryKey: ['unit', { site: path.site, unit: path.unit }, 'module', path.module],
    queryFn: ({ signal }) =>
      read(client.GET('/api/units/{site}/{unit}/modules/{module}', { params: { path }, signal })),
  });

export const closingQuery = (path: ModulePath, startedAt_s: number) =>
  queryOptions({
    queryKey: ['closing', path, startedAt_s],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/units/{site}/{unit}/modules/{module}/closings/{startedAt_s}', {
          params: { path: { ...path, startedAt_s } },
          signal,
        }),
      ),
    placeholderData: keepPreviousData,
    staleTime: Infinity,
  });

export const powerLossesQuery = (path: UnitPath) =>
  queryOptions({
    queryKey: ['unit', path, 'power-losses'],
    queryFn: ({ signal }) =>
      read(client.GET('/api/units/{site}/{unit}/power-losses', { params: { path }, signal })),
  });

export const powerLossQuery = (path: UnitPath, startedAt_s: number) =>
  queryOptions({
    queryKey: ['power-loss', path, startedAt_s],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/units/{site}/{unit}/power-losses/{startedAt_s}', {
          params: { path: { ...path, startedAt_s } },
          signal,
        }),
      ),
    staleTime: 60_000,
  });

export const refrigerantsQuery = queryOptions({
  queryKey: ['refrigerants'],
  queryFn: ({ signal }) => read(client.GET('/api/refrigerants', { signal })),
  staleTime: Infinity,
});

export type CircuitGroup = 'valve-size' | 'refrigerant' | 'firmware' | 'climate';
export type ModuleGroup = 'rating' | 'climate' | 'firmware' | 'refrigerant';
export type Against = BackupStudy['against'];

type CircuitStudyParameters = NonNullable<paths['/api/study/circuits']['get']['parameters']['query']>;
export type CircuitOrder = NonNullable<CircuitStudyParameters['sort']>;

export interface CircuitChoice {
  group: CircuitGroup;
  days: number;
  sort: CircuitOrder;
  descending: boolean;
  page: number;
}

export const circuitStudyQuery = (choice: CircuitChoice) =>
  queryOptions({
    queryKey: ['study', 'circuits', choice],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/study/circuits', {
          params: { query: { ...choice, descending: String(choice.descending) } },
          signal,
        }),
      ),
    placeholderData: keepPreviousData,
  });

export const backupStudyQuery = (group: ModuleGroup, against: Against) =>
  queryOptions({
    queryKey: ['study', 'backup', group, against],
    queryFn: ({ signal }) =>
      read(client.GET('/api/study/backup-ageing', { params: { query: { group, against } }, signal })),
    placeholderData: keepPreviousData,
  });

export const unreadQuery = (page: number, reason: string | undefined) =>
  queryOptions({
    queryKey: ['unread', page, reason],
    queryFn: ({ signal }) =>
      read(client.GET('/api/unread-messages', { params: { query: { page, reason } }, signal })),
    placeholderData: keepPreviousData,
  });

export const missingTelemetryQuery = queryOptions({
  queryKey: ['missing-telemetry'],
  queryFn: ({ signal }) => read(client.GET('/api/missing-telemetry', { signal })),
});

const part = encodeURIComponent;

/** Links that the browser downloads by itself. */
export const links = {
  seriesCsv: ({ site, unit, circuit }: CircuitPath, span: Span) =>
    `/api/units/${part(site)}/${part(unit)}/circuits/${circuit}/series.csv?from=${Math.floor(span.from_s)}&to=${Math.ceil(span.to_s)}`,
  closingsCsv: ({ site, unit, module }: ModulePath) =>
    `/api/units/${part(site)}/${part(unit)}/modules/${module}/closings.csv`,
  circuitStudyCsv: (group: CircuitGroup, days: number) =>
    `/api/study/circuits.csv?group=${group}&days=${days}`,
  backupStudyCsv: (group: ModuleGroup) => `/api/study/backup-ageing.csv?group=${group}`,
  payload: (id: string) => `/api/unread-messages/${part(id)}/payload`,
};
