import { keepPreviousData, queryOptions } from '@tanstack/react-query';
import { client, read } from '../client.js';
import type { UnitPath } from '../queries.js';
import type { components } from '../schema.js';

type Schemas = components['schemas'];
export type SiteDraft = Schemas['SiteDraft'];
export type UnitDraft = Schemas['UnitDraft'];
export type CircuitDraft = Schemas['CircuitDraft'];
export type ModuleDraft = Schemas['ModuleDraft'];
export type UnitJudged = Schemas['UnitJudged'];
export type RegisteredUnit = Schemas['RegisteredUnit'];
export type RegisteredSite = Schemas['RegisteredSite'];
export type RegisteredSites = Schemas['RegisteredSites'];
export type RegistryChange = Schemas['RegistryChange'];
export type TableOutcome = Schemas['TableOutcome'];
export type HeardUnit = Schemas['HeardUnit'];
export type HeardNode = Schemas['HeardList']['sparkplug'][number];
export interface Because {
  reason: string;
  /** Null: it was always so. */
  holdsFrom: string | null;
}

export const registeredSitesQuery = queryOptions({
  queryKey: ['registry'],
  queryFn: ({ signal }) => read(client.GET('/api/registry/sites', { signal })),
});

export const registeredSiteQuery = (site: string) =>
  queryOptions({
    queryKey: ['registry', 'site', site],
    queryFn: ({ signal }) =>
      read(client.GET('/api/registry/sites/{site}', { params: { path: { site } }, signal })),
  });

export const registeredUnitQuery = (path: UnitPath) =>
  queryOptions({
    queryKey: ['registry', 'unit', path],
    queryFn: ({ signal }) =>
      read(client.GET('/api/registry/sites/{site}/units/{unit}', { params: { path }, signal })),
  });

export const heardQuery = queryOptions({
  queryKey: ['registry', 'heard'],
  queryFn: ({ signal }) => read(client.GET('/api/heard', { signal })),
});

/** What is doubtful or missing in a draft; `of`: key of the unit that is changed, null for a new one. */
export const unitCheckQuery = (site: string, unit: UnitDraft | null, of: string | null) =>
  queryOptions({
    queryKey: ['registry', 'check', site, of, unit],
    queryFn: ({ signal }) =>
      read(
        client.POST('/api/registry/sites/{site}/check', {
          params: { path: { site } },
          body: { unit: unit!, of },
          signal,
        }),
      ),
    enabled: unit !== null,
    placeholderData: keepPreviousData,
    staleTime: Infinity,
  });

export const addSite = (site: SiteDraft, because: Because) =>
  read(client.POST('/api/registry/sites', { body: { site, ...because } }));
export const changeSite = (key: string, site: SiteDraft, because: Because) =>
  read(
    client.PUT('/api/registry/sites/{site}', {
      params: { path: { site: key } },
      body: { site, ...because },
    }),
  );
export const addUnit = (site: string, unit: UnitDraft, because: Because) =>
  read(
    client.POST('/api/registry/sites/{site}/units', {
      params: { path: { site } },
      body: { unit, ...because },
    }),
  );
export const changeUnit = (path: UnitPath, unit: UnitDraft, version: number, because: Because) =>
  read(
    client.PUT('/api/registry/sites/{site}/units/{unit}', {
      params: { path },
      body: { unit, version, ...because },
    }),
  );
export const retireUnit = (path: UnitPath, reason: string) =>
  read(client.POST('/api/registry/sites/{site}/units/{unit}/retire', { params: { path }, body: { reason } }));
export const bringBackUnit = (path: UnitPath, reason: string) =>
  read(
    client.POST('/api/registry/sites/{site}/units/{unit}/bring-back', {
      params: { path },
      body: { reason },
    }),
  );
export const moveUnit = (path: UnitPath, to: { site: string; key: string }, because: Because) =>
  read(
    client.POST('/api/registry/sites/{site}/units/{unit}/move', {
      params: { path },
      body: { ...to, ...because },
    }),
  );

export interface PartPlace {
  site: string;
  unit: string;
  number: number;
}
export const moveCircuit = (path: UnitPath & { circuit: number }, to: PartPlace, because: Because) =>
  read(
    client.POST('/api/registry/sites/{site}/units/{unit}/circuits/{circuit}/move', {
      params: { path },
      body: { ...to, ...because },
    }),
  );
export const moveModule = (
  path: UnitPath & { module: number },
  to: PartPlace & { circuits: number[] },
  because: Because,
) =>
  read(
    client.POST('/api/registry/sites/{site}/units/{unit}/modules/{module}/move', {
      params: { path },
      body: { ...to, ...because },
    }),
  );

/** A spreadsheet is sent as it is. */
export const asFile = (file: File) => ({
  body: file as unknown as string,
  bodySerializer: (body: unknown) => body as File,
  headers: { 'Content-Type': 'application/octet-stream' },
});

const mappingText = (mapping: (string | null)[] | null) =>
  mapping === null ? undefined : JSON.stringify(mapping);

/** What a spreadsheet would do; `mapping` null: its columns are guessed. */
export const previewTable = (file: File, mapping: (string | null)[] | null) =>
  read(
    client.POST('/api/registry/table/preview', {
      params: { query: { mapping: mappingText(mapping) } },
      ...asFile(file),
    }),
  );

export const applyTable = (file: File, mapping: (string | null)[] | null, because: Because) =>
  read(
    client.POST('/api/registry/table', {
      params: {
        query: {
          mapping: mappingText(mapping),
          reason: because.reason,
          holdsFrom: because.holdsFrom ?? undefined,
        },
      },
      ...asFile(file),
    }),
  );
