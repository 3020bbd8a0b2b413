import { queryOptions, useQuery } from '@tanstack/react-query';
import { client, read } from './client.js';
import type { components } from './schema.js';

type Schemas = components['schemas'];
export type Estimate = Schemas['Estimate'];
export type Money = Schemas['Money'];
export type UnitEnergy = Schemas['UnitEnergy'];
export type CircuitEnergy = Schemas['CircuitEnergy'];
export type FleetEnergy = Schemas['FleetEnergy'];
export type SiteEnergy = Schemas['SiteEnergy'];

export const fleetEnergyQuery = queryOptions({
  queryKey: ['round', 'energy'],
  queryFn: ({ signal }) => read(client.GET('/api/energy', { signal })),
});

const most = 100;
let waiting: { name: string; tell: (energy: UnitEnergy | null) => void; fail: (error: Error) => void }[] = [];

/** Asks once for all units of a page whose energy is wanted at the same time. */
function energyOf(name: string): Promise<UnitEnergy | null> {
  return new Promise((tell, fail) => {
    waiting.push({ name, tell, fail });
    if (waiting.length === 1) setTimeout(ask, 20);
  });
}

function ask(): void {
  const asked = waiting;
  waiting = [];
  for (let from = 0; from < asked.length; from += most) {
    const some = asked.slice(from, from + most);
    const units = [...new Set(some.map(({ name }) => name))].join(',');
    read(client.GET('/api/energy/units', { params: { query: { units } } })).then(
      (answer) => {
        const byName = new Map(answer.units.map((unit) => [`${unit.site}/${unit.unit}`, unit]));
        for (const { name, tell } of some) tell(byName.get(name) ?? null);
      },
      (error: Error) => some.forEach(({ fail }) => fail(error)),
    );
  }
}

/** What a unit gives away in energy; null: nothing is told, undefined: not known yet. */
export const useUnitEnergy = (site: string, unit: string): UnitEnergy | null | undefined =>
  useQuery({
    queryKey: ['round', 'energy', `${site}/${unit}`],
    queryFn: () => energyOf(`${site}/${unit}`),
  }).data;
