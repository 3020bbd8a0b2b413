import { describe, expect, it } from 'vitest';
import type { FleetUnit } from '../../registry/fleet.js';
import { PlaceService } from './place.service.js';

/** Eight units at two sites, of one circuit each, whose headroom is their number. */
const fleet = (count: number) =>
  Array.from({ length: count }, (_, index) => ({
    ...{ id: index + 1, key: `chiller-${index + 1}`, site: { key: index < 6 ? 'harbour' : 'hill' } },
    ...{ refrigerant: 'R134a', condenser: 'air', evaporator: 'dry-expansion', retiredAt: null, modules: [] },
    circuits: [{ id: index + 1, number: 1, entry: { valve: { size: 'DN 15' } } }],
  })) as unknown as FleetUnit[];

function serviceOf(state: { units: FleetUnit[]; read: number }) {
  return new PlaceService({
    fleet: {
      fleet: async () => ({ units: state.units }),
      unit: async ({ unit }: { unit: string }) => state.units.find(({ key }) => key === unit)!,
    },
    days: { pieces: async function* () {} },
    study: {
      sensorSpans: async () => [],
      headrooms: async () => {
        state.read++;
        return new Map(state.units.map(({ id }) => [id, id]));
      },
      ageing: async () => [],
    },
  } as unknown as ConstructorParameters<typeof PlaceService>[0]);
}

const headroomOf = async (service: PlaceService, unit: string, sites: string[] | null = null) => {
  const { circuits } = await service.places({ site: 'harbour', unit }, sites);
  return circuits[0]!.quantities.find(({ quantity }) => quantity === 'headroom_K');
};

describe('the place of a circuit among its like', () => {
  it('is the fraction of the others that lies below, of all sites or of those that may be seen', async () => {
    const service = serviceOf({ units: fleet(8), read: 0 });
    expect(await headroomOf(service, 'chiller-3')).toMatchObject({ value: 3, below: 2 / 7, others: 7 });
    expect(await headroomOf(service, 'chiller-3', ['harbour'])).toMatchObject({ below: 2 / 5, others: 5 });
    expect(await headroomOf(service, 'chiller-3', ['hill'])).toMatchObject({ below: null, others: 0 });
  });

  it('is told from figures that are kept, which are read anew for a unit that was registered meanwhile', async () => {
    const state = { units: fleet(8), read: 0 };
    const service = serviceOf(state);
    await headroomOf(service, 'chiller-1');
    await headroomOf(service, 'chiller-2');
    expect(state.read).toBe(1);
    state.units = fleet(9);
    expect(await headroomOf(service, 'chiller-9')).toMatchObject({ value: 9, below: 1, others: 8 });
  });
});
