import type { PlateauDepartures } from '../../normal/departures/departures.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import type { ChannelValues, NormalQuantity } from '../../normal/quantities/quantities.js';

/** A normal that expects the same of each quantity at every operating point, and is known exactly. */
export function normalOf(expected: Partial<Record<NormalQuantity, number>>): CircuitNormal {
  const order = Object.keys(expected) as NormalQuantity[];
  return {
    refrigerant: 'R134a',
    from_s: 0,
    to_s: 1,
    plateaus: 100,
    point: { loadSource: null, fullLoad: 1, used: [], centre: [] },
    relations: Object.fromEntries(
      order.map((name) => [
        name,
        { coefficients: [expected[name]!], inverse: [0], noise: 1, degreesOfFreedom: 50, plateaus: 100 },
      ]),
    ),
    reference: Object.fromEntries(order.map((name) => [name, 1])),
    order,
    correlation: order.flatMap((_, a) => order.map((__, b) => (a === b ? 1 : 0))),
    persistence: order.map(() => 0),
    signatures: null,
    limit: 1,
    channels: [],
  };
}

/** One plateau at `at` whose quantities are off by these differences, each with its standard deviation, independent. */
export function off(
  at: ChannelValues,
  by: Partial<Record<NormalQuantity, [difference: number, deviation: number]>>,
): PlateauDepartures {
  const order = Object.keys(by) as NormalQuantity[];
  return {
    plateau: { from_s: 0, to_s: 1, samples: 10, values: {} },
    at,
    point: [],
    order,
    difference: order.map((name) => by[name]![0]),
    scatter: Float64Array.from(
      order.flatMap((own) => order.map((name) => (name === own ? by[name]![1] ** 2 : 0))),
    ),
    relation: order.map(() => 0),
    common: [],
    degreesOfFreedom: order.map(() => 50),
    departures: {},
  };
}
