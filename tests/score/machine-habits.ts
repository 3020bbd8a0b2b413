import { saturationCurve, type CircuitSeries } from '@coldrounds/core';
import type { SimulatedCircuit } from '@coldrounds/simulator';
import { both, changing, each, without } from './gateway-habits.js';
import type { SiteHabit } from './site-units.js';

/**
 * Machines and sites in order that differ from a plain dry-expansion chiller of one compressor. Some are switches of the
 * simulator, some plain formulas over a simulated series.
 */
export const runsAt = (series: CircuitSeries, row: number) => series.compressorLoad_pct[row]! > 1;

/** A value that follows another by first order, at 10 s. */
export function follows(target: (row: number) => number, rows: number, time_s: number): Float64Array {
  const out = new Float64Array(rows);
  let value = target(0);
  for (let row = 0; row < rows; row++)
    out[row] = value += (target(row) - value) * (1 - Math.exp(-10 / time_s));
  return out;
}

/** While standing, each side lies at the saturation of its own water, and pipes between water and room. */
function standsBetween(
  { series, unit }: SimulatedCircuit,
  rests: (row: number) => boolean,
  places: { water_K: (row: number) => number; condenser_K: (row: number) => number; room_K: number },
): Partial<CircuitSeries> {
  const { pressure } = curves(unit.refrigerant);
  const rows = series.time_s.length;
  const evaporator_K = follows((row) => places.water_K(row) + 0.2, rows, 600);
  const condenser_K = follows(places.condenser_K, rows, 1200);
  const at = (values: Float64Array, rest: (row: number) => number) =>
    values.map((value, row) => (rests(row) ? rest(row) : value));
  return {
    suctionPressure_Pa: at(series.suctionPressure_Pa, (row) => pressure(evaporator_K[row]!)),
    dischargePressure_Pa: at(series.dischargePressure_Pa, (row) =>
      Math.max(pressure(condenser_K[row]!), pressure(evaporator_K[row]!)),
    ),
    suctionTemperature_K: at(
      series.suctionTemperature_K,
      (row) => 0.6 * evaporator_K[row]! + 0.4 * places.room_K,
    ),
    dischargeTemperature_K: at(series.dischargeTemperature_K, () => places.room_K + 6),
    liquidTemperature_K: at(series.liquidTemperature_K, (row) => 0.5 * (condenser_K[row]! + places.room_K)),
    enteringWaterTemperature_K: at(series.enteringWaterTemperature_K, places.water_K),
    leavingWaterTemperature_K: at(series.leavingWaterTemperature_K, (row) => places.water_K(row) - 0.05),
    waterFlow_m3_s: at(series.waterFlow_m3_s, () => 0.01),
    condenserEnteringTemperature_K: at(series.condenserEnteringTemperature_K, places.condenser_K),
    condenserLeavingTemperature_K: at(series.condenserLeavingTemperature_K, places.condenser_K),
    compressorLoad_pct: at(series.compressorLoad_pct, () => 0),
    compressorPower_W: at(series.compressorPower_W, () => 0),
    valveOpening_pct: at(series.valveOpening_pct, () => 0),
    ambientTemperature_K: at(series.ambientTemperature_K, () => places.room_K),
  };
}

/** Saturation pressure by bisection on the curve. */
function curves(refrigerant: string) {
  const { temperature, lowestPressure_Pa, highestPressure_Pa } = saturationCurve(refrigerant, 'dew');
  const pressure = (temperature_K: number) => {
    let low = lowestPressure_Pa;
    let high = highestPressure_Pa;
    for (let k = 0; k < 40; k++) {
      const middle = 0.5 * (low + high);
      if (temperature(middle) < temperature_K) low = middle;
      else high = middle;
    }
    return 0.5 * (low + high);
  };
  return { pressure };
}

const wave = (series: CircuitSeries, row: number, hours: number) =>
  Math.sin((2 * Math.PI * series.time_s[row]!) / (3600 * hours));

const standing: readonly SiteHabit[] = [
  {
    name: 'free cooling for days',
    case: () => ({ condenser: 'water', climate: { yearMean_C: 6 } }),
    received: (simulated) => {
      const { series } = simulated;
      const begin_s = series.time_s[0]! + 1.4 * 86_400;
      const end_s = begin_s + 3.2 * 86_400;
      const changes = standsBetween(
        simulated,
        (row) => series.time_s[row]! > begin_s && series.time_s[row]! < end_s,
        {
          water_K: (row) => 280.2 + 0.4 * wave(series, row, 3),
          condenser_K: (row) => 277.7 + 0.8 * wave(series, row, 24),
          room_K: 294,
        },
      );
      return { ...simulated, series: { ...series, ...changes }, neighbours: [] };
    },
  },
  {
    name: 'other chillers keep the water cold at stops',
    case: (unit) => ({
      condenser: 'water',
      selfTest: false,
      stand: { kind: 'daily-rest', from_h: unit % 24, hours: 9 },
    }),
    received: (simulated) => {
      const { series } = simulated;
      const changes = standsBetween(simulated, (row) => !runsAt(series, row), {
        water_K: (row) => 280.4 + 0.2 * wave(series, row, 2),
        condenser_K: () => 299,
        room_K: 297,
      });
      return { ...simulated, series: { ...series, ...changes } };
    },
  },
  {
    name: 'crankcase heater and warm plant room',
    watchedFor: 'discharge-temperature sensor-bias',
    case: (unit) => ({ stand: { kind: 'daily-rest', from_h: unit % 24, hours: 8 } }),
    received: changing((series) => {
      const heat_K = follows((row) => (runsAt(series, row) ? 0 : 1), series.time_s.length, 2400);
      return {
        ...each(['dischargeTemperature_K'], series, (value, row) => value + 18 * heat_K[row]!),
        ...each(['suctionTemperature_K'], series, (value, row) => value + 2.5 * heat_K[row]!),
      };
    }),
  },
  {
    name: 'stands at night and at weekends',
    case: () => ({ stand: { kind: 'out-of-hours' }, load: { weekends: false } }),
  },
  {
    name: 'runs for 4 min and stands for 4',
    case: () => ({
      load: { base: 0.25, occupied: 0.03 },
      habits: { cycling: { runMinutes: 4, stopMinutes: 4 } },
    }),
  },
];

