import { queryOptions, useQuery } from '@tanstack/react-query';
import { askTogether } from '../ask-together.js';
import { client, read } from '../client.js';
import type { components } from '../schema.js';

type Schemas = components['schemas'];
export type Standing = Schemas['Standing'];
export type FindingDecisions = Schemas['FindingDecisions'];
export type Decision = Schemas['Decision'];
export type DecisionWish = Schemas['DecisionWish'];
export type DecisionKind = DecisionWish['kind'];
export type SeenOnVisit = Schemas['SeenOnVisit'];
export type Accuracy = Schemas['Accuracy'];
export type ComparedReading = Schemas['ComparedReading'];

export const decisionsQuery = (id: string) =>
  queryOptions({
    queryKey: ['unit', 'decisions', id],
    queryFn: ({ signal }) =>
      read(client.GET('/api/findings/{id}/decisions', { params: { path: { id } }, signal })),
  });

export const unitDecisionsQuery = (path: { site: string; unit: string }) =>
  queryOptions({
    queryKey: ['unit', path, 'decisions'],
    queryFn: ({ signal }) =>
      read(client.GET('/api/units/{site}/{unit}/decisions', { params: { path }, signal })),
  });

export const accuracyQuery = queryOptions({
  queryKey: ['accuracy'],
  queryFn: ({ signal }) => read(client.GET('/api/accuracy', { signal })),
});

export const causesQuery = queryOptions({
  queryKey: ['causes'],
  queryFn: ({ signal }) => read(client.GET('/api/causes', { signal })),
  staleTime: Infinity,
});

export const decide = (id: string, body: DecisionWish) =>
  read(client.POST('/api/findings/{id}/decisions', { params: { path: { id } }, body }));

/** Asks once for all findings of a page whose standing is wanted at the same time. */
const standingOf = askTogether(200, async (ids) => {
  const { standings } = await read(
    client.GET('/api/standings', { params: { query: { findings: ids.join(',') } } }),
  );
  return new Map(standings.map((standing) => [standing.finding, standing]));
});

/** Where a finding stands; null: nothing was decided, undefined: not known yet. */
export const useStanding = (id: string): Standing | null | undefined =>
  useQuery({ queryKey: ['round', 'standing', id], queryFn: () => standingOf(id) }).data;
