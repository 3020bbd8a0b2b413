import { keepPreviousData, queryOptions } from '@tanstack/react-query';
import { client, read } from '../client.js';
import type { components, paths } from '../schema.js';

type Schemas = components['schemas'];
export type UnitDataHealth = Schemas['UnitDataHealth'];
export type UnitDataHealthDetail = Schemas['UnitDataHealthDetail'];
export type SiteDataHealth = Schemas['SiteDataHealth'];
export type DataHealthTotals = Schemas['DataHealthTotals'];
export type ClockOffset = Schemas['ClockOffset'];
export type GapCalendar = Schemas['GapCalendar'];
export type SignalHealth = Schemas['SignalHealth'];

type Parameters = NonNullable<paths['/api/data-health']['get']['parameters']['query']>;
export type HealthOrder = NonNullable<Parameters['sort']>;

export interface HealthChoice {
  q?: string;
  sort: HealthOrder;
  descending: boolean;
  page: number;
}

const refetchInterval = 60_000;
const parameters = ({ q, sort, descending, page }: HealthChoice) => ({
  query: { q, sort, descending: String(descending), page },
});

export const fleetHealthQuery = (choice: HealthChoice) =>
  queryOptions({
    queryKey: ['data-health', choice],
    queryFn: ({ signal }) => read(client.GET('/api/data-health', { params: parameters(choice), signal })),
    placeholderData: keepPreviousData,
    refetchInterval,
  });

export const siteHealthQuery = (site: string, choice: HealthChoice) =>
  queryOptions({
    queryKey: ['data-health', 'site', site, choice],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/sites/{site}/data-health', {
          params: { path: { site }, ...parameters(choice) },
          signal,
        }),
      ),
    placeholderData: keepPreviousData,
    refetchInterval,
  });

export const unitHealthQuery = (path: { site: string; unit: string }) =>
  queryOptions({
    queryKey: ['data-health', 'unit', path],
    queryFn: ({ signal }) =>
      read(client.GET('/api/units/{site}/{unit}/data-health', { params: { path }, signal })),
    refetchInterval,
  });