const running: readonly SiteHabit[] = [
  {
    name: 'heat pump in winter',
    case: (unit) => ({
      condenser: 'air',
      climate: { yearMean_C: 2 },
      habits: {
        reversed: {
          from_h: 0,
          hours: 24,
          sensors: (['both-at-port', 'pressure-at-compressor', 'temperature-at-compressor'] as const)[
            unit % 3
          ]!,
          defrostEvery_h: 1,
        },
      },
    }),
  },
  {
    name: 'brine at -10 C',
    case: (unit) => ({
      condenser: unit % 2 === 0 ? 'water' : 'air',
      chilledWater: { leaving_K: 263.15 },
      design: { evaporating_K: 257.65, enteringWater_K: 267.15, leavingWater_K: 263.15 },
    }),
  },
  {
    name: 'ice by night, water by day',
    case: () => ({
      chilledWater: { leaving_K: 280.15, night: { leaving_K: 268.15, from_h: 21, hours: 9 } },
      stand: null,
    }),
  },
  {
    name: 'leaving water raised by night',
    case: () => ({
      chilledWater: { leaving_K: 279.15, night: { leaving_K: 285.15, from_h: 19, hours: 12 } },
      stand: null,
    }),
  },
  {
    name: 'setpoint of superheat moves with load',
    case: () => ({ setpoint: { value_K: 5.5, byLoad_K: 5 } }),
  },
  {
    name: 'two compressors on one circuit',
    case: () => ({ capacityControl: 'stages', load: { spread: 0.12 } }),
  },
  {
    name: 'hot-gas bypass at low load',
    case: () => ({ load: { base: 0.4, spread: 0.12 } }),
    received: changing((series) => {
      const open = follows(
        (row) =>
          runsAt(series, row) ? Math.max(0, Math.min(1, (55 - series.compressorLoad_pct[row]!) / 25)) : 0,
        series.time_s.length,
        60,
      );
      return {
        ...each(['suctionTemperature_K'], series, (value, row) => value + 6 * open[row]!),
        ...each(['dischargeTemperature_K'], series, (value, row) => value + 12 * open[row]!),
      };
    }),
  },
  {
    name: 'economiser',
    case: () => ({ capacityControl: 'slide' }),
    received: changing((series) => {
      const on = follows((row) => (series.compressorLoad_pct[row]! > 60 ? 1 : 0), series.time_s.length, 90);
      return {
        ...each(['liquidTemperature_K'], series, (value, row) => value - 22 * on[row]!),
        ...each(['dischargeTemperature_K'], series, (value, row) => value - 9 * on[row]!),
      };
    }),
  },
  {
    name: 'heat exchanger in the suction line, no setpoint',
    case: () => ({}),
    received: both(
      changing((series) => {
        const share = follows((row) => (runsAt(series, row) ? 0.3 : 0), series.time_s.length, 120);
        return each(
          ['suctionTemperature_K'],
          series,
          (value, row) => value + share[row]! * (series.liquidTemperature_K[row]! - value),
        );
      }),
      without('superheatSetpoint_K'),
    ),
  },
  {
    name: 'compressor loaded and unloaded every 20 s',
    case: () => ({}),
    received: changing((series, random) => {
      const phase = random();
      return each(['suctionPressure_Pa'], series, (value, row) => {
        if (!runsAt(series, row)) return value;
        const duty = series.compressorLoad_pct[row]! / 100;
        const loaded = (series.time_s[row]! / 20.35 + phase) % 1 < duty;
        return value * (1 + 0.07 * ((loaded ? 0 : 1) - (1 - duty)));
      });
    }),
  },
  {
    name: 'flooded, registered as dry expansion, no discharge temperature',
    watchedFor: 'floodback-risk',
    case: (unit) => ({
      design: { evaporator: 'flooded', floodedSuperheat_K: 1 + (unit % 5) / 2 },
      condenser: 'water',
    }),
    received: both(without('dischargeTemperature_K'), (simulated) => ({
      ...simulated,
      unit: { ...simulated.unit, evaporator: 'dry-expansion' },
    })),
  },
  {
    name: 'the same, neither opening nor load',
    watchedFor: 'floodback-risk',
    case: (unit) => ({
      design: { evaporator: 'flooded', floodedSuperheat_K: 1 + (unit % 5) / 2 },
      condenser: 'water',
    }),
    received: both(
      without('dischargeTemperature_K', 'valveOpening_pct', 'compressorLoad_pct'),
      (simulated) => ({ ...simulated, unit: { ...simulated.unit, evaporator: 'dry-expansion' } }),
    ),
  },
];

export const machineHabits: readonly SiteHabit[] = [...standing, ...running];
