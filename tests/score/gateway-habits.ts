import { circuitSeriesColumns, seededRandom, type CircuitSeries } from '@coldrounds/core';
import type { SimulatedCircuit } from '@coldrounds/simulator';
import type { SiteHabit } from './site-units.js';

/**
 * What gateways, converters and whoever mapped their points make of a healthy unit's values: each changes the stored
 * series of a unit by itself, so that neither the simulator nor the analysis has a part in it.
 */
type Column = (typeof circuitSeriesColumns)[number];
type Random = () => number;
type Change = (series: CircuitSeries, random: Random, unit: number) => Partial<CircuitSeries>;

export const temperatures: readonly Column[] = [
  'suctionTemperature_K',
  'dischargeTemperature_K',
  'liquidTemperature_K',
  'enteringWaterTemperature_K',
  'leavingWaterTemperature_K',
  'ambientTemperature_K',
  'condenserEnteringTemperature_K',
  'condenserLeavingTemperature_K',
];
const pressures: readonly Column[] = ['suctionPressure_Pa', 'dischargePressure_Pa'];
const ofWater: readonly Column[] = [
  'enteringWaterTemperature_K',
  'leavingWaterTemperature_K',
  'waterFlow_m3_s',
];
const zero_K = 273.15;
const air_Pa = 101_325;

/** The unit with a change of each of its circuits' series. */
export const changing =
  (change: Change) =>
  (simulated: SimulatedCircuit, unit: number): SimulatedCircuit => {
    const of = (series: CircuitSeries, circuit: number): CircuitSeries => {
      const random = seededRandom(7919 * (unit + 1) + circuit);
      for (let skip = 0; skip < 20; skip++) random();
      return { ...series, ...change(series, random, unit) };
    };
    return {
      ...simulated,
      series: of(simulated.series, 0),
      neighbours: simulated.neighbours.map((one, i) => of(one, i + 1)),
    };
  };

/** Columns, value by value. */
export const each = (
  names: readonly Column[],
  series: CircuitSeries,
  value: (value: number, row: number) => number,
): Partial<CircuitSeries> => Object.fromEntries(names.map((name) => [name, series[name].map(value)]));

export const without = (...names: Column[]) => changing((series) => each(names, series, () => NaN));

/** One after the other. */
export const both =
  (...steps: NonNullable<SiteHabit['received']>[]): NonNullable<SiteHabit['received']> =>
  (simulated, unit) =>
    steps.reduce((so, step) => step(so, unit), simulated);

/** Rows with other times, as the store keeps them: by time, and of two with one time the one that came first. */
function restamped(series: CircuitSeries, time_s: ArrayLike<number>): CircuitSeries {
  const order = Array.from({ length: time_s.length }, (_, row) => row)
    .filter((row) => Number.isFinite(time_s[row]))
    .sort((a, b) => time_s[a]! - time_s[b]! || a - b);
  const kept = order.filter((row, k) => k === 0 || time_s[row] !== time_s[order[k - 1]!]);
  const taken = (values: ArrayLike<number>) => Float64Array.from(kept, (row) => values[row]!);
  return {
    ...(Object.fromEntries(
      circuitSeriesColumns.map((name) => [name, taken(series[name])]),
    ) as unknown as CircuitSeries),
    time_s: taken(time_s),
  };
}

const local_h = (time_s: number) => (time_s / 3600) % 24;

/** Which rows lie in spells of random length that begin at random, so many a day. */
function spells(
  series: CircuitSeries,
  random: Random,
  perDay: number,
  least_min: number,
  most_min: number,
): Uint8Array {
  const { time_s } = series;
  const inside = new Uint8Array(time_s.length);
  let until_s = -Infinity;
  for (let row = 1; row < time_s.length; row++) {
    const chance = ((time_s[row]! - time_s[row - 1]!) * perDay) / 86_400;
    if (time_s[row]! > until_s && random() < chance)
      until_s = time_s[row]! + 60 * (least_min + (most_min - least_min) * random());
    if (time_s[row]! <= until_s) inside[row] = 1;
  }
  return inside;
}

const named = (name: string, change: Change, more: Partial<SiteHabit> = {}): SiteHabit => ({
  name,
  case: () => ({}),
  received: changing(change),
  ...more,
});
const onGauges = { case: () => ({ gauge: true }) };
const impossible = { watchedFor: 'readings-impossible' };

