import { saturationCurve, type CircuitSeries } from '@coldrounds/core';
import { rollup_s, rollupColumns, type Rollup, type RollupColumn } from '../../storage/schema/rollups.js';

interface Sink {
  add: (value: number) => void;
  flush: () => void;
}

function meanInto(target: number[]): Sink {
  let sum = 0;
  let count = 0;
  return {
    add: (value) => {
      if (Number.isNaN(value)) return;
      sum += value;
      count++;
    },
    flush: () => {
      target.push(count > 0 ? sum / count : NaN);
      sum = 0;
      count = 0;
    },
  };
}

function extremeInto(target: number[], better: (a: number, b: number) => number): Sink {
  let best = NaN;
  return {
    add: (value) => {
      if (!Number.isNaN(value)) best = Number.isNaN(best) ? value : better(best, value);
    },
    flush: () => {
      target.push(best);
      best = NaN;
    },
  };
}

/** Where a pressure lies outside the table there is no saturation temperature, and a chart shows nothing. */
function orMissing(curve: (pressure_Pa: number) => number): (pressure_Pa: number) => number {
  return (pressure_Pa) => {
    if (Number.isNaN(pressure_Pa)) return NaN;
    try {
      return curve(pressure_Pa);
    } catch {
      return NaN;
    }
  };
}

/** Superheat (dew side) and subcooling (bubble side) at each sample; NaN where they cannot be worked out. */
export function derivedColumns(
  series: CircuitSeries,
  refrigerant: string,
): { superheat_K: Float64Array; subcooling_K: Float64Array } {
  const dew = orMissing(saturationCurve(refrigerant, 'dew').temperature);
  const bubble = orMissing(saturationCurve(refrigerant, 'bubble').temperature);
  return {
    superheat_K: series.suctionTemperature_K.map((value, i) => value - dew(series.suctionPressure_Pa[i])),
    subcooling_K: series.liquidTemperature_K.map(
      (value, i) => bubble(series.dischargePressure_Pa[i]) - value,
    ),
  };
}

/** Means, least and greatest values over two minutes of one window, for charts of long spans. */
export function rollupOf(series: CircuitSeries, refrigerant: string, window_s: number): Rollup {
  const columns = Object.fromEntries(rollupColumns.map((name) => [name, [] as number[]])) as Record<
    RollupColumn,
    number[]
  >;
  const { superheat_K, subcooling_K } = derivedColumns(series, refrigerant);
  const sources: [Float64Array, Sink[]][] = [
    [
      superheat_K,
      [
        meanInto(columns.superheat_mean_k),
        extremeInto(columns.superheat_min_k, Math.min),
        extremeInto(columns.superheat_max_k, Math.max),
      ],
    ],
    [subcooling_K, [meanInto(columns.subcooling_mean_k)]],
    [
      series.valveOpening_pct,
      [
        meanInto(columns.valve_opening_mean_pct),
        extremeInto(columns.valve_opening_min_pct, Math.min),
        extremeInto(columns.valve_opening_max_pct, Math.max),
      ],
    ],
    [series.suctionPressure_Pa, [meanInto(columns.suction_pressure_mean_pa)]],
    [series.suctionTemperature_K, [meanInto(columns.suction_temperature_mean_k)]],
    [series.dischargePressure_Pa, [meanInto(columns.discharge_pressure_mean_pa)]],
    [series.dischargeTemperature_K, [meanInto(columns.discharge_temperature_mean_k)]],
    [series.liquidTemperature_K, [meanInto(columns.liquid_temperature_mean_k)]],
    [series.superheatSetpoint_K, [meanInto(columns.superheat_setpoint_mean_k)]],
    [series.compressorLoad_pct, [meanInto(columns.compressor_load_mean_pct)]],
  ];
  const rollup: Rollup = { window_s, time_s: [], samples: [], columns };
  const n = series.time_s.length;
  for (let i = 0; i < n;) {
    const bin = Math.floor(series.time_s[i] / rollup_s);
    const first = i;
    for (; i < n && Math.floor(series.time_s[i] / rollup_s) === bin; i++)
      for (const [values, sinks] of sources) for (const sink of sinks) sink.add(values[i]);
    for (const [, sinks] of sources) for (const sink of sinks) sink.flush();
    rollup.time_s.push(bin * rollup_s);
    rollup.samples.push(i - first);
  }
  return rollup;
}
