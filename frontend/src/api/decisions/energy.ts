import { queryOptions, useQuery } from '@tanstack/react-query';
import { askTogether } from '../ask-together.js';
import { client, read } from '../client.js';
import type { components } from '../schema.js';

type Schemas = components['schemas'];
export type Estimate = Schemas['Estimate'];
export type Money = Schemas['Money'];
export type UnitEnergy = Schemas['UnitEnergy'];
export type CircuitEnergy = Schemas['CircuitEnergy'];

export const fleetEnergyQuery = queryOptions({
  queryKey: ['round', 'energy'],
  queryFn: ({ signal }) => read(client.GET('/api/energy', { signal })),
});

/** Asks once for all units of a page whose energy is wanted at the same time. */
const energyOf = askTogether(100, async (names) => {
  const { units } = await read(
    client.GET('/api/energy/units', { params: { query: { units: names.join(',') } } }),
  );
  return new Map(units.map((unit) => [`${unit.site}/${unit.unit}`, unit]));
});

/** What a unit gives away in energy; null: nothing is told, undefined: not known yet. */
export const useUnitEnergy = (site: string, unit: string): UnitEnergy | null | undefined =>
  useQuery({
    queryKey: ['round', 'energy', `${site}/${unit}`],
    queryFn: () => energyOf(`${site}/${unit}`),
  }).data;