const clocks: readonly SiteHabit[] = [
  named('rows of one time sent twice, with other values', (series, random) => {
    const time_s = series.time_s.slice();
    for (let row = 1; row < time_s.length; row++) if (random() < 0.05) time_s[row] = time_s[row - 1]!;
    return restamped(series, time_s);
  }),
  named('local clock set back an hour', (series) => {
    const back_s = series.time_s[0]! + 2.1 * 86_400;
    return restamped(
      series,
      series.time_s.map((at_s) => (at_s < back_s ? at_s : at_s - 3597)),
    );
  }),
  named('clock lost at restarts', (series, random) => {
    const restarts = spells(series, random, 3, 5, 15);
    return restamped(
      series,
      series.time_s.map((at_s, row) =>
        restarts[row] === 1 ? NaN : restarts[row - 1] === 1 ? at_s + 40 : at_s,
      ),
    );
  }),
  named('backlog stamped when it is sent', (series, random) => {
    const silent = spells(series, random, 2, 20, 60);
    const time_s = series.time_s.slice();
    let from = -1;
    for (let row = 0; row < time_s.length; row++) {
      if (silent[row] === 1 && from < 0) from = row;
      if (silent[row] === 1 || from < 0) continue;
      for (let k = from; k < row; k++) time_s[k] = time_s[row]! - 0.02 * (row - k);
      from = -1;
    }
    return restamped(series, time_s);
  }),
  named('water an hour behind', (series) => {
    const rows = 360;
    return (
      each(ofWater, series, () => NaN) &&
      Object.fromEntries(
        ofWater.map((name) => [name, series[name].map((_, row) => series[name][Math.max(0, row - rows)]!)]),
      )
    );
  }),
];

const units: readonly SiteHabit[] = [
  named(
    'Fahrenheit sent as Celsius',
    (series) =>
      each(temperatures, series, (value_K) => {
        const shown = zero_K + 1.8 * (value_K - zero_K) + 32;
        return shown <= 423.15 ? shown : NaN;
      }),
    impossible,
  ),
  named(
    'gauge kilopascals sent as pascals',
    (series) => each(pressures, series, (value_Pa) => air_Pa + (value_Pa - air_Pa) / 1000),
    { ...onGauges, ...impossible },
  ),
  named(
    'gauge bars sent as pascals',
    (series) => each(pressures, series, (value_Pa) => air_Pa + (value_Pa - air_Pa) / 1e5),
    { ...onGauges, ...impossible },
  ),
  named('opening sent as a fraction', (series) => each(['valveOpening_pct'], series, (value) => value / 100)),
  {
    name: 'opening sent as a fraction, no load',
    case: () => ({}),
    received: both(
      without('compressorLoad_pct'),
      changing((series) => each(['valveOpening_pct'], series, (value) => value / 100)),
    ),
  },
  named('load sent as 0 or 1', (series) =>
    each(['compressorLoad_pct'], series, (value) => (value > 1 ? 1 : 0)),
  ),
  named('load sent as a fraction', (series) => each(['compressorLoad_pct'], series, (value) => value / 100)),
  {
    name: 'power in kilowatts sent as watts, no load',
    case: () => ({}),
    received: both(
      without('compressorLoad_pct'),
      changing((series) => each(['compressorPower_W'], series, (value) => value / 1000)),
    ),
  },
];

