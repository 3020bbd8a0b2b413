import { queryOptions } from '@tanstack/react-query';
import { client, read } from '../client.js';
import { done } from '../people.js';
import type { components } from '../schema.js';

type Schemas = components['schemas'];
export type DayPlan = Schemas['DayPlan'];
export type PlannedSite = Schemas['PlannedSite'];
export type PlannedFinding = Schemas['PlannedFinding'];

/** What is handed over to a person; `until`: the last day that is wanted. */
export const dayPlanQuery = (person: number | undefined, until: string | undefined) =>
  queryOptions({
    // Under `round`, as a change of the round may change what is due.
    queryKey: ['round', 'plan', person ?? 'own', until ?? 'all'],
    queryFn: ({ signal }) =>
      read(client.GET('/api/day-plan', { params: { query: { person, until } }, signal })),
  });

export const calendarAddressQuery = queryOptions({
  queryKey: ['calendar-address'],
  queryFn: ({ signal }) => read(client.GET('/api/calendar-address', { signal })),
});

export const makeCalendarAddress = () => read(client.POST('/api/calendar-address'));
export const voidCalendarAddress = () => done(client.DELETE('/api/calendar-address'));
