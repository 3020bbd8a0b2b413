import type { LikeCircuit } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import type { FleetUnit } from '../../storage/fleet.js';
import type { StoredNormal } from '../../storage/repositories/results/normal.repository.js';
import { LikeUnits } from './like-units.js';

const unit = (id: number, capacity_kW: number, of: Partial<FleetUnit> = {}): FleetUnit =>
  ({
    id,
    refrigerant: 'R134a',
    condenser: 'water',
    evaporator: 'dry-expansion',
    nominalCapacity_W: capacity_kW * 1000,
    circuits: [{ id: 10 * id, number: 1 }],
    ...of,
  }) as FleetUnit;

const twoCircuits = {
  circuits: [
    { id: 70, number: 1 },
    { id: 71, number: 2 },
  ],
} as Partial<FleetUnit>;
const young = unit(1, 300);
const fleet = [
  young,
  unit(2, 310),
  unit(3, 700),
  unit(4, 800),
  unit(5, 300, { condenser: 'air' }),
  unit(6, 300, { refrigerant: 'R513A' }),
  unit(7, 600, twoCircuits),
  unit(8, 250),
  unit(9, 130),
];

/** Asks for the circuits that `asking` can be compared with; `quiet` are those that nothing is wrong with. */
function setUp(quiet: readonly number[]) {
  let asked = 0;
  let now_ms = 0;
  const like = new LikeUnits(
    {
      fleet: { load: () => Promise.resolve({ units: fleet } as never) },
      normals: {
        quiet: (ids) => {
          asked++;
          return Promise.resolve(new Set(quiet.filter((id) => ids.includes(id))));
        },
        kept: (ids) =>
          Promise.resolve(
            new Map(
              ids.map((id) => [id, { learned: { normal: { from_s: id } } } as unknown as StoredNormal]),
            ),
          ),
      },
    },
    () => now_ms,
  );
  return {
    of: async (one: FleetUnit) =>
      (await like.of([{ circuitId: 1, unit: one }]))
        .get(1)!
        .map((circuit: LikeCircuit) => circuit.normal.from_s),
    asked: () => asked,
    later: (hours: number) => (now_ms += hours * 3_600_000),
  };
}
const all = [10, 20, 30, 40, 50, 60, 70, 71, 80, 90];

describe('the like of a circuit', () => {
  it('are circuits of other units of its refrigerant, exchangers and number of circuits, at most 2.5 times as large or small, nearest first', async () => {
    expect(await setUp(all).of(young)).toEqual([20, 80, 90, 30]);
  });

  it('are one circuit of each unit', async () => {
    expect(await setUp(all).of(unit(99, 600, { circuits: [{}, {}] as never }))).toEqual([70]);
    expect(await setUp([71]).of(unit(99, 600, { circuits: [{}, {}] as never }))).toEqual([71]);
  });

  it('are none of units that something is wrong with or that have no normal', async () => {
    expect(await setUp(all.filter((id) => id !== 80)).of(young)).toEqual([20, 90, 30]);
    expect(await setUp([]).of(young)).toEqual([]);
  });

  it('are looked up once in six hours', async () => {
    const like = setUp(all);
    await like.of(young);
    await like.of(young);
    expect(like.asked()).toBe(1);
    like.later(7);
    await like.of(young);
    expect(like.asked()).toBe(2);
  });
});
