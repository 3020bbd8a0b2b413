import { describe, expect, it } from 'vitest';
import { departuresOf } from '../../normal/departures/departures.js';
import type { Channel } from '../../normal/plateaus/channels.js';
import type { Plateau } from '../../normal/plateaus/find-plateaus.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { r134a, saturated } from './sample-channels.js';
import { normalOf } from './sample-departures.js';
import { swappedByNormal, type DepartingCircuit } from './swapped-by-normal.js';

const machine = r134a();
type Values = Partial<Record<Channel, number>>;
/** Twelve plateaus of half an hour, with samples of the same values every minute. */
const [count, length_s, step_s] = [12, 1800, 60];

function circuit(number: number, normal: DepartingCircuit['normal'], values: Values): DepartingCircuit {
  const series: CircuitSeries = emptyCircuitSeries((count * length_s) / step_s);
  series.time_s.forEach((_, i) => (series.time_s[i] = i * step_s));
  for (const [channel, value] of Object.entries(values) as [Channel, number][]) series[channel].fill(value);
  const plateaus: Plateau[] = Array.from({ length: count }, (_, k) => ({
    from_s: k * length_s,
    to_s: (k + 1) * length_s - step_s,
    samples: length_s / step_s,
    values: Object.fromEntries(
      Object.entries(values).map(([channel, value]) => [channel, { value, uncertainty: 0.01 }]),
    ),
  }));
  const over = plateaus.map((plateau) => departuresOf(machine, normal!, plateau));
  return { circuit: number, machine, normal, series, samples: null, plateaus, over };
}

const running: Values = {
  suctionPressure_Pa: saturated(278),
  dischargePressure_Pa: saturated(308),
  suctionTemperature_K: 284,
  dischargeTemperature_K: 329,
};

describe('sensors swapped between two circuits that run together', () => {
  // Subcooled by 5 and by 9 K while nothing is wrong.
  const normals = [normalOf({ subcooling_K: 5 }), normalOf({ subcooling_K: 9 })];
  const liquids = (first: number, second: number) =>
    swappedByNormal([
      circuit(1, normals[0]!, { ...running, liquidTemperature_K: first }),
      circuit(2, normals[1]!, { ...running, liquidTemperature_K: second }),
    ]);

  it('are told where both do what they did once the two are exchanged', () => {
    const found = liquids(299, 303);
    expect(found.map(({ condition, subject }) => [condition, subject])).toEqual(
      [1, 2].map((number) => [
        'swapped-between-circuits',
        { kind: 'sensor', circuit: number, sensor: 'liquid-temperature' },
      ]),
    );
  });

  it('are told beside a plateau of which nothing can be judged', () => {
    const [one, other] = [
      circuit(1, normals[0]!, { ...running, liquidTemperature_K: 299 }),
      circuit(2, normals[1]!, { ...running, liquidTemperature_K: 303 }),
    ];
    const withoutPressures = { ...one.plateaus[count - 1]! };
    withoutPressures.values = { liquidTemperature_K: withoutPressures.values.liquidTemperature_K! };
    const plateaus = [...one.plateaus.slice(0, -1), withoutPressures];
    expect(swappedByNormal([{ ...one, plateaus }, other])).toHaveLength(2);
  });

  it('are none where one alone is wrong, or both are off the same way', () => {
    expect(liquids(299, 299)).toEqual([]);
    expect(liquids(299, 295)).toEqual([]);
    expect(liquids(303, 299)).toEqual([]);
  });

  it('are none where a fault of one circuit moves several of its readings, and the other can bear one of them', () => {
    // Two readings of the first are off by 3 and 4 standard deviations that hardly ever come together; either exchange leaves both within their limits.
    const independent = normalOf({ subcooling_K: 5, dischargeSuperheat_K: 21 });
    const normal = { ...independent, correlation: [1, -0.7, -0.7, 1], limit: 3.8 };
    const one = { ...running, liquidTemperature_K: 300, dischargeTemperature_K: 333 };
    const other = { ...running, liquidTemperature_K: 303, dischargeTemperature_K: 329 };
    expect(swappedByNormal([circuit(1, normal, one), circuit(2, normal, other)])).toEqual([]);
  });

  it('are told of suction thermometers by the discharge, where one evaporator floods and the other starves', () => {
    const normal = normalOf({ superheat_K: 6, dischargeSuperheat_K: 21 });
    // Controllers hold what they read at 6 K. The first floods, its discharge 6 K too cold; the second starves by 7 K.
    const told = (secondTooHot_K: number) =>
      swappedByNormal([
        circuit(1, normal, {
          suctionPressure_Pa: saturated(280),
          dischargePressure_Pa: saturated(308),
          suctionTemperature_K: 287,
          dischargeTemperature_K: 323,
        }),
        circuit(2, normal, {
          suctionPressure_Pa: saturated(274),
          dischargePressure_Pa: saturated(308),
          suctionTemperature_K: 280,
          dischargeTemperature_K: 329 + secondTooHot_K,
        }),
      ]);
    const [found] = told(7);
    expect(found!.subject).toEqual({ kind: 'sensor', circuit: 1, sensor: 'suction-temperature' });
    const { more, less, up, down } = found!.reasons[0]!.quantities;
    expect([up!.value, down!.value]).toEqual([1, 2]);
    expect(more!.value).toBeCloseTo(7, 0);
    expect(less!.value).toBeCloseTo(7, 0);
    // At a suction pressure that falls as well, discharge follows by up to some times as much.
    expect(told(12)).toHaveLength(2);
    // Its discharge has not followed, or much further than superheat explains.
    expect(told(0)).toEqual([]);
    expect(told(30)).toEqual([]);
  });

  it('are none without a normal of both, or where nothing departs', () => {
    const one = circuit(1, normals[0]!, { ...running, liquidTemperature_K: 299 });
    const other = circuit(2, normals[1]!, { ...running, liquidTemperature_K: 303 });
    expect(swappedByNormal([one, { ...other, normal: null }])).toEqual([]);
    expect(
      swappedByNormal([
        { ...one, over: [] },
        { ...other, over: [] },
      ]),
    ).toEqual([]);
  });
});