const values: readonly SiteHabit[] = [
  {
    name: 'means of 15 min',
    case: () => ({ sending: { interval_s: 900, average: true } }),
    silenceIsRight: true,
  },
  {
    name: 'whole kelvins and whole bars',
    case: () => ({ sending: { step: { temperature: 1, pressure: 1e5, opening: 1, load: 1, setpoint: 1 } } }),
    silenceIsRight: true,
  },
  named('converter ends under the pressure at rest', (series) => {
    const running = series.suctionPressure_Pa.filter((_, row) => series.compressorLoad_pct[row]! > 1).sort();
    const end_Pa = 1.15 * running[Math.floor(0.98 * running.length)]!;
    return each(['suctionPressure_Pa'], series, (value) => Math.min(value, end_Pa));
  }),
  named('all values stand by night', (series, _, unit) => {
    const from_h = 20 + (unit % 4);
    let last = 0;
    const stands = (row: number) => {
      const asleep = (local_h(series.time_s[row]!) - from_h + 24) % 24 < 7;
      if (!asleep) last = row;
      return last;
    };
    const source = Array.from(series.time_s, (_at, row) => stands(row));
    return Object.fromEntries(
      circuitSeriesColumns.map((name) => [name, series[name].map((_v, row) => series[name][source[row]!]!)]),
    );
  }),
  named('temperatures at -40 while the line is lost', (series, random) => {
    const lost = spells(series, random, 4, 1, 60);
    return each(temperatures, series, (value, row) => (lost[row] === 1 ? zero_K - 40 : value));
  }),
  named('suction thermometer at -40 now and then', (series, random) => {
    const lost = spells(series, random, 1, 1, 8);
    return each(['suctionTemperature_K'], series, (value, row) => (lost[row] === 1 ? zero_K - 40 : value));
  }),
  named(
    '0 sent for a missing value',
    (series, random) => ({
      ...each(temperatures, series, (value) => (random() < 0.03 ? zero_K : value)),
      ...each(pressures, series, (value) => (random() < 0.03 ? air_Pa : value)),
      ...each(['valveOpening_pct', 'compressorLoad_pct', 'superheatSetpoint_K'], series, (value) =>
        random() < 0.03 ? 0 : value,
      ),
    }),
    onGauges,
  ),
  named(
    '0 sent for all values while the line is lost',
    (series, random) => {
      const lost = spells(series, random, 4, 1, 40);
      const zeroed = (zero: number) => (value: number, row: number) => (lost[row] === 1 ? zero : value);
      return {
        ...each(temperatures, series, zeroed(zero_K)),
        ...each(pressures, series, zeroed(air_Pa)),
        ...each(
          ['valveOpening_pct', 'compressorLoad_pct', 'superheatSetpoint_K', 'waterFlow_m3_s'],
          series,
          zeroed(0),
        ),
      };
    },
    onGauges,
  ),
  named('each value missing in one row of ten', (series, random) =>
    each(circuitSeriesColumns, series, (value) => (random() < 0.1 ? NaN : value)),
  ),
];

/** The opening that is commanded: it stays where it was while the circuit stands. */
const commanded = changing((series) => {
  let last = 40;
  return each(['valveOpening_pct'], series, (value, row) => {
    if (series.compressorLoad_pct[row]! > 1) last = value;
    return last;
  });
});

const points: readonly SiteHabit[] = [
  { name: 'opening is a command that stays at stops', case: () => ({}), received: commanded },
  {
    name: 'opening is a command that stays at stops, no load',
    case: () => ({}),
    received: both(commanded, without('compressorLoad_pct')),
  },
  { name: 'no discharge pressure', case: () => ({}), received: without('dischargePressure_Pa') },
  {
    name: 'neither discharge pressure nor load',
    case: () => ({}),
    received: without('dischargePressure_Pa', 'compressorLoad_pct'),
  },
  {
    name: 'suction pressure and temperature alone',
    watchedFor: 'floodback-risk',
    case: () => ({}),
    received: without(
      ...circuitSeriesColumns.filter(
        (name) => name !== 'suctionPressure_Pa' && name !== 'suctionTemperature_K',
      ),
    ),
  },
  {
    name: 'no water temperatures, load or setpoint',
    case: () => ({}),
    received: without(...ofWater, 'compressorLoad_pct', 'superheatSetpoint_K'),
  },
  named(
    'suction thermometer is the entering water',
    (series) => ({ suctionTemperature_K: series.enteringWaterTemperature_K }),
    { watchedFor: 'sensor-misplaced' },
  ),
  {
    name: 'suction thermometer beside the entering water, no setpoint',
    watchedFor: 'sensor-misplaced',
    case: () => ({}),
    received: both(
      changing((series, random) =>
        each(
          ['suctionTemperature_K'],
          series,
          (_, row) => series.enteringWaterTemperature_K[row]! + 0.25 + 0.1 * random(),
        ),
      ),
      without('superheatSetpoint_K', 'compressorLoad_pct'),
    ),
  },
  named('ambient thermometer in the sun', (series) =>
    each(['ambientTemperature_K', 'condenserEnteringTemperature_K'], series, (value, row) => {
      const height = Math.sin((2 * Math.PI * (local_h(series.time_s[row]!) - 7)) / 24);
      return value + 14 * Math.max(0, height);
    }),
  ),
];

export const gatewayHabits: readonly SiteHabit[] = [...clocks, ...units, ...values, ...points];
