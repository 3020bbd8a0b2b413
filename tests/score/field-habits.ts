import { circuitSeriesColumns, saturationPressure, type CircuitSeries } from '@coldrounds/core';
import type { CircuitCase } from '@coldrounds/simulator';
import { both, changing, each, temperatures, without } from './gateway-habits.js';
import { follows, runsAt } from './machine-habits.js';
import type { SiteHabit } from './site-units.js';

/** Habits of points, clocks and plant that were thought of last; as in the two files beside, plain formulas over a series. */
type Change = Parameters<typeof changing>[0];
const zero_K = 273.15;
const pressures = ['suctionPressure_Pa', 'dischargePressure_Pa'] as const;
const night: Partial<CircuitCase> = { stand: { kind: 'daily-rest', from_h: 1, hours: 5 } };

const named = (name: string, change: Change, more: Partial<SiteHabit> = {}): SiteHabit => ({
  name,
  case: () => ({}),
  received: changing(change),
  ...more,
});
const at = (of: Partial<CircuitCase>) => ({ case: () => of });
const daysIn = ({ time_s }: CircuitSeries, row: number) => (time_s[row]! - time_s[0]!) / 86_400;
const lagging = (
  series: CircuitSeries,
  names: readonly (typeof circuitSeriesColumns)[number][],
  time_s: number,
) =>
  Object.fromEntries(
    names.map((name) => [name, follows((row) => series[name][row]!, series.time_s.length, time_s)]),
  );

const points: readonly SiteHabit[] = [
  named(
    'load reads 2 % at rest',
    (series, random) => each(['compressorLoad_pct'], series, (value) => (value > 1 ? value : 1.5 + random())),
    at(night),
  ),
  named('load is a limit of 100 %', (series) => each(['compressorLoad_pct'], series, () => 100), at(night)),
  named('load as a number of stages', (series) =>
    each(['compressorLoad_pct'], series, (value) => Math.ceil(value / 25)),
  ),
  named('load as a speed', (series) => each(['compressorLoad_pct'], series, (value) => 30 * value)),
  named('setpoint of superheat sent as 0', (series) => each(['superheatSetpoint_K'], series, () => 0)),
  named('setpoint of superheat sent as a temperature', (series) =>
    each(['superheatSetpoint_K'], series, (value) => value + zero_K),
  ),
  named('opening reversed', (series) => each(['valveOpening_pct'], series, (value) => 100 - value)),
  named('opening only 0 or 100', (series) =>
    each(['valveOpening_pct'], series, (value) => (value > 1 ? 100 : 0)),
  ),
  named('water flow in litres a second', (series) =>
    each(['waterFlow_m3_s', 'condenserFlow_m3_s'], series, (value) => 1000 * value),
  ),
  named('water flow is a constant', (series) => each(['waterFlow_m3_s'], series, () => 0.012)),
  named('water flow 25 % low', (series) => each(['waterFlow_m3_s'], series, (value) => 0.75 * value)),
  named(
    'evaporator and condenser water mixed up',
    (series) => ({
      enteringWaterTemperature_K: series.condenserEnteringTemperature_K,
      leavingWaterTemperature_K: series.condenserLeavingTemperature_K,
      condenserEnteringTemperature_K: series.enteringWaterTemperature_K,
      condenserLeavingTemperature_K: series.leavingWaterTemperature_K,
    }),
    at({ condenser: 'water' }),
  ),
  {
    name: 'one circuit mapped twice',
    ...at({ circuits: 2 }),
    received: (simulated) => ({ ...simulated, neighbours: simulated.neighbours.map(() => simulated.series) }),
  },
  named('both transducers 8 kPa high', (series) => each(pressures, series, (value) => value + 8e3)),
];

const sending: readonly SiteHabit[] = [
  named('all in tenths for an hour', (series) => {
    const inTenths = (row: number) => daysIn(series, row) > 4.2 && daysIn(series, row) < 4.2 + 1 / 24;
    const tenth = (value: number, row: number) => (inTenths(row) ? value / 10 : value);
    return {
      ...each(temperatures, series, (value, row) => zero_K + tenth(value - zero_K, row)),
      ...each([...pressures, 'valveOpening_pct', 'compressorLoad_pct', 'superheatSetpoint_K'], series, tenth),
    };
  }),
  named('temperatures ten times too large for an hour', (series) =>
    each(temperatures, series, (value, row) =>
      daysIn(series, row) > 4.2 && daysIn(series, row) < 4.2 + 1 / 24
        ? zero_K + 10 * (value - zero_K)
        : value,
    ),
  ),
  named('pressures lag by 60 s', (series) => lagging(series, pressures, 60)),
  named('thermometers lag by 4 min', (series) => lagging(series, temperatures, 240)),
  named('all smoothed over a minute', (series) =>
    lagging(series, [...temperatures, ...pressures, 'valveOpening_pct'], 60),
  ),
  named('polled in turn, each value once a minute', (series) =>
    Object.fromEntries(
      circuitSeriesColumns.map((name, k) => [
        name,
        series[name].map((_, row) => series[name][Math.max(0, row - ((row + k) % 6))]!),
      ]),
    ),
  ),
  named('whole Fahrenheit and whole psi', (series) => ({
    ...each(temperatures, series, (value) => zero_K + Math.round((value - zero_K) * 1.8) / 1.8),
    ...each(pressures, series, (value) => 6894.76 * Math.round(value / 6894.76)),
  })),
  named('time stamps scatter by 4 s', (series, random) => ({
    time_s: series.time_s.map((value) => value + 8 * (random() - 0.5)),
  })),
];

const plant: readonly SiteHabit[] = [
  named(
    'fans cycle the condensing pressure',
    (series, _, unit) => {
      const period_s = 240 + 60 * (unit % 5);
      const saw = (row: number) => {
        const part = (series.time_s[row]! / period_s) % 1;
        return part < 0.35 ? 1 - part / 0.175 : -1 + (part - 0.35) / 0.325;
      };
      const swing = follows((row) => (runsAt(series, row) ? saw(row) : 0), series.time_s.length, 20);
      return {
        ...each(['dischargePressure_Pa'], series, (value, row) => value * (1 + 0.05 * swing[row]!)),
        ...each(['liquidTemperature_K'], series, (value, row) => value + 1.5 * swing[row]!),
        ...each(['suctionPressure_Pa'], series, (value, row) => value * (1 + 0.012 * swing[row]!)),
      };
    },
    at({ condenser: 'air' }),
  ),
  {
    name: 'condensing kept up to 35 C in cold weather',
    ...at({ condenser: 'air', climate: { yearMean_C: 8 } }),
    received: (simulated, unit) => {
      const least_Pa = saturationPressure(simulated.unit.refrigerant, 308.15, 'dew');
      return changing((series) =>
        each(['dischargePressure_Pa'], series, (value, row) =>
          runsAt(series, row) && value < least_Pa
            ? least_Pa * (1 + 0.004 * Math.sin(series.time_s[row]! / 37))
            : value,
        ),
      )(simulated, unit);
    },
  },
  named(
    'pump stopped at stops, water sensors drift to the room',
    (series) => {
      const rests = follows((row) => (runsAt(series, row) ? 0 : 1), series.time_s.length, 2400);
      const drifting = (value: number, row: number) =>
        runsAt(series, row) ? value : value + (299 - value) * rests[row]!;
      return {
        ...each(['enteringWaterTemperature_K', 'leavingWaterTemperature_K'], series, drifting),
        ...each(['waterFlow_m3_s'], series, (value, row) => (runsAt(series, row) ? value : 0)),
      };
    },
    at({ selfTest: false, stand: { kind: 'daily-rest', from_h: 2, hours: 9 } }),
  ),
  {
    name: 'suction sensors at the compressor, no setpoint',
    case: () => ({}),
    received: both(
      changing((series) => {
        const warms = follows((row) => (runsAt(series, row) ? 3.5 : 0), series.time_s.length, 200);
        return {
          ...each(
            ['suctionPressure_Pa'],
            series,
            (value, row) => value - 20e3 * (Math.max(0, series.compressorLoad_pct[row]!) / 100) ** 1.75,
          ),
          ...each(['suctionTemperature_K'], series, (value, row) => value + warms[row]!),
        };
      }),
      without('superheatSetpoint_K'),
    ),
  },
  named(
    'flooded, superheat read 0.5 K under zero',
    (series) =>
      each(['suctionTemperature_K'], series, (value, row) => (runsAt(series, row) ? value - 1.5 : value)),
    at({ design: { evaporator: 'flooded', floodedSuperheat_K: 1 }, condenser: 'water' }),
  ),
  named('liquid injected over 62 C at the discharge', (series) =>
    each(['dischargeTemperature_K'], series, (value, row) =>
      value > 335 ? 335 + 0.15 * (value - 335) + 0.4 * Math.sin(series.time_s[row]! / 23) : value,
    ),
  ),
  named(
    'pressures shake at low load',
    (series, random) => {
      const shaken = (share: number) => (value: number, row: number) =>
        runsAt(series, row) && series.compressorLoad_pct[row]! < 45
          ? value * (1 + share * (random() + random() - 1))
          : value;
      return {
        ...each(['suctionPressure_Pa'], series, shaken(0.04)),
        ...each(['dischargePressure_Pa'], series, shaken(0.05)),
      };
    },
    at({ load: { base: 0.4, spread: 0.12 } }),
  ),
  named('discharge thermometer on the dome, lower and slow', (series) => ({
    dischargeTemperature_K: follows(
      (row) => series.dischargeTemperature_K[row]! - (runsAt(series, row) ? 15 : 0),
      series.time_s.length,
      600,
    ),
  })),
  named('liquid thermometer 4 K cold', (series) =>
    each(['liquidTemperature_K'], series, (value, row) => (runsAt(series, row) ? value - 4 : value)),
  ),
  named('power with 4 to 8 kW of fans and pumps', (series) =>
    each(
      ['compressorPower_W'],
      series,
      (value, row) => value + 4000 * Math.floor(1 + 1.99 * Math.abs(Math.sin(series.time_s[row]! / 5000))),
    ),
  ),
];

export const fieldHabits: readonly SiteHabit[] = [...points, ...sending, ...plant];
